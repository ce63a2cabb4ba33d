"""Where a lot came from, where it went and its ledger, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.acts.find_in_stock import say_holdings
from engine.farm.material import said_material
from engine.farm.model import Farm
from engine.records.stock import Movement
from engine.views.lot_ledger import LedgerLine, say_movement
from engine.views.trace import Trace
from tui.cells import (
    journal_day,
)
from tui.paper.page import WIDTH


def ledger_lines(lines: Sequence[LedgerLine], width: int = WIDTH) -> list[str]:
    """A lot's ledger: day, change, count, what it was."""
    told = []
    for line in lines:
        change = f"{line.change:+}" if line.change else ""
        head = f"{journal_day(line.on):>9} {change:>6} {line.balance:>6}  "
        told += wrap(f"{head}{line.told}", width, subsequent_indent=" " * 27, drop_whitespace=True) or [head]
    return told


def trace_sheet(farm: Farm, found: Trace, lines: Sequence[LedgerLine]) -> str:
    """Where a lot came from, where it went, and its ledger."""
    name = found.name
    doubt = " (name not certain)" if name.doubtful else ""
    plant = f"{farm.species_of(name.species).name} {name.cultivar}".rstrip()
    told = wrap(f"{found.lot} · {plant}{doubt} · {name.species}", WIDTH)
    told += ["", "CAME FROM"]
    for batch in found.batches:
        more = "".join(f"; {part}" for part in (said_material(batch), batch.note) if part)
        told += _item(f"batch {batch.id}: {batch.method}, {batch.count} from {batch.start or batch.ready}{more}")
    for mother in found.stock_plants:
        told += _item(f"stock plants kept: {mother.id}, {mother.count} at {mother.place}")
    for year, material, gave, expected in found.gave:
        told += _item(f"in {year} they gave {gave} {material} of about {int(expected)} expected")
    told += [part for moved in found.came for part in _moved(moved)]
    if not (found.came or found.batches):
        told.append("  nothing is recorded")
    if found.passed:
        told += ["", "BETWEEN LOTS"]
        for moved in found.passed:
            source, target = moved.source[0], moved.target[0]
            told += _item(f"{journal_day(moved.on):>9}  {moved.count:>6} from {source} to {target}, {moved.kind}")
    told += ["", "WENT TO"]
    told += [part for moved in found.went for part in _moved(moved)] or ["  nothing has left"]
    told += ["", "ON HAND"]
    told += [part for held in found.on_hand for part in _item(f"{held.lot}: {say_holdings([held])}")] or ["  nothing"]
    told += ["", f"LEDGER OF {found.lot}", *(ledger_lines(lines) or ["  nothing"])]
    return "\n".join(told)


def _moved(moved: Movement) -> list[str]:
    end = moved.target if isinstance(moved.source, str) else moved.source
    return _item(f"{journal_day(moved.on):>9}  {moved.count:>6} {end[0]}: {say_movement(moved)}")


def _item(text: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent="  ", subsequent_indent=" " * 6)


def trace_json(found: Trace, lines: Sequence[LedgerLine]) -> dict[str, Any]:
    return {
        "lot": found.lot,
        "species": found.name.species,
        "cultivar": found.name.cultivar,
        "doubtful": found.name.doubtful,
        "back": list(found.back),
        "forward": list(found.forward),
        "batches": [batch.id for batch in found.batches],
        "stock_plants": [mother.id for mother in found.stock_plants],
        "stock_plants_gave": [
            {"year": year, "material": material, "collected": gave, "expected": round(expected, 1)}
            for year, material, gave, expected in found.gave
        ],
        "came": [_movement(moved) for moved in found.came],
        "passed": [_movement(moved) for moved in found.passed],
        "went": [_movement(moved) for moved in found.went],
        "on_hand": [
            {"lot": h.lot, "form": h.form, "grade": h.grade, "place": h.place, "count": h.count} for h in found.on_hand
        ],
        "ledger": [
            {"on": _day(line.on), "change": line.change, "balance": line.balance, "what": line.told} for line in lines
        ],
    }


def _movement(moved: Movement) -> dict[str, Any]:
    ends = {
        name: end if isinstance(end, str) else dict(zip(("lot", "form", "grade", "place"), end, strict=True))
        for name, end in (("from", moved.source), ("to", moved.target))
    }
    return {"on": _day(moved.on), "kind": moved.kind, "count": moved.count, **ends, "what": moved.told}


def _day(when: date) -> str | None:
    """For scripts; None for what was there when the journal began."""
    return None if when == date.min else when.isoformat()
