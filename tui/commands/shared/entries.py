"""To record: each command writes one entry, or several at once, or is refused with the reason."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from engine.acts.action import say_refusal
from engine.reading.limits import LONGEST_AHEAD
from tui import door
from tui.commands.shared.call import Unusable, print_json, say_done
from tui.commands.shared.farms import enter, farm_path
from tui.out import say, warn

if TYPE_CHECKING:
    from argparse import Namespace
    from datetime import date

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery
    from tui.farmhouse import Farmhouse

    OnLatest = Callable[[Nursery, Sequence[Entry], str], tuple[Action, object]]
    OnOne = Callable[[Nursery, Sequence[Entry], str], tuple[Action, object]]


def record_one(
    call: Namespace,
    words: Sequence[str],
    make: Callable[[Nursery, Sequence[Entry]], Action],
    besides: Callable[[], Iterable[str]] = tuple,
    every: bool = False,
) -> int:
    """Record one action: its entry goes to standard output, a refusal to standard error.

    `besides` gives what else is told of it where no JSON is asked for. With `every`, `make` sees the entries that do
    not stand too.
    """
    from engine.journal.store import JournalError
    from tui.farmhouse import record
    from tui.paper.entry import entry_json

    house = enter(farm_path(words[0] if words else None))
    if (call.on - door.today()).days > LONGEST_AHEAD:
        warn(f"{call.on} is more than a year ahead of this device's clock; accepted as it is")
    try:
        entry = record(house.path, house.farm, make, every, warn)
    except JournalError as fault:
        raise Unusable(say_refusal(fault)) from None

    def tell() -> None:
        if call.json:
            print_json(entry_json(entry))
        else:
            say(_told(entry, house.entries, house.farm.units))
            for line in besides():
                say(f"  {line}")

    return say_done(tell)


def record_several(
    call: Namespace, words: Sequence[str], make: Callable[[Nursery, Sequence[Entry]], Sequence[Action]]
) -> int:
    """Record several actions in one append, all or none; one undo takes them all back."""
    return tell_several(call, write_several(enter(farm_path(words[0] if words else None)), make))


def write_several(house: Farmhouse, make: Callable[[Nursery, Sequence[Entry]], Sequence[Action]]) -> tuple[Entry, ...]:
    """What several actions wrote in one append. Raises Unusable, and what `make` raises."""
    from engine.journal.store import JournalError
    from tui.farmhouse import record_all

    try:
        return record_all(house.path, house.farm, make, tell=warn)
    except JournalError as fault:
        raise Unusable(say_refusal(fault)) from None


def tell_several(call: Namespace, written: Sequence[Entry]) -> int:
    """Tell what was recorded, a line each."""
    from engine.records.words import said
    from tui.paper.entry import entry_json

    if call.json:
        return say_done(lambda: print_json({"entries": [entry_json(entry) for entry in written]}))
    return say_done(lambda: say(*map(said, written)))


def on_entry(call: Namespace, latest: OnLatest, one: OnOne) -> int:
    """Record what is done with the latest entry of this device, or with the one of the id that is given."""
    from tui.farmhouse import device_of

    farm, entry = farm_and_entry(call)
    device = device_of(farm_path(farm[0] if farm else None))

    def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
        if entry:
            return one(nursery, entries, entry)[0]
        return latest(nursery, entries, device)[0]

    return record_one(call, farm, make, every=True)


def on_name(call: Namespace, act: Callable[[Nursery, str, str, date], Action]) -> int:
    """Record an act on what bears a name, with its reason where one is given."""
    farm, (name,) = split_words(call)
    return record_one(call, farm, lambda nursery, _: act(nursery, name, call.reason or "", call.on))


def farm_and_entry(call: Namespace) -> tuple[list[str], str]:
    """The words [FARM] [ENTRY]: a farm's file ends in .toml, or an id follows it."""
    words = list(call.words)
    if len(words) > 2:
        raise Unusable(f"usage: widger {call.command} [FARM] [ENTRY]")
    farm = [words.pop(0)] if words and (len(words) == 2 or words[0].endswith(".toml") or _is_file(words[0])) else []
    return farm, words[0] if words else ""


def _is_file(word: str) -> bool:
    from pathlib import Path

    return Path(word).exists()


def _told(entry: Entry, before: Sequence[Entry], units: str) -> str:
    """What was recorded; of an undo, what it takes back or gives again; of a correction, what is right."""
    from engine.acts.undoing import say_undone
    from engine.journal.corrections import CORRECT, corrected
    from engine.journal.store import standing, taken_back
    from engine.records.words import said

    if entry.kind == CORRECT:
        stand = [each for each in standing(before) if each.id == entry.data["of"]]
        return f"corrected: {said(corrected(stand, [entry])[0], units)}; was {said(stand[0], units)}"
    if entry.kind != "undo":
        return said(entry, units)
    ids = set(taken_back(entry))
    undone = [each for each in before if each.id in ids]
    if any(each.kind == "undo" for each in undone):
        ids = {target for each in undone for target in taken_back(each)}
        return f"redone: {say_undone([each for each in before if each.id in ids], units)}"
    return f"undone: {say_undone(undone, units)}"


def split_words(call: Namespace, most: int = 9, words: Sequence[str] | None = None) -> tuple[list[str], list[str]]:
    """The farm's name where it is given, and the words after it, as the command's usage names them.

    Of the usage the first `most` words are meant, of the call `words` where not all are.
    Raises Unusable where words lack or are too many.
    """
    names = call.usage.removeprefix("[FARM] ").split()[:most]
    words = call.words if words is None else words
    if len(words) == len(names) and words and words[0].endswith(".toml"):
        missing = f"one word is missing after {words[0]}"
        raise Unusable(f"usage: widger {call.command} [FARM] {' '.join(names)}; {missing}")
    if not len(names) <= len(words) <= len(names) + 1:
        raise Unusable(f"usage: widger {call.command} [FARM] {' '.join(names)}")
    farm = list(words[: len(words) - len(names)])
    return farm, list(words[len(words) - len(names) :])
