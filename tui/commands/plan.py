"""`widger plan`: every batch's steps with their dates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace

    from tui.farmhouse import Farmhouse


def run(call: Namespace) -> int:
    house = farm_of(call)
    from engine.views.plan import batch_lines

    plans = house.plans(call.on)
    if call.batch:
        plans = tuple(p for p in plans if call.batch in (p.lot.id, p.batch.id))
        if not plans:
            raise _no_plan(house, call.batch)
    batches = [batch_lines(house.nursery, plan, call.on) for plan in plans]
    if call.json:
        from tui.paper.plan import plan_json

        print_json(plan_json(batches))
    else:
        from tui.paper.plan import plan_sheet

        say(plan_sheet(house.farm, batches, why=bool(call.batch)))
    return tell(house, call.on)


def _no_plan(house: Farmhouse, name: str) -> Unusable:
    """Why there is no plan of a lot of that name."""
    from engine.reading.problems import nearest

    if any(name in (lot.id, lot.batch.id) for lot in house.records.lots):
        given_up = all(lot.given_up for lot in house.records.lots if name in (lot.id, lot.batch.id))
        return Unusable(f"{name} was dropped" if given_up else f"{name} cannot be dated: `widger check` says why")
    return Unusable(f'no batch is called "{name}"', nearest(name, (lot.id for lot in house.records.lots)))


COMMAND = Command(
    run,
    "FARM",
    "every batch's steps with their dates",
    (("--batch", {"metavar": "ID", "help": "one batch, with the reason of every date"}),),
)
