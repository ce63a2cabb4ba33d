"""All needs in one plan: the ways chosen, what cannot be met and why, hours and cost; as text and as JSON."""

from __future__ import annotations

from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.season_plan import Chosen, Season
from engine.needs.ways import say_start
from engine.protocols.forms import said_takes
from engine.reading.said import percent
from tui.cells import dated, hours_said
from tui.paper.page import WIDTH


def season_sheet(farm: Farm, found: Season, on: date) -> str:
    """The plan line by line; nothing of it is recorded."""
    told = [f"{farm.name or 'Farm'} · one plan for all needs, {dated(on)}"]
    if not found.ways and not found.unmet:
        return "\n".join([*told, "", "No need is short."])
    for each in found.ways:
        need = each.line.need
        plant = farm.plant(need.species, need.cultivar)
        told += wrap(f"{need.id}: {each.line.short} {plant}: {say_chosen(each)}", WIDTH, subsequent_indent="    ")
    for lacking in found.unmet:
        plant = farm.plant(lacking.line.need.species, lacking.line.need.cultivar)
        words = f"! {lacking.line.need.id}: {lacking.line.short} {plant} not met: {lacking.why}"
        told += wrap(words, WIDTH, subsequent_indent="    ")
    cost = "" if found.cost is None else f", {found.cost:,.2f} {farm.currency}".rstrip()
    told += ["", f"{hours_said(found.hours)}{cost} in all. On the needs screen each way can be accepted."]
    return "\n".join(told)


def say_chosen(each: Chosen) -> str:
    """`seed, start 60 seeds, sow by 4 Apr 2028; 91 % sure`; of two ways both, with how sure they are together."""
    parts = [f"{way.title}, start {count} {said_takes(way.protocol)}, {say_start(way)}" for way, count in each.parts]
    return f"{' and '.join(parts)}; {percent(each.way.chance)} sure"


def season_json(found: Season) -> dict[str, Any]:
    """A row for each way: two for a need that takes two.

    `start` is the last day on which the first act meets the need; of one for no day, the first that it may be.
    """
    return {
        "ways": [
            {
                "need": each.line.need.id,
                "method": way.protocol.method,
                "route": way.protocol.route,
                "start": _iso(way.start_by or way.start_from),
                "count": count,
                "chance": round(each.way.chance, 4),
                "hours": None if way.hours is None else round(way.hours * count / max(1, way.takes), 2),
            }
            for each in found.ways
            for way, count in each.parts
        ],
        "unmet": [{"need": lacking.line.need.id, "why": lacking.why} for lacking in found.unmet],
        "hours": round(found.hours, 2),
        "cost": None if found.cost is None else round(found.cost, 2),
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
