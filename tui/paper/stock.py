"""The stock as plain text for the wall: within 80 columns, no colour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from functools import cache
from textwrap import wrap

from engine.acts.stock import say_holdings
from engine.farm.model import Farm
from engine.needs.allotment import Allotment, NeedLine, StockLine
from engine.needs.coming import Coming
from engine.records.stock_book import Movement
from engine.views.beds import Row
from engine.views.stock import group_of
from engine.views.trace import LedgerLine, Register, RegisterLine, Trace, say_movement
from tui.paper.sheets import WIDTH, day

RECORDED_ONLY = (
    "Only what was recorded stands here: a hormone, an acid or a spray only where a note tells of it. "
    "Your plant-health authority says what a register must hold."
)


def stock_sheet(farm: Farm, view: Allotment, by: str) -> str:
    """The stock by species, form or place, then the needs and what does not go together."""
    lines = [f"{farm.name or 'Farm'} · stock on {day(view.on, True)}"]
    lot_width = min(14, max((len(line.lot) for line in view.lines), default=4))
    room = WIDTH - lot_width - 45
    pad = " " * (lot_width + room + 1)
    lines.append(f"{pad} {'on hand':>7} {'promised':>8} {'free':>5} {'likely':>6} {'sure':>5}  ready")
    group, totals = None, _totals(view, by)
    fold = cache(lambda told: wrap(told, room))  # many lots stand alike
    for line in view.lines:
        if (here := group_of(line, by)) != group:
            group = here
            title = here.upper() if len(here) < len(pad) else f"{here.upper()[: len(pad) - 2]}…"
            lines += ["", f"{title:<{len(pad)}} {totals[here]}"]
        lines += _stock_line(line, fold(what(line, by)), lot_width, room)
    if not view.lines:
        lines += ["", "Nothing is on hand, and nothing is coming."]
    if view.needs:
        lines += ["", "NEEDS"]
        for need in view.needs:
            lines += wrap(say_need(need), WIDTH, subsequent_indent="    ")
    if view.troubles:
        lines.append("")
    for trouble in view.troubles:
        lines += wrap(f"! {trouble}", WIDTH, subsequent_indent="  ")
    return "\n".join(line.rstrip() for line in lines)


def _totals(view: Allotment, by: str) -> dict[str, str]:
    """The numbers beside each heading."""
    sums: dict[str, tuple[int, int, int]] = {}
    for line in view.lines:
        group = group_of(line, by)
        held, promised, free = sums.get(group, (0, 0, 0))
        sums[group] = held + line.on_hand, promised + line.promised, free + line.free
    return {
        group: f"{held:>7} {promised or '':>8} {free:>5}" if held else ""
        for group, (held, promised, free) in sums.items()
    }


def _stock_line(line: StockLine, told: Sequence[str], lot_width: int, room: int) -> list[str]:
    coming = line.coming
    ahead = ""
    if coming is not None:
        likely, sure = ("-", "-") if coming.missed else (coming.likely, coming.sure())
        ahead = f" {likely:>6} {sure:>5}  {when(coming)}"
    counts = f"{line.on_hand or '-':>7} {line.promised or '':>8} {line.free or '':>5}{ahead}"
    first, *rest = told or [""]
    lot = line.lot if len(line.lot) <= lot_width else f"{line.lot[: lot_width - 1]}…"
    return [f"{lot:<{lot_width}} {first:<{room}} {counts}", *(f"{'':<{lot_width}} {more}" for more in rest)]


def what(line: StockLine, by: str) -> str:
    """A line's plant, form, grade and place, but for what it stands under."""
    name = line.name
    if by == "species":
        name = f"{line.cultivar or ''}{' ?' if line.doubtful else ''}".strip()
    form = f"{line.form} {line.grade}".strip() if by != "form" else line.grade
    unit = f"in {line.unit}" if line.unit else ""
    return ", ".join(part for part in (name, form, line.place if by != "place" else "", unit) if part)


def when(coming: Coming) -> str:
    """The month in which a lot is ready: `Nov 27`; or why none can be told."""
    if coming.missed:
        return "missed"
    return "never" if coming.ready is None else f"{coming.ready:%b %y}"


def say_need(line: NeedLine) -> str:
    """`N1: 40 elder Adams, bare root, by 1 Mar 2027 for Hale: 12 gone out, 28 on hand (E25), 0 short`."""
    need = line.need
    by = f" by {day(need.by, True)}" if need.by else ""
    who = f" for {need.who}" if need.who else ""
    plant = f"{line.plant} {need.cultivar}".rstrip() + (f", {need.form}" if need.form else "")
    parts = [f"{line.met} gone out"] if line.met else []
    parts += [f"{line.from_hand} on hand"] if line.from_hand else []
    parts += [f"{line.to_come} coming as good as surely"] if line.to_come else []
    lots = f" ({', '.join(line.lots)})" if line.lots else ""
    short = f", {line.short} short" if line.short else ""
    return f"{need.id}: {need.count} {plant}{by}{who}: {', '.join(parts) or 'nothing yet'}{lots}{short}"


def rows_sheet(rows: Sequence[Row], told: Iterable[str]) -> str:
    """The map of the beds, each row from its fixed end."""
    if not rows:
        return "No row is mapped; widger row PLACE ROW LOT:METRES:COUNT … tells one, from its fixed end."
    lines: list[str] = []
    for row in rows:
        lines += ["", f"{row.place.upper()}, row {row.name}" + (f", {row.metres:g} m" if row.stretches else ", empty")]
        for s in row.stretches:
            doubt = " (name doubtful)" if s.doubtful else ""
            plant = f"{s.lot}  {s.plant}{doubt}"
            room = WIDTH - 31
            plant = plant if len(plant) <= room else f"{plant[: room - 1]}…"
            lines.append(f"  {s.start_m:>7.1f} to {s.end_m:>7.1f} m  {plant:<{room}} {s.count:>6}")
    if disagree := list(told):
        lines += ["", *(part for line in disagree for part in wrap(f"! {line}", WIDTH, subsequent_indent="  "))]
    return "\n".join(lines[1:])


def ledger_lines(lines: Sequence[LedgerLine], width: int = WIDTH) -> list[str]:
    """A lot's ledger: day, change, count, what it was."""
    told = []
    for line in lines:
        head = f"{say_date(line.on):>11} {line.change or '':>+6} {line.balance:>6}  " if line.change else (
            f"{say_date(line.on):>11} {'':>6} {line.balance:>6}  ")  # fmt: skip
        told += wrap(f"{head}{line.told}", width, subsequent_indent=" " * 27, drop_whitespace=True) or [head]
    return told


def say_date(value: date) -> str:
    """A day; what was there when the journal began has none."""
    return "at first" if value == date.min else day(value, True)


def trace_sheet(farm: Farm, found: Trace, lines: Sequence[LedgerLine]) -> str:
    """Where a lot came from, where it went, and its ledger."""
    name = found.name
    doubt = " (name doubtful)" if name.doubtful else ""
    plant = f"{farm.species_of(name.species).name} {name.cultivar}".rstrip()
    told = wrap(f"{found.lot} · {plant}{doubt} · {name.species}", WIDTH)
    told += ["", "CAME FROM"]
    for batch in found.batches:
        note = f"; {batch.note}" if batch.note else ""
        told += _item(f"batch {batch.id}: {batch.method}, {batch.count} from {batch.start or batch.ready}{note}")
    for mother in found.stock_plants:
        told += _item(f"stock plants kept of it: {mother.id}, {mother.count} at {mother.place}")
    for year, material, gave, expected in found.gave:
        told += _item(f"in {year} they gave {gave} {material} of about {int(expected)} expected")
    told += [part for moved in found.came for part in _moved(moved)]
    if not (found.came or found.batches):
        told.append("  nothing is recorded")
    if found.passed:
        told += ["", "BETWEEN LOTS"]
        for moved in found.passed:
            source, target = moved.source[0], moved.target[0]
            told += _item(f"{say_date(moved.on):>11}  {moved.count:>6} from {source} to {target}, {moved.kind}")
    told += ["", "WENT TO"]
    told += [part for moved in found.went for part in _moved(moved)] or ["  nothing has left"]
    told += ["", "ON HAND"]
    told += [part for held in found.on_hand for part in _item(f"{held.lot}: {say_holdings([held])}")] or ["  nothing"]
    told += ["", f"LEDGER OF {found.lot}", *(ledger_lines(lines) or ["  nothing"])]
    return "\n".join(told)


def _moved(moved: Movement) -> list[str]:
    end = moved.target if isinstance(moved.source, str) else moved.source
    return _item(f"{say_date(moved.on):>11}  {moved.count:>6} {end[0]}: {say_movement(moved)}")


def _item(text: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent="  ", subsequent_indent=" " * 6)


def register_sheet(farm: Farm, found: Register) -> str:
    """The register of a year for the plant-health inspector."""
    told = [f"{farm.name or 'Farm'} · register of {found.year}: origins, treatments and dispatches"]
    for title, lines in (
        ("ORIGINS", found.origins),
        ("TREATMENTS AND NOTES", found.treatments),
        ("DISPATCHES", found.dispatches),
    ):
        told += ["", title, *(part for line in lines for part in _register_line(line))]
        if not lines:
            told.append("  none recorded")
    told += ["", *wrap(RECORDED_ONLY, WIDTH)]
    return "\n".join(told)


def _register_line(line: RegisterLine) -> list[str]:
    count = "" if line.count is None else str(line.count)
    plant = f"{line.species} {line.cultivar}".rstrip()
    head = f"  {line.on.isoformat()}  {line.lot:<10} {count:>6}  "
    return wrap(f"{head}{plant}: {line.told}", WIDTH, subsequent_indent=" " * len(head), drop_whitespace=True)
