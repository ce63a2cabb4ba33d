"""`widger trace`: where a lot came from and where it went, with its ledger."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable, print_json
from tui.commands.shared.entries import split_words
from tui.commands.shared.farms import enter, farm_path, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.reading.problems import nearest

    farm, (lot,) = split_words(call)
    house = enter(farm_path(farm[0] if farm else None), keep=True)
    from engine.views.lot_ledger import ledger
    from engine.views.trace import trace

    records = house.as_of(call.on).watched()
    names = records.stock.names
    name = lot if lot in names else next((n for n in names if n.lower() == lot.lower()), None)
    if name is None:
        hint = nearest(lot, names)
        raise Unusable(f'no lot is called "{lot}"', hint)
    found = trace(house.farm, records, name)
    lines = ledger(records.stock.movements, name)
    if call.json:
        from tui.paper.trace import trace_json

        print_json(trace_json(found, lines))
    else:
        from tui.paper.trace import trace_sheet

        say(trace_sheet(house.farm, found, lines))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "[FARM] LOT",
    "where a lot came from and where it went, with its ledger",
)
