"""`widger instead`: the other ways that are still open to a lot that missed its window; --take goes one of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, print_json
from tui.commands.shared.entries import split_words, tell_several, write_several
from tui.commands.shared.farms import enter, farm_path, tell
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Sequence

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery
    from engine.views.instead import Instead
    from tui.farmhouse import Farmhouse


def run(call: Namespace) -> int:
    from engine.acts.action import Refused
    from engine.acts.propagation import find_lot
    from engine.almanac.almanac import date_of
    from engine.schedule.plan import plan_lot
    from engine.views.instead import missed_of, ways_instead
    from tui.paper.instead import instead_json, instead_sheet

    farm, (name,) = split_words(call)
    house = enter(farm_path(farm[0] if farm else None))
    nursery = house.nursery
    lot = find_lot(nursery.records, name)
    plan = plan_lot(nursery, lot, call.on)
    k = missed_of(plan, call.on) if lot.given_up is None else None
    found = ways_instead(nursery, plan, call.on, nursery.track) if k is not None else ()
    none = f"{lot.id} has no missed task with another way open"
    if call.take is not None:
        if k is None:
            raise Refused(none)
        return _take(call, house, lot.id, _meant(found, call.take))
    if call.json:
        step = None if k is None else plan.step(k).do
        print_json({"batch": lot.id, "step": step, "others": instead_json(found)})
    elif k is None:
        say(f"{none}.")
    else:
        plant = nursery.farm.plant(lot.batch.species, lot.batch.cultivar)
        say(instead_sheet(lot.id, plan.step(k).do, plant, date_of(plan.now.aims[k]), found, call.on))
    return tell(house, call.on)


def _meant(found: Sequence[Instead], wanted: str) -> Instead:
    """The way of that title, or of that method where it is the only one. Raises Refused."""
    from engine.acts.action import Refused
    from engine.protocols.names import plain
    from engine.reading.problems import nearest

    exact = [way for way in found if plain(way.title) == plain(wanted)]
    meant = exact or [way for way in found if plain(wanted) in (plain(way.protocol.method), plain(way.protocol.route))]
    if len(meant) == 1:
        return meant[0]
    titles = [way.title for way in meant or found]
    if meant:
        raise Refused(f'several ways are "{wanted}"', f"say which: {'; '.join(titles)}")
    raise Refused(f'"{wanted}" is not one of the ways still open', nearest(wanted, titles))


def _take(call: Namespace, house: Farmhouse, lot: str, way: Instead) -> int:
    from engine.acts.instead import take_instead

    def make(nursery: Nursery, entries: Sequence[Entry]) -> list[Action]:
        return take_instead(nursery, entries, lot, way.protocol, way.at_hand, call.on)

    return tell_several(call, write_several(house, make))


COMMAND = Command(
    run,
    "[FARM] BATCH",
    "a window was missed: the other ways that are still open; --take chooses one, and one undo reverses it",
    (("--take", {"metavar": "WAY", "help": 'the way to go, such as "seed, held cold, sown in spring"'}),),
)
