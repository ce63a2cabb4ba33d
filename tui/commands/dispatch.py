"""`widger dispatch`: what goes to whom, picked from which lots, and when it may travel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import FILE, Command, Unusable, print_json
from tui.commands.shared.farms import farm_of, tell
from tui.commands.shared.printing import printing
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Sequence

    from engine.needs.dispatch import Parcel
    from tui.farmhouse import Farmhouse


def run(call: Namespace) -> int:
    from engine.needs.allotment import allot
    from engine.needs.dispatch import parcels
    from engine.reading.problems import nearest
    from tui.paper.dispatch import dispatch_csv, dispatch_json, dispatch_sheet

    house = farm_of(call)
    found = parcels(house.nursery, allot(house.day(call.on)), call.on)
    if call.who:
        mine = tuple(parcel for parcel in found if parcel.who.lower() == call.who.strip().lower())
        if not mine:
            hint = nearest(call.who, [parcel.who for parcel in found])
            raise Unusable(f'nothing is to be sent to "{call.who}"', hint)
        found = mine
    if call.pdf or call.labels:
        for line in _printed(call, house, found):
            say(line)
    elif call.json:
        print_json(dispatch_json(found))
    else:
        say(dispatch_csv(found).rstrip("\n") if call.csv else dispatch_sheet(house.farm, found, call.on))
    return tell(house, call.on)


def _printed(call: Namespace, house: Farmhouse, found: Sequence[Parcel]) -> list[str]:
    """Write the PDFs that were asked for, and say what was written."""
    from tui.paper.dispatch import packing_list, parcel_labels, pick_list
    from tui.paper.pdf import write_labels, write_pdf

    farm, told = house.farm, []
    with printing():
        if call.pdf:
            going = [parcel for parcel in found if parcel.ready]
            pages = [pick_list(farm, found, call.on), *(packing_list(farm, parcel, call.on) for parcel in going)]
            told.append(write_pdf(call.pdf, pages, f"Orders: {farm.name or 'Farm'}"))
        if call.labels:
            labels = parcel_labels(farm, found)
            if not labels:
                raise Unusable(f"nothing is ready to be labelled; {call.labels} is not written")
            told.append(write_labels(call.labels, labels, f"Parcels: {farm.name or 'Farm'}"))
    return told


COMMAND = Command(
    run,
    "FARM",
    "orders to send: what to pick where, what goes into each parcel, when it may travel",
    (
        ("--for", {"dest": "who", "metavar": "WHOM", "help": "only one customer's parcel"}),
        ("--csv", {"action": "store_true", "help": "as a table, a row for each need"}),
        ("--pdf", {**FILE, "help": "the pick list and a packing list for each parcel, to print"}),
        ("--labels", {**FILE, "help": "a label for each lot in each parcel, to print"}),
    ),
)
