"""The ways that are still open where a window was missed, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from engine.views.instead import Instead
from tui.cells import day
from tui.paper.page import indented


def instead_sheet(lot: str, step: str, plant: str, again: date | None, found: Sequence[Instead], today: date) -> str:
    """What was missed, when its next chance is, and the other ways, the soonest ready first."""
    chance = f"its next window is {day(again, True)}" if again else "no year gives it another window"
    lines = [f"{lot}, {plant}: {step} missed its window; {chance}.", ""]
    if not found:
        return "\n".join([*lines, "No other way is open before that: widger accept takes the next window."])
    for way in found:
        lines += indented(way.says(today), "  ")
    return "\n".join([*lines, "", f'widger instead {lot} --take "{found[0].title}" takes one of them.'])


def instead_json(found: Sequence[Instead]) -> list[dict[str, Any]]:
    """The ways, the soonest ready first; `sure` of them come with chance 0.9, `at_hand` is done already."""
    return [
        {
            "method": way.protocol.method,
            "route": way.protocol.route,
            "step": way.step,
            "first": way.first.isoformat(),
            "ready": way.ready.isoformat(),
            "count": way.count,
            "likely": way.likely,
            "sure": way.sure,
            "at_hand": list(way.at_hand),
        }
        for way in found
    ]
