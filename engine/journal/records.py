"""What the journal says of each batch: lots with the acts done, looks, waits, notes; a lot splits when a part is done.

The kinds of entries and their data:

    done    batch, step, count; left and part where only a part was done; join: part lots taken in again
    look    batch, step, finding (nothing, radicles, mould, dry)
    hold    batch, step, reason             release  batch, step
    later   batch, step, to (a date)        accept   batch
    drop    batch, step (none: the whole lot), reason
    note    batch, text                     saw      mark
    worked  do, place                       undo     of
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from engine.almanac.almanac import Sighting
from engine.farm.model import Batch, Farm
from engine.journal.entry import Entry

FINDINGS = ("nothing", "radicles", "mould", "dry")


@dataclass(frozen=True, slots=True)
class Done:
    """An act done: the day, how many came through it, and the entry that says so."""

    day: date
    count: int
    entry: str


@dataclass(frozen=True, slots=True)
class Look:
    """What a look at a lasting step found."""

    day: date
    step: str
    finding: str
    entry: str


@dataclass(frozen=True, slots=True)
class Lot:
    """A batch, or a part of one that was done apart, with what has happened to it so far."""

    id: str
    batch: Batch
    count: int
    done: Mapping[str, Done] = field(default_factory=dict)
    held: Mapping[str, str] = field(default_factory=dict)
    later: Mapping[str, date] = field(default_factory=dict)
    dropped: Mapping[str, date] = field(default_factory=dict)
    looks: tuple[Look, ...] = ()
    notes: tuple[tuple[date, str], ...] = ()
    accepted: date | None = None
    given_up: date | None = None

    def last_look(self, step: str) -> Look | None:
        return next((look for look in reversed(self.looks) if look.step == step), None)

    def radicles(self, step: str) -> date | None:
        """When radicles were first seen in a step that lasts."""
        return next((look.day for look in self.looks if look.step == step and look.finding == "radicles"), None)


@dataclass(frozen=True, slots=True)
class Records:
    """The journal applied to a farm: its lots, the marks seen, standing work done, and entries that fit nothing."""

    lots: tuple[Lot, ...]
    sightings: tuple[Sighting, ...] = ()
    worked: tuple[tuple[str, str, date], ...] = ()
    strays: tuple[str, ...] = ()

    def lot(self, lot_id: str) -> Lot | None:
        return next((lot for lot in self.lots if lot.id == lot_id), None)


def apply(farm: Farm, entries: Iterable[Entry]) -> Records:
    """Apply standing entries (undone ones taken out) to a farm, in order. What fits nothing is told, never dropped."""
    lots = {b.id: Lot(b.id, b, b.count) for b in farm.batches}
    sightings: list[Sighting] = []
    worked: list[tuple[str, str, date]] = []
    strays: list[str] = []
    for entry in entries:
        data = entry.data
        if entry.kind == "undo":
            continue
        if entry.kind == "saw":
            sightings.append(Sighting(str(data.get("mark", "")), entry.on))
        elif entry.kind == "worked":
            worked.append((str(data.get("do", "")), str(data.get("place", "")), entry.on))
        elif (lot := lots.get(str(data.get("batch", "")))) is not None:
            fault = _apply(lot, entry, lots)
            if fault:
                strays.append(f"{entry.on} {entry.kind} {data.get('batch')}: {fault}")
        else:
            strays.append(f'{entry.on} {entry.kind}: no batch is called "{data.get("batch")}" in the farm file')
    return Records(tuple(lots.values()), tuple(sightings), tuple(worked), tuple(strays))


def _apply(lot: Lot, entry: Entry, lots: dict[str, Lot]) -> str:
    """Apply one entry to its lot; returns what does not fit, or nothing."""
    step = str(entry.data.get("step") or "")
    steps = {s.do for s in lot.batch.protocol.steps}
    if step and step not in steps:
        return f'its protocol has no step "{step}"'
    match entry.kind:
        case "done":
            return _done(lot, step, entry, lots)
        case "look":
            finding = str(entry.data.get("finding", "nothing"))
            lots[lot.id] = replace(lot, looks=(*lot.looks, Look(entry.on, step, finding, entry.id)))
        case "hold":
            lots[lot.id] = replace(lot, held={**lot.held, step: str(entry.data.get("reason", ""))})
        case "release":
            lots[lot.id] = replace(lot, held={k: v for k, v in lot.held.items() if k != step})
        case "later":
            try:
                to = date.fromisoformat(str(entry.data.get("to")))
            except ValueError:
                return "its date cannot be read"
            lots[lot.id] = replace(lot, later={**lot.later, step: to})
        case "accept":
            lots[lot.id] = replace(lot, accepted=entry.on)
        case "drop" if step in lot.done:
            return f'"{step}" was done already on {lot.done[step].day}'
        case "drop" if step:
            lots[lot.id] = replace(lot, dropped={**lot.dropped, step: entry.on})
        case "drop":
            lots[lot.id] = replace(lot, given_up=entry.on)
        case "note":
            lots[lot.id] = replace(lot, notes=(*lot.notes, (entry.on, str(entry.data.get("text", "")))))
        case _:
            return "this Widger does not know such an entry; a newer one may"
    return ""


def _done(lot: Lot, step: str, entry: Entry, lots: dict[str, Lot]) -> str:
    if not step:
        return "it names no step"
    if step in lot.done:
        return f'"{step}" was done already on {lot.done[step].day}'
    count, left = _whole(entry.data.get("count"), lot.count), _whole(entry.data.get("left"), 0)
    act = Done(entry.on, count, entry.id)
    held = {k: v for k, v in lot.held.items() if k != step}
    dropped = {k: v for k, v in lot.dropped.items() if k != step}
    if left > 0:
        part = str(entry.data.get("part") or part_id(lot.id, lots))
        lots[lot.id] = replace(lot, count=left)
        lots[part] = replace(lot, id=part, count=count, done={**lot.done, step: act}, held=held, dropped=dropped)
        return ""
    apart: list[str] = []
    looks, notes = list(lot.looks), list(lot.notes)
    for other in entry.data.get("join") or ():
        part_lot = lots.get(str(other))
        if part_lot is not None and set(part_lot.done) == {*lot.done, step}:
            del lots[part_lot.id]
            count += part_lot.count
            looks += [look for look in part_lot.looks if look not in looks]
            notes += [note for note in part_lot.notes if note not in notes]
        else:
            apart.append(str(other))
    lots[lot.id] = replace(
        lot, count=count, done={**lot.done, step: replace(act, count=count)}, held=held, dropped=dropped,
        looks=tuple(looks), notes=tuple(notes),
    )  # fmt: skip
    return f"not joined, for it has gone on or is not there: {', '.join(apart)}" if apart else ""


def part_id(lot_id: str, taken: Iterable[str]) -> str:
    """The next free name for a part of a lot: elder-27/1, elder-27/2, …"""
    names = set(taken)
    number = 1
    while f"{lot_id}/{number}" in names:
        number += 1
    return f"{lot_id}/{number}"


def _whole(value: object, default: int) -> int:
    return value if isinstance(value, int) and not isinstance(value, bool) and value >= 0 else default
