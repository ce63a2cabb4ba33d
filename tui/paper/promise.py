"""How many can still be promised, as text and as JSON."""

from __future__ import annotations

from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.promising import Offer
from engine.reading.said import percent, percent_given
from tui.cells import (
    day,
    iso,
)
from tui.paper.page import WIDTH


def offer_sheet(farm: Farm, found: Offer) -> str:
    """How many can be promised, and what that rests on."""
    need, said = found.need, found.promise
    plant = farm.plant(need.species, need.cultivar) + (f", {need.kind}" if need.kind else "")
    by = f" by {day(need.by, True)}" if need.by else ""
    lines = wrap(f"{said.free} {plant} can be promised{by} with {percent_given(need.sure)} certainty.", WIDTH)
    lines.append(f"{said.expected:,.1f} are expected to be there; {said.promised} are promised already.")
    if said.promised:
        lines.append(f"What is promised already can be kept: {percent(said.kept)} chance.")
    if said.error >= 0.001:
        lines.append(f"With so many lots in shared places the odds may be better by up to {percent(said.error, 1)}.")
    if found.shares:
        lines += ["", f"{'lot':<14} {'now':>6}  there"]
    for share in found.shares:
        when = "on hand" if share.ready is None else f"ready {day(share.ready, True)}"
        lines.append(f"{share.line.lot[:14]:<14} {share.count:>6}  {when}")
    if found.needs:
        lines += ["", *wrap(f"promised to: {', '.join(line.need.id for line in found.needs)}", WIDTH)]
    return "\n".join(lines)


def offer_json(found: Offer) -> dict[str, Any]:
    need = found.need
    return {
        "species": need.species,
        "cultivar": need.cultivar,
        "form": need.form,
        "grade": need.grade,
        "by": iso(need.by),
        "sure": need.sure,
        "expected": round(found.promise.expected, 3),
        "promised": found.promise.promised,
        "free": found.promise.free,
        "kept": round(found.promise.kept, 6),
        "error": round(found.promise.error, 6),
        "lots": [
            {"lot": s.line.lot, "count": s.count, "on_hand": s.ready is None, "ready": iso(s.ready)}
            for s in found.shares
        ],
        "needs": [line.need.id for line in found.needs],
    }
