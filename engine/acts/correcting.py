"""Mending the past: any entry corrected, taken back, or had again. The journal keeps all that was written.

A correction stands in the entry's own place in the journal: what came after it is told of a farm where it was right
from the start. It is refused where the entry could not have been recorded so, and where a later one would fit no more.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from engine.acts.action import Action, Refused
from engine.acts.batches import find_species, must_be_own
from engine.acts.propagation import day_fits
from engine.acts.record_again import AGAIN, Before, record_again
from engine.acts.undoing import say_undone, stranded, take_back
from engine.journal.corrections import CORRECT, correction_of
from engine.journal.device_names import is_of
from engine.journal.entry import Entry
from engine.journal.undone import Stand, taken_back
from engine.journal.undone import stand as stand_of
from engine.reading.frozen import replace
from engine.reading.log import onward
from engine.records.kinds import AHEAD, MAKING
from engine.records.records import Records, apply
from engine.records.words import said
from engine.schedule.nursery import Nursery, open_nursery

GENERAL = "widger correct --general follows the general method"
NAMED = ("batch", "lot", "need", "plant", "planting", "position")
"""Under which names an entry holds what it is about."""


def find_entry(entries: Iterable[Entry], entry_id: str) -> Entry:
    """The entry of that id, or of a part of it that no other has; of a correction, what it corrects.

    Raises Refused where there is none, and for an undo.
    """
    known, wanted = {entry.id: entry for entry in entries}, entry_id.strip()
    part = [entry for entry in known.values() if wanted and wanted in entry.id]
    found = known.get(wanted) or (part[0] if len(part) == 1 else None)
    if found is not None and found.kind == CORRECT:
        found = known.get(str(found.data.get("of")))
    if found is None:
        told = f'{len(part)} entries have "{wanted}" in their id' if part else f'no entry is called "{entry_id}"'
        raise Refused(told, "widger entries lists them")
    if found.kind == "undo":
        raise Refused("an undo cannot be corrected", "redo what it undid")
    return found


def fields_of(entry: Entry) -> dict[str, str]:
    """What of an entry may be corrected besides its day, and of what sort each is."""
    fields = dict(AGAIN[entry.kind][0]) if entry.kind in AGAIN else {}
    if entry.kind == "done" and "there" not in entry.data:
        del fields["there"]  # how many were alive is then how many went on
    return fields


def correct(
    nursery: Nursery, entries: Sequence[Entry], entry_id: str, today: date, on: date | None = None,
    changes: Mapping[str, Any] | None = None, general: bool = False,
) -> tuple[Action, Entry]:  # fmt: skip
    """A correction of an entry: its right day, and of `fields_of` what is right; None takes a word or a day away.

    `entries` are all of the journal; `general` means the general method, where a plant has none of its own by the one
    that is right. Also the entry as it then stands. Raises Refused for what may not be corrected, for a day and data
    with which it could not have been recorded, where nothing changes, and where another entry would fit no more.
    """
    stand = _standing(nursery, entries)
    found = find_entry(entries, entry_id)
    now = next((entry for entry in stand if entry.id == found.id), None)
    if now is None:
        raise Refused(f"{said(found)} was undone", "redo it first: widger redo")
    fields, changes = fields_of(now), changes or {}
    for key in changes:
        if key not in fields:
            known = ", ".join(("on", *fields))
            raise Refused(f'no "{key}" can be corrected here: {said(now)}', f"what can be: {known}")
    data = {key: value for key, value in {**now.data, **changes}.items() if key not in changes or value is not None}
    meant = replace(now, on=on or now.on, data=data)
    before = _before(nursery, stand, now, today)
    again = record_again(before, meant)
    if not general:
        _own_way(before, now, again)
    told = correction_of(now, again.on, again.data)
    if not told:
        raise Refused(f"nothing changes: {said(now)}")
    about: dict[str, Any] = {key: now.data[key] for key in NAMED if key in now.data}
    action = Action(CORRECT, max(today, again.on), about | told)
    after = replace(now, on=again.on, data=again.data)
    _fits(nursery, stand, now, after)
    return action, after


def _own_way(before: Before, now: Entry, again: Action) -> None:
    """Raises Refused where a correction would have a plant raised by a method of which it has nothing of its own."""
    way = ("species", "method")
    if again.data.get("method") is None or [again.data.get(key) for key in way] == [now.data.get(key) for key in way]:
        return
    farm = before.nursery.farm
    latin = str(again.data.get("species") or before.lot(now).batch.species)
    must_be_own(farm, find_species(farm, latin), str(again.data["method"]), GENERAL)


def take_back_one(nursery: Nursery, entries: Sequence[Entry], entry_id: str) -> tuple[Action, tuple[Entry, ...]]:
    """One entry taken back, whoever recorded it and whenever. Raises Refused where it is, or others rest on it."""
    correction = next((e for e in entries if e.id == entry_id.strip() and e.kind == CORRECT), None)
    found = correction or find_entry(entries, entry_id)
    now = next((entry for entry in _standing(nursery, entries) if entry.id == found.id), None)
    if now is None:
        raise Refused(f"{said(found)} is already undone", "to redo it: widger redo")
    return take_back(nursery, entries, (now,)), (now,)


def redo(nursery: Nursery, entries: Sequence[Entry], device: str) -> tuple[Action, tuple[Entry, ...]]:
    """Have again what this device took back last, as long as it has recorded nothing since; those entries too.

    Raises Refused where there is nothing, and where it would fit no more.
    """
    undo, _ = undone_last(entries, device, nursery.records.stood)
    return _have_again(nursery, entries, (undo,))


def undone_last(entries: Sequence[Entry], device: str, stood: Stand | None = None) -> tuple[Entry, tuple[Entry, ...]]:
    """What a redo on this device would take back, an undo, and what that took back. Raises Refused where there is none.

    `stood`: what is known to stand already.
    """
    stood = stand_of(entries, stood)
    for entry in reversed(stood.entries):
        if not is_of(entry.id, device):
            continue
        if entry.kind != "undo":
            break
        if entry.id not in stood.fallen and stood.undos.keys().isdisjoint(taken_back(entry)):
            return entry, _those(stood.entries, frozenset(taken_back(entry)))
    raise Refused("there is nothing to redo", "widger entries lists what was undone earlier")


def redo_one(nursery: Nursery, entries: Sequence[Entry], entry_id: str) -> tuple[Action, tuple[Entry, ...]]:
    """Have an entry again that was undone, with those taken back at once with it; they are returned too.

    Raises Refused where it stands, and where it would fit no more.
    """
    found = find_entry(entries, entry_id)
    undos = tuple(e for e in _standing(nursery, entries) if e.kind == "undo" and found.id in taken_back(e))
    if not undos:
        raise Refused(f"{said(found)} was not undone")
    return _have_again(nursery, entries, undos)


def _have_again(nursery: Nursery, entries: Sequence[Entry], undos: Sequence[Entry]) -> tuple[Action, tuple[Entry, ...]]:
    ids = [entry.id for entry in undos]
    action = Action("undo", undos[-1].on, {"of": ids if len(ids) > 1 else ids[0]})
    before = stand_of(entries, nursery.records.stood)
    told = Entry("", "", action.on, action.kind, action.data)
    after = stand_of(onward(before.entries, [told]), before, before.entries)
    back = _those(after.standing, before.fallen - after.fallen)
    left = apply(nursery.farm, after.standing, before=nursery.records, stood=after)
    if told_of := stranded(nursery.records.strays, left.strays):
        raise Refused(f"{say_undone(back)} no longer fits: {told_of}", "record it again as it should be")
    return action, back


def _those(entries: Sequence[Entry], ids: frozenset[str]) -> tuple[Entry, ...]:
    """The entries of these ids, in their order; what is undone was mostly recorded of late."""
    found, wanted = [], set(ids)
    for entry in reversed(entries):
        if entry.id in wanted:
            found.append(entry)
            wanted.discard(entry.id)
            if not wanted:
                break
    return tuple(reversed(found))


def _standing(nursery: Nursery, entries: Sequence[Entry]) -> Sequence[Entry]:
    """Those of the entries that stand, as they are corrected."""
    return stand_of(entries, nursery.records.stood).standing


def _before(nursery: Nursery, stand: Sequence[Entry], entry: Entry, today: date) -> Before:
    """The farm as it stood when an entry was recorded. What makes a batch, a need or stock plants is there whichever
    clock ran slow."""
    at = next(n for n, each in enumerate(stand) if each.id == entry.id)
    known = [e for n, e in enumerate(stand) if e.id != entry.id and (n < at or e.kind in MAKING)]
    written = nursery.farm.written
    return Before(open_nursery(written, apply(written, known, before=nursery.records)), known, today)


def _fits(nursery: Nursery, stand: Sequence[Entry], now: Entry, after: Entry) -> None:
    """Raises Refused where another entry would fit no more with the entry as it is to stand."""
    mended = [after if entry.id == now.id else entry for entry in stand]
    records = apply(nursery.farm, mended, before=nursery.records)
    if told := stranded(nursery.records.strays, records.strays):
        _refuse(after, told)
    for lot in (*records.lots, *records.joined):
        for step, act in lot.done.items():
            if act.entry == after.id:
                day_fits(lot, step, after.on)
                if early := next((look for look in lot.looks if look.step == step and look.day < after.on), None):
                    _refuse(after, f"{step} was looked at on {early.day}")
    # Told by the day as by the journal: what stood in the meantime must have been there.
    first, last = sorted((now.on, after.on))
    about = _about(now) | _about(after)
    for day in sorted({e.on for e in stand if first <= e.on < last and e.id != now.id and about & _about(e)}):
        was, is_now = (_on(nursery, some, day).strays for some in (stand, mended))
        if told := stranded(was, is_now):
            _refuse(after, told)


def _refuse(after: Entry, told: str) -> None:
    raise Refused(f"{said(after)} conflicts with what was recorded since: {told}", "correct or undo that first")


def _on(nursery: Nursery, entries: Iterable[Entry], day: date) -> Records:
    kept = [entry for entry in entries if entry.on <= day or entry.kind in AHEAD]
    return apply(nursery.farm, kept, before=nursery.records)


def _about(entry: Entry) -> set[str]:
    """The lots that an entry is about."""
    return {str(entry.data[key]) for key in ("batch", "lot", "into", "part") if entry.data.get(key)}
