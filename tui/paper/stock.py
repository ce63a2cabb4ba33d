"""The stock as text for the wall and as JSON, and the words for a lot and a need that the screen shares."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.allotment import Allotment, StockLine
from engine.needs.coming import SURE, Coming
from engine.needs.need_lines import NeedLine
from engine.reading.said import percent, percent_given
from engine.views.stock import group_of, summed, why_none_free
from tui.cells import (
    clipped,
    dated,
    day,
)
from tui.paper.page import WIDTH


def stock_sheet(farm: Farm, view: Allotment, by: str) -> str:
    """The stock by species, form or place, then the needs and what does not add up."""
    lines = [f"{farm.name or 'Farm'} · stock on {dated(view.on)}"]
    lot_width = min(14, max((len(line.lot) for line in view.lines), default=4))
    room = WIDTH - lot_width - 51
    pad = " " * (lot_width + room + 1)
    sure = percent(SURE)
    lines.append(f"{pad} {'on hand':>7} {'going':>5} {'promised':>8} {'free':>5} {'likely':>6} {sure:>5}  ready")
    group, totals = None, _totals(view, by)
    fold = cache(lambda told: wrap(told, room))  # many lots stand alike
    for line in view.lines:
        if (here := group_of(line, by)) != group:
            group = here
            told, what_of = totals[here]
            title = clipped(f"{here.upper()}{f', {what_of}' if what_of and by != 'form' else ''}", len(pad) - 1)
            lines += ["", f"{title:<{len(pad)}} {told}"]
        lines += _stock_line(line, fold(what(line, by)), lot_width, room)
    if not view.lines:
        lines += ["", "Nothing is on hand, and nothing is coming."]
    if why := _none_free(view):
        lines += ["", "NONE FREE YET, AND WHY"]
        for told, lots in why.items():
            lines += wrap(f"{', '.join(lots)}: {told}", WIDTH, subsequent_indent="    ")
    if view.needs:
        lines += ["", "NEEDS"]
        for need in view.needs:
            lines += wrap(say_need(need), WIDTH, subsequent_indent="    ")
    if view.troubles:
        lines.append("")
    for trouble in view.troubles:
        lines += wrap(f"! {trouble}", WIDTH, subsequent_indent="  ")
    return "\n".join(line.rstrip() for line in lines)


def _none_free(view: Allotment) -> dict[str, list[str]]:
    """Of what is on hand and not free the reasons, each with its lots."""
    found: dict[str, list[str]] = {}
    for line in view.lines:
        if line.on_hand and (why := why_none_free(line, view.needs)):
            lots = found.setdefault(why, [])
            lots += [line.lot] * (line.lot not in lots)
    return found


def _totals(view: Allotment, by: str) -> dict[str, tuple[str, str]]:
    """The numbers beside each heading, and what they are of, where it is not plants."""
    groups: dict[str, list[StockLine]] = {}
    for line in view.lines:
        groups.setdefault(group_of(line, by), []).append(line)
    found = {}
    for group, mine in groups.items():
        alike, what_of = summed(mine)
        held, going, promised = (sum(getattr(x, of) for x in alike) for of in ("on_hand", "going", "promised"))
        free = sum(line.free for line in alike)
        told = f"{held or '-':>7} {going or '':>5} {promised or '':>8} {free if held else '':>5}"
        found[group] = (told if held or going else "", what_of)
    return found


def _stock_line(line: StockLine, told: Sequence[str], lot_width: int, room: int) -> list[str]:
    coming = line.coming
    ahead = ""
    if coming is not None:
        likely, sure = ("-", "-") if coming.ready is None else (coming.likely, coming.sure())
        ahead = f" {likely:>6} {sure:>5}  {when(coming)}"
    free = line.free if line.on_hand else ""
    counts = f"{line.on_hand or '-':>7} {line.going or '':>5} {line.promised or '':>8} {free:>5}{ahead}"
    first, *rest = told or [""]
    lot = clipped(line.lot, lot_width)
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
    """`N1: 40 elder Adams, bare root, by 1 Mar 2027 for Hale: 12 sent, 28 on hand (E25), 0 short`."""
    need = line.need
    by = f" by {day(need.by, True)}" if need.by else ""
    who = f" for {need.who}" if need.who else ""
    plant = f"{line.plant} {need.cultivar}".rstrip() + (f", {need.kind}" if need.kind else "")
    parts = [f"{line.met} sent"] if line.met else []
    parts += [f"{line.from_hand} on hand"] if line.from_hand else []
    parts += [f"{line.to_come} coming, {percent_given(need.sure)} sure"] if line.to_come else []
    lots = f" ({', '.join(lot for lot, _ in line.taken)})" if line.parts else ""
    short = f", {line.short} short" if line.short else ""
    return f"{need.id}: {need.count} {plant}{by}{who}: {', '.join(parts) or 'nothing yet'}{lots}{short}"


def stock_json(view: Allotment) -> dict[str, Any]:
    """The lots on hand, one record for each form, grade and place."""
    return {"lots": [{**lot_record(line), "why_none_free": why_none_free(line, view.needs)} for line in view.held()]}


def lot_record(line: StockLine) -> dict[str, Any]:
    return {
        "lot": line.lot,
        "species": line.species,
        "cultivar": line.cultivar,
        "form": line.form,
        "grade": line.grade,
        "place": line.place,
        "on_hand": line.on_hand,
        "going": line.going,
        "promised": line.promised,
        "free": line.free,
        "doubtful": line.doubtful,
    }
