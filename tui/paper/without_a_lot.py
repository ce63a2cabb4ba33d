"""What falls short should a lot be lost, and the ways that still meet it, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.coverage import Fallback
from tui.cells import (
    day,
)
from tui.paper.needs import need_json, plant_of
from tui.paper.page import WIDTH
from tui.paper.ways import way_json, way_lines


def fallback_sheet(farm: Farm, lot: str, found: Sequence[Fallback], width: int = WIDTH) -> str:
    """What falls short without a lot, and which ways still meet it."""
    lines = [f"{farm.name or 'Farm'} · if {lot} is lost", ""]
    if not found:
        lines.append("No need falls short without it.")
    for each in found:
        need = each.line.need
        by = f" by {day(need.by, True)}" if need.by else ""
        title = f"{need.id}: {plant_of(each.line)}{by}: {each.line.short} short, {each.more} more than with it"
        lines += wrap(title, width, subsequent_indent="  ")
        can = [way for way in each.ways if not way.reason]
        for way in can:
            lines += way_lines(way, width)
        if not can:
            lines.append("  no way meets it by then: buy in, or tell the customer")
        lines.append("")
    return "\n".join(lines).rstrip()


def fallback_json(lot: str, found: Iterable[Fallback]) -> dict[str, Any]:
    return {
        "without": lot,
        "needs": [
            {**need_json(f.line), "more_short": f.more, "ways": [way_json(way) for way in f.ways]} for f in found
        ],
    }
