"""Undo: the latest that a device recorded is taken back, all of it where several entries were written at once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from engine.acts.action import Action, Refused
from engine.journal.corrections import CORRECT
from engine.journal.device_names import is_of
from engine.journal.entry import Entry
from engine.journal.undone import Stand, stand
from engine.reading.log import onward
from engine.records.records import apply
from engine.records.words import said
from engine.schedule.nursery import Nursery

_NUMBERED = re.compile(r"(.+)-\d{6}")


def ids_at_once(first: str, count: int) -> list[str]:
    """Ids for entries that are written at once, from the one id that was drawn for them; by these they are known."""
    return [first] if count == 1 else [f"{first}-{n:06}" for n in range(count)]


def undo(nursery: Nursery, entries: Sequence[Entry], device: str) -> tuple[Action, tuple[Entry, ...]]:
    """Undo the latest standing entry that this device wrote, with those written at once with it; they are returned too.

    `entries` are all of the journal, and the nursery's records are made of those that stand. Raises Refused where
    there is nothing to undo, and where what was recorded since, by another device, would fit no more.
    """
    undone = latest(entries, device, nursery.records.stood)
    return take_back(nursery, entries, undone), undone


def latest(entries: Sequence[Entry], device: str, stood: Stand | None = None) -> tuple[Entry, ...]:
    """What an undo on this device takes back: its latest standing entry, and those written at once with it.

    `stood`: what is known to stand already. Raises Refused where there is none.
    """
    standing = stand(entries, stood).standing
    for last in reversed(standing):
        if last.kind != "undo" and is_of(last.id, device) and (last.kind != CORRECT or _is_there(last, standing)):
            group = _group(last)
            return tuple(e for e in standing if e.at == last.at and _group(e) == group) if group else (last,)
    raise Refused("there is nothing to undo", "only what this device recorded can be undone here")


def _is_there(correction: Entry, standing: Sequence[Entry]) -> bool:
    """Whether what is corrected stands."""
    of = correction.data.get("of")
    return any(entry.id == of for entry in standing)


def reach(entries: Sequence[Entry], touched: Sequence[Entry]) -> int:
    """How many entries are taken anew when these are taken back, or had again: those told since the first of them.

    All, where a place was set: what was told before may mean another place then.
    """
    left = {entry.id for entry in touched if entry.kind != "place"}
    if len(left) < len({entry.id for entry in touched}):
        return len(entries)
    for n, entry in enumerate(reversed(entries)):
        left.discard(entry.id)
        if not left:
            return n
    return len(entries)


def take_back(nursery: Nursery, entries: Sequence[Entry], undone: Sequence[Entry]) -> Action:
    """The undo of these entries. Raises Refused where another entry would fit no more."""
    _still_called(entries, undone, nursery.records.stood)
    ids = [e.id for e in undone]
    action = Action("undo", undone[-1].on, {"of": ids if len(ids) > 1 else ids[0]})
    back = Entry("", "", action.on, action.kind, action.data)
    after = stand(onward(entries, [back]), nursery.records.stood, entries)
    left = apply(nursery.farm, after.standing, before=nursery.records, stood=after)
    if told := stranded(nursery.records.strays, left.strays):
        raise Refused(
            f"{say_undone(undone, nursery.farm.units)} cannot be undone, because later entries depend on it: {told}",
            "undo that first: widger entries lists them all",
        )
    return action


def _still_called(entries: Sequence[Entry], undone: Sequence[Entry], stood: Stand | None) -> None:
    """Raises Refused where what stands was recorded by the name that a place got from one of these."""
    names = {str(now["name"]) for e in undone if e.kind == "place" and "name" in (now := e.data.get("now") or {})}
    if not names:
        return
    gone = {e.id for e in undone}
    for entry in stand(entries, stood).standing:
        named = {entry.data.get(key) for key in ("place", "to")} if entry.id not in gone else set()
        if called := next((name for name in names if name in named), ""):
            told = f"{called} is named by what was recorded since: {said(entry)}"
            raise Refused(told, "rename it again instead, or undo that first")


def say_undone(undone: Sequence[Entry], units: str = "metric") -> str:
    """What an undo takes back, in a few words; figures in the farm's units."""
    more = f", and {len(undone) - 1} more recorded with it" if len(undone) > 1 else ""
    return f"{said(undone[0], units)}{more}"


def _group(entry: Entry) -> tuple[str, str] | None:
    """What entries written at once have in common; None for one that was written alone."""
    named = _NUMBERED.fullmatch(entry.id)
    return (named[1], entry.at) if named else None


def stranded(before: Iterable[str], after: Iterable[str]) -> str:
    """The first that fits no more, and did before. Why a stray does not fit may change; what it is does not."""
    known = Counter(stray.partition(": ")[0] for stray in before)
    for stray in after:
        what = stray.partition(": ")[0]
        known[what] -= 1
        if known[what] < 0:
            return stray
    return ""
