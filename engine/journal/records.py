"""What the journal says of each batch: lots with the acts done, looks, waits, notes; a lot splits when a part is done.

The kinds of entries and their data:

    done    batch, step, count; left and part where only a part was done; join: part lots taken in again
    look    batch, step, finding (nothing, radicles, mould, dry, dry through)
    hold    batch, step, reason             release  batch, step
    later   batch, step, to (a date)        accept   batch
    drop    batch, step (none: the whole lot), reason
    batch   batch, species, cultivar, method, route, count, start, ready, place, note: a batch added at the screen
    change  batch, and of count, start, ready and cultivar what is new: only before an act of it is done
    note    batch, text                     saw      mark
    worked  do, place                       undo     of
    row     place, row, lots [[lot, metres, count], …]: what stands in a row, from its fixed end; replaces what was told
    outage  place, days, temperature_c: the place stood so warm (or cold) for so many days, the last of them `on`
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any

from engine.almanac.almanac import Sighting
from engine.farm.model import Batch, Farm
from engine.journal.added import Unfit, added_batches, begun, changed, grown
from engine.journal.entry import Entry
from engine.journal.rows import RowPart, row_parts
from engine.stock.book import KINDS, Book, Key, LotName, Stock

DRY_THROUGH = "dry through"
"""Not dry at the surface alone: seed that drying kills is lost, and other seed begins its treatment anew."""
FINDINGS = ("nothing", "radicles", "mould", "dry", DRY_THROUGH)

LONGEST_OUTAGE = 366
"""Days; a longer one is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Done:
    """An act done: the day, how many came through it, the entry that says so, and how many it was done to.

    What was lost since the act before is counted in `into`, so that count / into is the share that came through.
    """

    day: date
    count: int
    entry: str
    into: int = 0


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
    lost: int = 0
    """How many were lost since the last act, by entries of the stock."""

    def last_look(self, step: str) -> Look | None:
        return next((look for look in reversed(self.looks) if look.step == step), None)

    def radicles(self, step: str) -> date | None:
        """When radicles were first seen in a step that lasts; those out before it dried through are dead."""
        first = None
        for look in self.looks:
            if look.step == step and look.finding in ("radicles", DRY_THROUGH):
                first = None if look.finding == DRY_THROUGH else first or look.day
        return first

    def ended(self, step: str) -> date | None:
        """The day on which what a step started came to its end: the first act done that comes after it."""
        protocol, past, days = self.batch.protocol, {step}, []
        for k, following in enumerate(protocol.steps):
            if any(after.do in past for after in protocol.after(k)):
                past.add(following.do)
                if following.do in self.done:
                    days.append(self.done[following.do].day)
        return min(days, default=None)


@dataclass(frozen=True, slots=True)
class Outage:
    """A place that stood too warm, or froze, for some days; `last` is the last of them. Degrees Celsius."""

    place: str
    days: int
    last: date
    temperature_c: float

    @property
    def first(self) -> date:
        return self.last - timedelta(self.days - 1)


@dataclass(frozen=True, slots=True)
class Records:
    """The journal applied to a farm: its lots, the marks seen, standing work done, and entries that fit nothing."""

    lots: tuple[Lot, ...]
    sightings: tuple[Sighting, ...] = ()
    worked: tuple[tuple[str, str, date], ...] = ()
    strays: tuple[str, ...] = ()
    stock: Stock = field(default_factory=Stock)
    outages: tuple[Outage, ...] = ()
    rows: Mapping[tuple[str, str], tuple[RowPart, ...]] = field(default_factory=dict)
    """What stands in each row of a place, from its fixed end."""
    farm: Farm | None = None
    """The farm with the batches that the journal adds and changes."""

    def lot(self, lot_id: str) -> Lot | None:
        return next((lot for lot in self.lots if lot.id == lot_id), None)


def apply(farm: Farm, entries: Iterable[Entry], watch: Iterable[str] | None = ()) -> Records:
    """Apply standing entries (undone ones taken out) to a farm, in order. What fits nothing is told, never dropped.

    `watch` names the lots whose movements the stock keeps, for their ledger; None: all of them.
    """
    entries = tuple(entries)
    strays: list[str] = []
    # Whichever device's clock runs slow: a batch is there before what is told of it.
    farm = grown(farm.written, added_batches(farm.written, entries, strays))
    lots = {b.id: Lot(b.id, b, b.count) for b in farm.batches}
    batches = {b.id: b for b in farm.batches}
    book = _opened(farm, watch)
    sightings: list[Sighting] = []
    worked: list[tuple[str, str, date]] = []
    outages: list[Outage] = []
    rows: dict[tuple[str, str], tuple[RowPart, ...]] = {}
    for entry in entries:
        data = entry.data
        if entry.kind in ("undo", "batch"):
            continue
        if entry.kind in KINDS:
            if fault := _stock(book, entry, lots):
                strays.append(f"{entry.on} {entry.kind} {data.get('lot', '')}: {fault}")
        elif entry.kind == "saw":
            sightings.append(Sighting(str(data.get("mark", "")), entry.on))
        elif entry.kind == "worked":
            worked.append((str(data.get("do", "")), str(data.get("place", "")), entry.on))
        elif entry.kind == "outage":
            if (outage := _outage(entry)) is not None:
                outages.append(outage)
            else:
                strays.append(f"{entry.on} outage {data.get('place', '')}: its days or its temperature cannot be read")
        elif entry.kind == "row":
            parts = row_parts(data.get("lots"))
            if parts is None:
                strays.append(f"{entry.on} row {data.get('row', '')}: its lots cannot be read")
            else:
                rows[str(data.get("place", "")), str(data.get("row", ""))] = parts
        elif (lot := lots.get(str(data.get("batch", "")))) is not None and entry.kind == "change":
            if fault := _change(book, lot, entry, lots, batches):
                strays.append(f"{entry.on} change {lot.id}: {fault}")
        elif lot is not None:
            fault = _apply(farm, lot, entry, lots, book.names)
            _enter(book, farm, lot, entry, lots)
            if fault:
                strays.append(f"{entry.on} {entry.kind} {data.get('batch')}: {fault}")
        else:
            strays.append(f'{entry.on} {entry.kind}: no batch is called "{data.get("batch")}"')
    return Records(
        tuple(lots.values()), tuple(sightings), tuple(worked), tuple(strays), book.close(), tuple(outages), rows,
        grown(farm, batches.values()),
    )  # fmt: skip


def _opened(farm: Farm, watch: Iterable[str] | None) -> Book:
    """The book as the farm file opens it: every batch by name, and what was there at the start."""
    book = Book(watch)
    for batch in farm.batches:
        book.begin(batch.id, LotName(batch.species, batch.cultivar, "propagated"))
    for held in farm.opening:
        told = {
            "lot": held.lot, "species": held.species, "cultivar": held.cultivar, "form": held.form,
            "grade": held.grade, "place": held.place, "count": held.count, "unit": held.unit, "origin": "opening",
        }  # fmt: skip
        book.post("receive", told, date.min, "")
    return book


def _stock(book: Book, entry: Entry, lots: dict[str, Lot]) -> str:
    """Take one entry of the stock; a lot still under propagation counts what is left for its next act.

    A part split from it goes through the same steps; a lot joined to another ends; one of which nothing is left is
    given up.
    """
    data = entry.data
    fault = book.post(entry.kind, data, entry.on, entry.id)
    name, into = str(data.get("lot", "")), str(data.get("into", ""))
    if fault or (name not in lots and into not in lots):
        return fault
    if (lot := lots.get(name)) is not None:
        if entry.kind == "join":
            del lots[name]
            book.current.pop(name, None)
        elif entry.kind == "split" and _at(data, name) == (before := book.current.get(name)) and before is not None:
            lots[into] = replace(lot, id=into)
            book.current[into] = (into, *before[1:])
    for each in (name, into):
        if (lot := lots.get(each)) is not None and (key := book.current.get(each)) is not None:
            left = book.on_hand.get(key, 0)
            if left != lot.count or (lot.given_up is not None and left):
                lost = lot.lost + lot.count - left if entry.kind in ("lose", "count") else lot.lost
                lots[each] = replace(lot, count=left, lost=lost, given_up=None if left else entry.on)
    return ""


def _at(data: Mapping[str, Any], lot: str) -> Key:
    return lot, str(data.get("form", "")), str(data.get("grade", "")), str(data.get("place", ""))


def _change(book: Book, lot: Lot, entry: Entry, lots: dict[str, Lot], batches: dict[str, Batch]) -> str:
    """Change what a lot was meant to be; returns why that does not fit, or nothing."""
    if reason := begun(lot):
        return reason
    try:
        batch = changed(lot.batch, entry.data)
    except Unfit as fault:
        return str(fault)
    batches[batch.id] = batch
    lots[lot.id] = replace(lot, batch=batch, count=batch.count)
    book.name(lot.id, LotName(batch.species, batch.cultivar, "propagated"))
    return ""


def _enter(book: Book, farm: Farm, before: Lot, entry: Entry, lots: dict[str, Lot]) -> None:
    """Enter in the book what an act done, or a lot given up, does to the counts. Only what was applied counts."""
    step = str(entry.data.get("step") or "")
    now = lots.get(before.id)
    if now is not None and now.given_up is not None and before.given_up is None:
        book.give_up(before.id, entry.on, entry.id)
    if entry.kind != "done" or step in before.done or overtaken(before, step):
        return
    after = lots.get(before.id)
    part = next((n for n, lot in lots.items() if step in lot.done and lot.done[step].entry == entry.id), "")
    if after is None or not part:
        return
    left = after.count if part != before.id else 0
    came = lots[part].done[step].count
    for other in entry.data.get("join") or ():
        if str(other) not in lots:
            came -= book.on_hand.get(book.current.get(str(other), ("", "", "", "")), 0)
    protocol = before.batch.protocol
    place = farm.place_for(protocol.steps[protocol.index(step)].place or before.batch.place)
    apart = part if part != before.id else ""
    had = before.count - left
    book.done(before.id, step, before.batch.method, place, had, came, entry.on, entry.id, apart)
    for other in entry.data.get("join") or ():
        if str(other) not in lots:
            book.post("join", {"lot": str(other), "into": before.id}, entry.on, entry.id)
    key = book.current.get(before.id)
    if not apart and key is not None and book.on_hand.get(key, 0) != lots[before.id].count:
        # What a joined lot had standing there beside it comes in too.
        lots[before.id] = replace(lots[before.id], count=book.on_hand.get(key, 0))


def _apply(farm: Farm, lot: Lot, entry: Entry, lots: dict[str, Lot], names: Collection[str]) -> str:
    """Apply one entry to its lot; returns what does not fit, or nothing."""
    step = str(entry.data.get("step") or "")
    steps = {s.do for s in lot.batch.protocol.steps}
    if step and step not in steps:
        return f'its protocol has no step "{step}"'
    match entry.kind:
        case "done":
            return _done(lot, step, entry, lots, names)
        case "look":
            finding = str(entry.data.get("finding", "nothing"))
            looked = replace(lot, looks=(*lot.looks, Look(entry.on, step, finding, entry.id)))
            dead = finding == DRY_THROUGH and drying_kills(farm, lot) and lot.ended(step) is None
            lots[lot.id] = replace(looked, given_up=entry.on) if dead and lot.given_up is None else looked
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


def _done(lot: Lot, step: str, entry: Entry, lots: dict[str, Lot], names: Collection[str]) -> str:
    if not step:
        return "it names no step"
    if step in lot.done:
        return f'"{step}" was done already on {lot.done[step].day}'
    count, left = _whole(entry.data.get("count"), lot.count), _whole(entry.data.get("left"), 0)
    if left and left >= lot.count:
        return f"{left} cannot be left of {lot.count}"
    if overtaken(lot, step):  # told afterwards: what came of it since is counted already
        lots[lot.id] = replace(lot, done={**lot.done, step: Done(entry.on, count, entry.id, count)})
        return ""
    act = Done(entry.on, count, entry.id, max(count, lot.count + lot.lost - left))
    held = {k: v for k, v in lot.held.items() if k != step}
    dropped = {k: v for k, v in lot.dropped.items() if k != step}
    if left > 0:
        part = str(entry.data.get("part") or "")
        if not part or part in names:  # two devices may have chosen one name
            part = part_id(lot.id, names)
        lots[lot.id] = replace(lot, count=left, lost=0)
        done = {**lot.done, step: act}
        lots[part] = replace(lot, id=part, count=count, lost=0, done=done, held=held, dropped=dropped)
        return ""
    apart: list[str] = []
    looks, notes = list(lot.looks), list(lot.notes)
    for other in entry.data.get("join") or ():
        part_lot = lots.get(str(other))
        kin = part_lot is not None and part_lot.id != lot.id and part_lot.batch.id == lot.batch.id
        if part_lot is not None and kin and set(part_lot.done) == {*lot.done, step}:
            del lots[part_lot.id]
            count += part_lot.count
            act = replace(act, into=act.into + part_lot.done[step].into)
            looks += [look for look in part_lot.looks if look not in looks]
            notes += [note for note in part_lot.notes if note not in notes]
        else:
            apart.append(str(other))
    lots[lot.id] = replace(
        lot, count=count, lost=0, done={**lot.done, step: replace(act, count=count)}, held=held, dropped=dropped,
        looks=tuple(looks), notes=tuple(notes),
    )  # fmt: skip
    return f"not joined, for it has gone on or is not there: {', '.join(apart)}" if apart else ""


def overtaken(lot: Lot, step: str) -> bool:
    """Whether a step that follows this one, near or far, is recorded already."""
    protocol = lot.batch.protocol
    order = [s.do for s in protocol.steps]
    if step not in order:
        return False
    at = order.index(step)
    return any(d in order and order.index(d) > at and step in protocol.before(d) for d in lot.done)


def drying_kills(farm: Farm, lot: Lot) -> bool:
    """Whether the lot is seed that does not survive drying (acorns, chestnuts, pawpaw)."""
    return lot.batch.method == "seed" and farm.species_of(lot.batch.species).drying_kills


def _outage(entry: Entry) -> Outage | None:
    place, days, heat = (entry.data.get(name) for name in ("place", "days", "temperature_c"))
    if not isinstance(days, int) or isinstance(days, bool) or not 1 <= days <= LONGEST_OUTAGE:
        return None
    if not isinstance(heat, int | float) or isinstance(heat, bool) or not -90 <= heat <= 90:
        return None
    return Outage(str(place), days, entry.on, float(heat))


def part_id(lot_id: str, taken: Iterable[str]) -> str:
    """The next free name for a part of a lot: elder-27/1, elder-27/2, …"""
    names = set(taken)
    number = 1
    while f"{lot_id}/{number}" in names:
        number += 1
    return f"{lot_id}/{number}"


def _whole(value: object, default: int) -> int:
    return value if isinstance(value, int) and not isinstance(value, bool) and value >= 0 else default
