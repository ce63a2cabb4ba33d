"""`widger week`: this week's tasks by place."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tui.commands.shared.call import FILE, Command, Unusable, by_argparse, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.commands.shared.printing import printing
from tui.out import say
from tui.typed_numbers import at_least_1

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.needs.dispatch import Parcel
    from engine.views.instead import Instead
    from engine.views.week import Week
    from tui.farmhouse import Farmhouse


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.week import week_view, wet_day

    week = week_view(house.day(call.on))
    if call.wet:
        week = wet_day(week)
    if call.spare is not None:
        _tell_spare(call, house, week)
    elif call.pdf:
        say(_print(call, house, week))
    elif call.json:
        from tui.paper.week import week_json

        print_json(week_json(house.farm, week, _instead(house, week), _sends(house, week)))
    else:
        from tui.paper.week import week_sheet

        say(week_sheet(house.farm, week, _instead(house, week), _sends(house, week)))
    return tell(house, call.on)


def _tell_spare(call: Namespace, house: Farmhouse, week: Week) -> None:
    """What fits into the minutes there are."""
    from engine.views.spare import spare
    from tui.paper.spare import spare_json, spare_sheet

    found = spare(week, call.spare, call.wet)
    if call.json:
        print_json(spare_json(found, call.spare, call.wet))
    else:
        say(spare_sheet(house.farm, found, call.spare, call.wet, call.on))


def _print(call: Namespace, house: Farmhouse, week: Week) -> str:
    """Write the weeks for the wall as a PDF, and say so."""
    from engine.views.week import week_view, wet_day
    from tui.paper.pdf import written
    from tui.paper.wall import MOST_WEEKS, wall_pdf

    if call.weeks > MOST_WEEKS:
        raise Unusable(f"--weeks goes up to {MOST_WEEKS}: plans further ahead will change")
    weeks = [week]
    for n in range(1, call.weeks):
        later = week_view(house.day(call.on), week.start + timedelta(7 * n))
        weeks.append(wet_day(later) if call.wet else later)
    printed = wall_pdf(house.farm, weeks, call.paper, _sends(house, week))
    with printing():
        said = written(call.pdf, printed)
    return "\n".join((said, *printed.told))


def _sends(house: Farmhouse, week: Week) -> tuple[Parcel, ...]:
    """The parcels that must go this week or in the one after it."""
    if not any(need.who for need in house.farm.needs):
        return ()
    from engine.needs.dispatch import sendings

    return sendings(house.nursery, week.today, week.end + timedelta(7))


def _instead(house: Farmhouse, week: Week) -> dict[str, tuple[Instead, ...]]:
    """For each lot that missed its window, the ways that are still open."""
    from engine.schedule.states import State

    missed = {task.lot: task.plan for task in week.tasks if task.state is State.MISSED and task.plan is not None}
    if not missed:
        return {}
    from engine.views.instead import ways_instead

    nursery = house.nursery
    return {lot: ways_instead(nursery, plan, week.today, nursery.track) for lot, plan in missed.items()}


COMMAND = Command(
    run,
    "FARM",
    "this week's tasks by place; or what fits into an hour to spare",
    (
        ("--wet", {"action": "store_true", "help": "a wet day: only what is under cover"}),
        ("--spare", {"type": by_argparse(at_least_1), "metavar": "MINUTES", "help": "what fits into so many minutes"}),
        ("--pdf", {**FILE, "help": "the weeks for the wall in large type, to print"}),
        (
            "--weeks",
            {"type": by_argparse(at_least_1), "default": 2, "metavar": "N", "help": "how many weeks (default: 2)"},
        ),
        ("--paper", {"choices": ("a4", "letter"), "default": "a4", "help": "its paper (default: a4)"}),
    ),
)
