"""All needs in one plan: the ways chosen, what cannot be met and why, hours and cost; as text and as JSON."""

from __future__ import annotations

from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.season import Season
from engine.needs.ways import say_start
from engine.reading.said import percent
from tui.cells import dated
from tui.paper.page import WIDTH


def season_sheet(farm: Farm, found: Season, on: date) -> str:
    """The plan line by line; nothing of it is recorded."""
    told = [f"{farm.name or 'Farm'} · one plan for all needs, {dated(on)}"]
    if not found.ways and not found.unmet:
        return "\n".join([*told, "", "No need is short."])
    for each in found.ways:
        need = each.line.need
        plant = farm.plant(need.species, need.cultivar)
        told += wrap(
            f"{need.id}: {each.line.short} {plant}: {each.way.title}, start {each.way.takes} {each.way.material}, "
            f"{say_start(each.way)}; {percent(each.way.chance)} sure",
            WIDTH,
            subsequent_indent="    ",
        )
    for lacking in found.unmet:
        plant = farm.plant(lacking.line.need.species, lacking.line.need.cultivar)
        words = f"! {lacking.line.need.id}: {lacking.line.short} {plant} not met: {lacking.why}"
        told += wrap(words, WIDTH, subsequent_indent="    ")
    cost = "" if found.cost is None else f", {found.cost:,.2f} {farm.currency}".rstrip()
    told += ["", f"{found.hours:.1f} hours{cost} in all. The needs screen records a way."]
    return "\n".join(told)


def season_json(found: Season) -> dict[str, Any]:
    """`start` is the last day on which the first act meets the need; of one for no day, the first that it may be."""
    return {
        "ways": [
            {
                "need": each.line.need.id,
                "method": each.way.protocol.method,
                "route": each.way.protocol.route,
                "start": _iso(each.way.start_by or each.way.start_from),
                "count": each.way.takes,
                "chance": round(each.way.chance, 4),
                "hours": None if each.way.hours is None else round(each.way.hours, 2),
            }
            for each in found.ways
        ],
        "unmet": [{"need": lacking.line.need.id, "why": lacking.why} for lacking in found.unmet],
        "hours": round(found.hours, 2),
        "cost": None if found.cost is None else round(found.cost, 2),
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
