"""The journal while it is taken, entry by entry: what stands after each of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, MutableMapping
from copy import copy
from datetime import date, timedelta
from itertools import chain
from typing import Any

from engine.almanac.almanac import Sighting
from engine.farm.model import Batch, Farm
from engine.journal.entry import Entry
from engine.reading.frozen import dataclass, replace
from engine.reading.limits import LONGEST_OUTAGE, MOST_HELD, MOST_IN_BATCH
from engine.records.batches import added_batches, changed, grown
from engine.records.counts_teach import Trial
from engine.records.kinds import AHEAD, FARM_KINDS, PLANTING_KINDS
from engine.records.known_names import Known
from engine.records.layers import copied
from engine.records.lots import (
    Done,
    Lot,
    alike,
    begun,
    bereft,
    both,
    counted,
    meant_otherwise,
    overtaken,
    part_off,
    tell_lot,
)
from engine.records.lots import whole as whole_count
from engine.records.makers import Makers
from engine.records.rows import RowPart, row_parts
from engine.records.settings import as_set
from engine.records.stock import Key, LotName
from engine.records.stock_book import KINDS, Book
from engine.records.strays import stray
from engine.records.values import Unfit, beyond, texts

_MAKING = {"receive": "lot", "split": "into"}
"""The lot that an entry of the stock brings about."""
_MOVING = ("move", "pot_up")
"""Of which `to` is a place."""
_NAMING = ("batch", "lot", "need", "plant", "planting", "place", "mark")
_LOTS = ("batch", "lot", "into", "part")
_TOLD = frozenset(("saw", "worked", "packed", "outage", "row"))


@dataclass(frozen=True, slots=True)
class Outage:
    """A place that stood too warm, or froze, for some days; `last` is the last of them. Degrees Celsius."""

    place: str
    days: int
    last: date
    temperature_c: float

    @property
    def first(self) -> date:
        """The first of its days."""
        return self.last - timedelta(self.days - 1)


class State:
    """What stands after some entries of a farm's journal. It is changed by `take` alone, until it is `copied`."""

    def __init__(self, farm: Farm, entries: Iterable[Entry], watch: Iterable[str] | None) -> None:
        """Before any entry; `entries` are those of all that will come that are heeded from the start, as batches."""
        self.strays: list[str] = []
        self.beyond: list[str] = []
        """What is told of entries that cannot be meant at all; it is told first."""
        self.makers = Makers()
        # Whichever device's clock runs slow: a batch is there before what is told of it.
        self.ahead = tuple(entries)
        ground = as_set(farm.of_file, self.ahead, self.strays)
        self.farm = grown(ground, added_batches(ground, self.ahead, self.strays, self.makers))
        self.latest = date.min
        """The latest day of any entry."""
        self.told_ahead = len(self.strays)
        """How many of the strays are of what is heeded from the start."""
        self.named: MutableMapping[str, None] = {}
        """Every lot that any entry named."""
        self.lots = {b.id: Lot(b.id, b, b.count) for b in self.farm.batches}
        self.batches = {b.id: b for b in self.farm.batches}
        self.joined: list[Lot] = []
        self.trials: list[Trial] = []
        self.placed: dict[str, str] = {}
        """What the farm's places were asked: for a word, the place that it means."""
        self.book = _opened(self.farm, self.place_for, watch, self.strays)
        self.known = Known(self.farm)
        self.sightings: list[Sighting] = []
        self.worked: list[tuple[str, str, date]] = []
        self.outages: list[Outage] = []
        self.packed: dict[str, int] = {}
        self.rows: dict[tuple[str, str], tuple[RowPart, ...]] = {}
        self.of_farm: list[Entry] = []
        self.of_plantings: list[Entry] = []

    def copied(self) -> State:
        """The same state, to go on from another way; this one must not be changed any more."""
        other = copy(self)
        for name, value in vars(self).items():
            if isinstance(value, list | dict):
                setattr(other, name, value.copy())
        other.makers, other.book, other.named = self.makers.copied(), self.book.copied(), copied(self.named)
        return other

    def take(self, entry: Entry) -> None:
        """Take the next entry. What fits nothing is told, never dropped."""
        self.latest = max(self.latest, entry.on)
        if fault := beyond(entry, MOST_HELD if entry.kind in KINDS else MOST_IN_BATCH):
            self.beyond.append(stray(entry, _named(entry.data), fault))
            return
        if entry.kind in AHEAD:
            if entry.kind in FARM_KINDS:
                self.of_farm.append(entry)
            return
        self._note_names(entry.data)
        entry, fault = self.makers.meant(entry)
        data, strays = entry.data, self.strays
        if fault:
            strays.append(stray(entry, _named(data), fault))
        elif entry.kind in KINDS:
            entry = self._placed_now(entry)
            fault = _stock(self.book, entry, self.lots, self.joined, self.trials)
            if (kind_makes := _MAKING.get(entry.kind)) is not None:
                name = str(data.get(kind_makes, ""))
                self.makers.made("lot", name, entry, "" if fault else name)
            if fault:
                strays.append(stray(entry, data.get("lot", ""), fault))
            elif data.get("need"):
                self.packed.pop(str(data["need"]), None)
                if entry.kind == "plant_out":
                    self.of_plantings.append(entry)
        elif entry.kind in PLANTING_KINDS:
            self.of_plantings.append(entry)
        elif entry.kind in _TOLD:
            self._tell(entry)
        elif (lot := self.lots.get(str(data.get("batch", "")))) is None:
            strays.append(stray(entry, data.get("batch", ""), f'no batch is called "{data.get("batch")}"'))
        elif entry.kind == "change":
            if fault := _change(self.farm, self.book, lot, entry, self.lots, self.batches):
                strays.append(stray(entry, lot.id, fault))
            elif self.batches[lot.id].protocol is not lot.batch.protocol:
                self.known = Known(grown(self.farm, self.batches.values()))  # it stands in other places now
        else:
            fault = tell_lot(self.farm, lot, entry, self.lots, self.book.names, self.joined, self.trials)
            _enter(self.book, self.place_for, lot, entry, self.lots)
            if part := str(data.get("part") or ""):
                self.makers.made("lot", part, entry, "" if fault else _part_of(entry, self.lots))
            if fault:
                strays.append(stray(entry, data.get("batch"), fault))

    def place_for(self, word: str) -> str:
        """The farm's own place for a word, which is noted: with other places it may mean another."""
        if word not in self.placed:
            self.placed[word] = self.farm.place_for(word)
        return self.placed[word]

    def _placed_now(self, entry: Entry) -> Entry:
        """An entry of the stock with its places as they are called now: what stood in one that was renamed follows."""
        keys = ("place", "to") if entry.kind in _MOVING else ("place",)
        told = {key: name for key in keys if isinstance(name := entry.data.get(key), str) and name}
        now = {key: place for key, name in told.items() if (place := self.place_for(name)) != name}
        return replace(entry, data={**entry.data, **now}) if now else entry

    def _note_names(self, data: Mapping[str, Any]) -> None:
        """Note which lots an entry names, as it names them."""
        for key in _LOTS:
            if key in data:
                self.named[str(data[key])] = None
        if "join" in data:
            self.named.update(dict.fromkeys(texts(data["join"])))

    def _tell(self, entry: Entry) -> None:
        """Take what is told of the season and the places."""
        data, strays = entry.data, self.strays
        if entry.kind == "saw":
            self.sightings.append(Sighting(str(data.get("mark", "")), entry.on))
            if fault := self.known.fault_of_mark(self.sightings[-1].mark):
                strays.append(stray(entry, self.sightings[-1].mark, fault))
        elif entry.kind == "worked":
            self.worked.append((str(data.get("do", "")), str(data.get("place", "")), entry.on))
        elif entry.kind == "packed":
            self.packed[str(data.get("need", ""))] = whole_count(data.get("count"), 0)
        elif entry.kind == "outage":
            if (outage := _outage(self.place_for, entry)) is not None:
                self.outages.append(outage)
                if fault := self.known.fault_of_place(outage.place):
                    strays.append(stray(entry, outage.place, fault))
            else:
                strays.append(stray(entry, data.get("place", ""), "its days or its temperature cannot be read"))
        else:
            parts = row_parts(data.get("lots"))
            if parts is None:
                strays.append(stray(entry, data.get("row", ""), "its lots cannot be read"))
            else:
                self.rows[self.place_for(str(data.get("place", ""))), str(data.get("row", ""))] = parts


def _named(data: Mapping[str, Any]) -> object:
    """What an entry is about, as its data name it."""
    return next((data[key] for key in _NAMING if key in data), "")


def _part_of(entry: Entry, lots: dict[str, Lot]) -> str:
    """The part that an act made, by the name that it got: another device may have chosen the one that was meant."""
    step, part = str(entry.data.get("step") or ""), str(entry.data.get("part") or "")
    return next((name for name in chain((part,), reversed(lots)) if _did(lots.get(name), step, entry)), "")


def _opened(
    farm: Farm, place_for: Callable[[str], str], watch: Iterable[str] | None, strays: list[str]
) -> Book:  # fmt: skip
    """The book as the farm file opens it: every batch by name, and what was there at the start."""
    book = Book(watch)
    for batch in farm.batches:
        book.begin(batch.id, LotName(batch.species, batch.cultivar, "propagated"))
    for held in farm.opening:
        told = {
            "lot": held.lot, "species": held.species, "cultivar": held.cultivar, "form": held.form, "grade": held.grade,
            "place": place_for(held.place), "count": held.count, "unit": held.unit, "origin": "opening",
        }  # fmt: skip
        if fault := book.post("receive", told, date.min, ""):
            strays.append(f"the farm file's stock {held.lot}: {fault}")
    return book


def _stock(book: Book, entry: Entry, lots: dict[str, Lot], joined: list[Lot], trials: list[Trial]) -> str:
    """Take one entry of the stock; a lot still under propagation counts what is left for its next act.

    A part split from it goes through the same steps; a lot joined to another ends; one of which nothing is left is
    given up.
    """
    data = entry.data
    name, into = str(data.get("lot", "")), str(data.get("into", ""))
    lot, partner = lots.get(name), lots.get(into)
    if entry.kind == "join" and lot is not None and partner is not None and not alike(lot, partner):
        return f"{name} and {into} are not at the same stage: one was counted, or has a step done, and the other not"
    fault = book.post(entry.kind, data, entry.on, entry.id)
    if fault or (lot is None and partner is None):
        return fault
    if lot is not None:
        if entry.kind == "join":
            joined.append(lots.pop(name))
            if partner is not None:
                lots[into] = both(partner, lot)
            book.current.pop(name, None)
        elif entry.kind == "split" and _at(data, name) == (before := book.current.get(name)) and before is not None:
            part = whole_count(data.get("count"), 0)
            lots[into], lots[name] = part_off(lot, min(part, lot.count), into)
            book.current[into] = (into, *before[1:])
    if entry.kind == "count" and lot is not None and lot.given_up is not None and book.on_hand.get(_at(data, name), 0):
        book.current[name] = _at(data, name)  # what was found of a lot given up is what goes on
    for each in (name, into):
        if (lot := lots.get(each)) is not None and (key := book.current.get(each)) is not None:
            lots[each] = _left(lot, book.on_hand.get(key, 0), entry, trials)
    return ""


def _left(lot: Lot, left: int, entry: Entry, trials: list[Trial]) -> Lot:
    """A lot of which so many are left in the book after an entry of the stock."""
    before = lot.count
    if entry.kind == "count" and entry.data.get("lot") == lot.id:
        lot = counted(lot, left, entry, trials)
    elif left < lot.count and entry.kind == "lose":
        lot = bereft(lot, left, str(entry.data.get("cause", "")), entry, trials)
    elif left != lot.count:  # what went out or came in is no loss: the next count is held against as many fewer or more
        lot = replace(lot, count=left, went=max(0, lot.into + left - lot.count))
    if left and lot.given_up is not None:
        return replace(lot, given_up=None)
    return replace(lot, given_up=entry.on) if not left and lot.given_up is None and before else lot


def _at(data: Mapping[str, Any], lot: str) -> Key:
    return lot, str(data.get("form", "")), str(data.get("grade", "")), str(data.get("place", ""))


def _change(
    farm: Farm, book: Book, lot: Lot, entry: Entry, lots: dict[str, Lot], batches: dict[str, Batch]
) -> str:  # fmt: skip
    """Change what a lot was meant to be; returns why that does not fit, or nothing."""
    if reason := begun(lot, entry.data.keys() - {"batch"}):
        return reason
    try:
        batch = changed(farm, lot.batch, entry.data)
    except Unfit as fault:
        return str(fault)
    batches[batch.id] = batch
    lots[lot.id] = meant_otherwise(lot, batch)
    book.name(lot.id, LotName(batch.species, batch.cultivar, "propagated"))
    return ""


def _enter(book: Book, place_for: Callable[[str], str], before: Lot, entry: Entry, lots: dict[str, Lot]) -> None:
    """Enter in the book what a step done, or a lot given up, does to the counts. Only what was applied counts."""
    step = str(entry.data.get("step") or "")
    now = lots.get(before.id)
    if now is not None and now.given_up is not None and before.given_up is None:
        book.give_up(before.id, entry.on, entry.id, str(entry.data.get("reason") or ""))
    if entry.kind != "done" or step in before.done or before.given_up is not None or overtaken(before, step):
        return
    after = lots.get(before.id)
    # The act was done to the lot itself, or to a part that is the newest lot.
    part = next((n for n in chain((before.id,), reversed(lots)) if _did(lots.get(n), step, entry)), "")
    if after is None or not part:
        return
    left = after.count if part != before.id else 0
    joins = texts(entry.data.get("join"))
    came = whole_count(entry.data.get("count"), before.count - left)
    meant = before.batch.protocol.steps[before.batch.protocol.index(step)]
    place = place_for(str(entry.data.get("place") or meant.place or before.batch.place))
    apart = part if part != before.id else ""
    there = lots[part].done[step].there
    book.done(
        before.id, before.batch.protocol, step, place,
        Done(entry.on, came, entry.id, before.count - left, None if joins else there),
        part=apart, source=str(entry.data.get("from") or ""), cause=str(entry.data.get("cause") or ""),
    )  # fmt: skip
    for other in joins:
        if other not in lots:
            book.post("join", {"lot": other, "into": before.id}, entry.on, entry.id)
    key = book.current.get(before.id)
    if not apart and key is not None and book.on_hand.get(key, 0) != lots[before.id].count:
        # What a joined lot had standing there beside it comes in too.
        lots[before.id] = replace(lots[before.id], count=book.on_hand.get(key, 0))


def _did(lot: Lot | None, step: str, entry: Entry) -> bool:
    """Whether that entry did the step to a lot."""
    return lot is not None and step in lot.done and lot.done[step].entry == entry.id


def _outage(place_for: Callable[[str], str], entry: Entry) -> Outage | None:
    place, days, heat = (entry.data.get(name) for name in ("place", "days", "temperature_c"))
    if not isinstance(days, int) or isinstance(days, bool) or not 1 <= days <= LONGEST_OUTAGE:
        return None
    if not isinstance(heat, int | float) or isinstance(heat, bool) or not -90 <= heat <= 90:
        return None
    return Outage(place_for(str(place)), days, entry.on, float(heat))
