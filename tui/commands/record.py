"""The commands that record: each writes one entry, or is refused with the reason."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from engine.acts import propagation, season
from engine.records.words import said
from tui import door
from tui.commands.shared import GOOD, Unusable, day_of, degrees_of, enter, farm_path, print_json, whole_of

if TYPE_CHECKING:
    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery

A_YEAR = 366
"""Days ahead of the clock from which a day given is more likely a slip than a plan."""


def record_one(
    call: argparse.Namespace, words: Sequence[str], make: Callable[[Nursery, tuple[Entry, ...]], Action]
) -> int:
    """Record one action: its entry goes to standard output, a refusal to standard error."""
    from engine.acts.action import Refused
    from engine.journal.store import JournalError
    from tui.farmhouse import record
    from tui.paper.entry import entry_json

    house = enter(farm_path(words[0] if words else None))
    if (call.on - door.today()).days > A_YEAR:
        print(f"{call.on} is more than a year ahead of this device's clock; taken as given", file=sys.stderr)
    try:
        entry = record(house.path, house.farm, make)
    except (Refused, JournalError) as refusal:
        hint = getattr(refusal, "hint", "")
        raise Unusable(f"{refusal}" + (f" ({hint})" if hint else "")) from None
    if call.json:
        print_json(entry_json(entry))
    else:
        print(_told(entry, house.entries))
    return GOOD


def _told(entry: Entry, before: Sequence[Entry]) -> str:
    """What was recorded; of an undo, what it takes back."""
    from engine.acts.undoing import say_undone
    from engine.journal.store import taken_back

    ids = set(taken_back(entry))
    undone = [each for each in before if each.id in ids]
    return f"undone: {say_undone(undone)}" if undone else said(entry)


def split_words(words: Sequence[str], names: Sequence[str]) -> tuple[list[str], list[str]]:
    """The farm's name where it is given, and the words after it. Raises Unusable where words lack or are too many."""
    if len(words) == len(names) and words and words[0].endswith(".toml"):
        raise Unusable(f"give {' '.join(('[FARM]', *names))}: after {words[0]} one of them is missing")
    if not len(names) <= len(words) <= len(names) + 1:
        raise Unusable(f"give [FARM] {' '.join(names)}")
    farm = list(words[: len(words) - len(names)])
    return farm, list(words[len(words) - len(names) :])


def done(call: argparse.Namespace) -> int:
    farm, (batch, step) = split_words(call.words, ("BATCH", "STEP"))

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        lot = propagation.find_lot(nursery.records, batch)
        count = lot.count - call.left if call.count is None else call.count
        if over := [s for s in lot.batch.protocol.before(propagation.find_step(lot, step)) if s not in lot.done]:
            print(f"not recorded and now passed over: {', '.join(sorted(over))}", file=sys.stderr)
        return propagation.do(nursery.records, lot, step, count, call.left, call.on, call.on, not call.apart)

    return record_one(call, farm, make)


def look(call: argparse.Namespace) -> int:
    farm, (batch, step, finding) = split_words(call.words, ("BATCH", "STEP", "FINDING"))
    return record_one(
        call,
        farm,
        lambda nursery, _: propagation.look(
            propagation.find_lot(nursery.records, batch), step, finding, call.on, call.on
        ),
    )


def hold(call: argparse.Namespace) -> int:
    farm, (batch, step, reason) = split_words(call.words, ("BATCH", "STEP", "REASON"))
    return record_one(
        call,
        farm,
        lambda nursery, _: propagation.hold(propagation.find_lot(nursery.records, batch), step, reason, call.on),
    )


def release(call: argparse.Namespace) -> int:
    farm, (batch, step) = split_words(call.words, ("BATCH", "STEP"))
    return record_one(
        call, farm, lambda nursery, _: propagation.release(propagation.find_lot(nursery.records, batch), step, call.on)
    )


def later(call: argparse.Namespace) -> int:
    from engine.schedule.plan import plan_lot

    farm, (batch, step, to) = split_words(call.words, ("BATCH", "STEP", "DATE"))
    day = day_of(to)

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        lot = propagation.find_lot(nursery.records, batch)
        return propagation.later(plan_lot(nursery, lot, call.on), step, day, call.on)

    return record_one(call, farm, make)


def accept(call: argparse.Namespace) -> int:
    from engine.schedule.plan import plan_lot

    farm, (batch,) = split_words(call.words, ("BATCH",))

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        return propagation.accept(plan_lot(nursery, propagation.find_lot(nursery.records, batch), call.on), call.on)

    return record_one(call, farm, make)


def drop(call: argparse.Namespace) -> int:
    farm, (batch,) = split_words(call.words, ("BATCH",))
    return record_one(
        call,
        farm,
        lambda nursery, _: propagation.drop(
            propagation.find_lot(nursery.records, batch), call.step or "", call.reason or "", call.on
        ),
    )


def note(call: argparse.Namespace) -> int:
    farm, (batch, text) = split_words(call.words, ("BATCH", "TEXT"))
    return record_one(
        call, farm, lambda nursery, _: propagation.note(propagation.find_lot(nursery.records, batch), text, call.on)
    )


def saw(call: argparse.Namespace) -> int:
    farm, (mark,) = split_words(call.words, ("MARK",))
    return record_one(
        call,
        farm,
        lambda nursery, _: season.saw(nursery.farm, nursery.almanac, mark, call.on, call.on),
    )


def outage(call: argparse.Namespace) -> int:
    farm, (place, days, degrees) = split_words(call.words, ("PLACE", "DAYS", "DEGREES"))
    lasted, heat = whole_of(days, "days"), degrees_of(degrees)
    status = record_one(
        call,
        farm,
        lambda nursery, _: season.outage(nursery.farm, place, lasted, heat, call.on, call.on),
    )
    if not call.json:
        from engine.views.cold import told_of_outage

        house = enter(farm_path(farm[0] if farm else None))
        latest = next(o for o in reversed(house.records.outages) if (o.days, o.last) == (lasted, call.on))
        told = told_of_outage(house.nursery, house.plans(call.on), latest, call.on)
        print("\n".join(f"  {line}" for line in told or ("no seed stood there",)))
    return status


def undo(call: argparse.Namespace) -> int:
    from engine.acts.undoing import undo as undo_latest

    return record_one(call, call.words, lambda nursery, entries: undo_latest(nursery, entries, door.device())[0])
