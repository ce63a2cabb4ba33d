"""`widger week`: this week's tasks by place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.views.instead import Instead
    from engine.views.week import Week
    from tui.farmhouse import Farmhouse


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.week import week_view

    week = week_view(house.nursery, house.plans(call.on), call.on)
    if call.json:
        from tui.paper.week import week_json

        print_json(week_json(house.farm, week, _instead(house, week)))
    else:
        from tui.paper.week import week_sheet

        say(week_sheet(house.farm, week, _instead(house, week)))
    return tell(house, call.on)


def _instead(house: Farmhouse, week: Week) -> dict[str, tuple[Instead, ...]]:
    """For each lot that missed its window, the ways that are still open."""
    missed = {task.lot: task.plan for task in week.tasks if task.state == "missed" and task.plan is not None}
    if not missed:
        return {}
    from engine.views.instead import ways_instead

    nursery = house.nursery
    return {lot: ways_instead(nursery, plan, week.today, nursery.track) for lot, plan in missed.items()}


COMMAND = Command(
    run,
    "FARM",
    "this week's tasks by place",
)
