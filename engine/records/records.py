"""What the journal says of each batch: lots with the acts done, looks, waits, notes; a lot splits when a part is done.

The kinds of entries and their data:

    done    batch, step, count; left and part where only a part was done; join: part lots taken in again; of what
            arrived also ordered (how many) and from (whom); run: of seed in the cold, only what has thrown radicles;
            place: where it stands, if not where the step has it
    came    batch, step, count, item, from: what is no plant and was bought for a step, such as pots, is there
    look    batch, step, finding (nothing, radicles, mould, dry, dry through)
    hold    batch, step, reason             release  batch, step
    later   batch, step, to (a date)        accept   batch
    drop    batch, step (none: the whole lot), reason
    batch   batch, species, cultivar, method, route, count, start, ready, place, note: a batch added at the screen
    change  batch, and of count, start, ready and cultivar what is new: only before an act of it is done
    note    batch, text                     saw      mark
    worked  do, place                       packed   need, count: so many stand packed for it
    undo     of: an id, or a list of those written at once
    correct of: an id, and of day, now and without what is right: journal/corrections.py; settled before this
    need, amend, withdraw: added_needs.py     stock_plant, grub_out: added_stock_plants.py
    row     place, row, lots [[lot, metres, count], …]: what stands in a row, from its fixed end; replaces what was told
    walked, took_over: plantings.py
    outage  place, days, temperature_c: the place stood so warm (or cold) for so many days, the last of them `on`
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from engine.almanac.almanac import Sighting
from engine.farm.model import Batch, Farm
from engine.journal.entry import Entry
from engine.reading.frozen import dataclass, field, replace
from engine.reading.limits import LONGEST_OUTAGE
from engine.records.batches import added_batches, changed, grown
from engine.records.kinds import AHEAD, FARM_KINDS, KINDS, NEED_KINDS, PLANTING_KINDS, STOCK_PLANT_KINDS
from engine.records.known import Known
from engine.records.lots import (
    DRY_THROUGH,
    FINDINGS,
    Done,
    Look,
    Lot,
    alike,
    begun,
    bereft,
    both,
    counted,
    drying_kills,
    overtaken,
    part_id,
    part_off,
    tell_lot,
)
from engine.records.lots import whole as whole_count
from engine.records.makers import Makers, Name
from engine.records.rows import RowPart, row_parts
from engine.records.stock_book import Book, Key, LotName, Stock
from engine.records.trials import Trial
from engine.records.values import Unfit, beyond, texts

if TYPE_CHECKING:
    from engine.records.plantings import Life

__all__ = [
    "DRY_THROUGH", "FINDINGS", "Done", "Look", "Lot", "Outage", "Records", "apply", "drying_kills",
    "part_id",
]  # fmt: skip


_MAKING = {"receive": "lot", "split": "into"}
"""The lot that an entry of the stock brings about."""
_NAMING = ("batch", "lot", "need", "plant", "planting", "place", "mark")


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
    trials: tuple[Trial, ...] = ()
    """What the counts taught, in the order in which they were told."""
    joined: tuple[Lot, ...] = ()
    """Lots that ended when they were joined to another, with the acts done to them alone before."""
    plantings: Mapping[str, Mapping[str, Life]] = field(default_factory=dict)
    """By planting and plant: what is known of those that were planted out or walked."""
    farm: Farm | None = None
    """The farm with the batches that the journal adds and changes."""
    bears: Mapping[Name, str] = field(default_factory=dict)
    """For what the journal made, by kind and name, the entry that made it."""
    packed: Mapping[str, int] = field(default_factory=dict)
    """How many stand packed for a need, since something last went out to it."""

    def lot(self, lot_id: str) -> Lot | None:
        """The lot of that id; None where there is none."""
        return next((lot for lot in self.lots if lot.id == lot_id), None)


def apply(farm: Farm, entries: Iterable[Entry], watch: Iterable[str] | None = ()) -> Records:
    """Apply standing entries (undone ones taken out) to a farm, in order. What fits nothing is told, never dropped.

    `watch` names the lots whose movements the stock keeps, for their ledger; None: all of them.
    """
    strays: list[str] = []
    entries = tuple(_meant(entries, strays))
    makers = Makers()
    # Whichever device's clock runs slow: a batch is there before what is told of it.
    farm = grown(farm.written, added_batches(farm.written, entries, strays, makers))
    lots = {b.id: Lot(b.id, b, b.count) for b in farm.batches}
    batches = {b.id: b for b in farm.batches}
    joined: list[Lot] = []
    trials: list[Trial] = []
    book = _opened(farm, watch, strays)
    known = Known(farm)
    sightings: list[Sighting] = []
    worked: list[tuple[str, str, date]] = []
    outages: list[Outage] = []
    packed: dict[str, int] = {}
    rows: dict[tuple[str, str], tuple[RowPart, ...]] = {}
    of_farm: list[Entry] = []
    of_plantings: list[Entry] = []
    for entry in entries:
        data = entry.data
        if entry.kind in AHEAD:
            if entry.kind in FARM_KINDS:
                of_farm.append(entry)
            continue
        entry, fault = makers.meant(entry)
        data = entry.data
        if fault:
            strays.append(f"{entry.on} {entry.kind} {_named(data)}: {fault}")
            continue
        if entry.kind in KINDS:
            fault = _stock(book, entry, lots, joined, trials)
            if (kind_makes := _MAKING.get(entry.kind)) is not None:
                name = str(data.get(kind_makes, ""))
                makers.made("lot", name, entry, "" if fault else name)
            if fault:
                strays.append(f"{entry.on} {entry.kind} {data.get('lot', '')}: {fault}")
            elif data.get("need"):
                packed.pop(str(data["need"]), None)
                if entry.kind == "plant_out":
                    of_plantings.append(entry)
        elif entry.kind in PLANTING_KINDS:
            of_plantings.append(entry)
        elif entry.kind == "saw":
            sightings.append(Sighting(str(data.get("mark", "")), entry.on))
            if fault := known.fault_of_mark(sightings[-1].mark):
                strays.append(f"{entry.on} saw {sightings[-1].mark}: {fault}")
        elif entry.kind == "worked":
            worked.append((str(data.get("do", "")), str(data.get("place", "")), entry.on))
        elif entry.kind == "packed":
            packed[str(data.get("need", ""))] = whole_count(data.get("count"), 0)
        elif entry.kind == "outage":
            if (outage := _outage(farm, entry)) is not None:
                outages.append(outage)
                if fault := known.fault_of_place(outage.place):
                    strays.append(f"{entry.on} outage {outage.place}: {fault}")
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
            fault = tell_lot(farm, lot, entry, lots, book.names, joined, trials)
            _enter(book, farm, lot, entry, lots)
            if part := str(data.get("part") or ""):
                makers.made("lot", part, entry, "" if fault else _part_of(entry, lots))
            if fault:
                strays.append(f"{entry.on} {entry.kind} {data.get('batch')}: {fault}")
        else:
            strays.append(f'{entry.on} {entry.kind}: no batch is called "{data.get("batch")}"')
    for lot in lots.values():
        if lot.going:
            book.going.add(lot.id)
    stock = book.close()
    farm = _watched(with_added(grown(farm, batches.values()), of_farm, strays, makers), stock)
    lives: Mapping[str, Mapping[str, Life]] = {}
    if farm.plantings or of_plantings:
        from engine.records.plantings import asked_less, lives_of  # many a farm has none

        lives = lives_of(farm, (*(e for e in of_farm if "planting" in e.data), *of_plantings), strays)
        farm = asked_less(farm, lives)
    return Records(
        tuple(lots.values()), tuple(sightings), tuple(worked), tuple(strays), stock, tuple(outages), rows,
        tuple(trials), tuple(joined), lives, farm, makers.bears, packed,
    )  # fmt: skip


def _watched(farm: Farm, stock: Stock) -> Farm:
    """The farm with what was seen of its places; the same farm where nothing ever stood in them."""
    if not any(place.name in stock.watched for place in farm.places):
        return farm
    places = (
        replace(p, years_seen=seen[0], losses_seen=seen[1]) if (seen := stock.watched.get(p.name)) else p
        for p in farm.places
    )
    return replace(farm, places=tuple(places), base=farm.written)


def _meant(entries: Iterable[Entry], strays: list[str]) -> Iterator[Entry]:
    """The entries whose day and counts can be meant; the others are told in `strays`."""
    for entry in entries:
        if fault := beyond(entry):
            strays.append(f"{entry.on} {entry.kind} {_named(entry.data)}: {fault}")
        else:
            yield entry


def _named(data: Mapping[str, Any]) -> object:
    """What an entry is about, as its data name it."""
    return next((data[key] for key in _NAMING if key in data), "")


def _part_of(entry: Entry, lots: dict[str, Lot]) -> str:
    """The part that an act made, by the name that it got: another device may have chosen the one that was meant."""
    step, part = str(entry.data.get("step") or ""), str(entry.data.get("part") or "")
    return next((name for name in (part, *reversed(lots)) if _did(lots.get(name), step, entry)), "")


def _opened(farm: Farm, watch: Iterable[str] | None, strays: list[str]) -> Book:
    """The book as the farm file opens it: every batch by name, and what was there at the start."""
    book = Book(watch)
    for batch in farm.batches:
        book.begin(batch.id, LotName(batch.species, batch.cultivar, "propagated"))
    for held in farm.opening:
        told = {
            "lot": held.lot, "species": held.species, "cultivar": held.cultivar, "form": held.form,
            "grade": held.grade, "place": held.place, "count": held.count, "unit": held.unit, "origin": "opening",
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
    """Enter in the book what a step done, or a lot given up, does to the counts. Only what was applied counts."""
    step = str(entry.data.get("step") or "")
    now = lots.get(before.id)
    if now is not None and now.given_up is not None and before.given_up is None:
        book.give_up(before.id, entry.on, entry.id, str(entry.data.get("reason") or ""))
    if entry.kind != "done" or step in before.done or before.given_up is not None or overtaken(before, step):
        return
    after = lots.get(before.id)
    # The act was done to the lot itself, or to a part that is the newest lot.
    part = next((n for n in (before.id, *reversed(lots)) if _did(lots.get(n), step, entry)), "")
    if after is None or not part:
        return
    left = after.count if part != before.id else 0
    joins = texts(entry.data.get("join"))
    came = whole_count(entry.data.get("count"), before.count - left)
    meant = before.batch.protocol.steps[before.batch.protocol.index(step)]
    place = farm.place_for(str(entry.data.get("place") or meant.place or before.batch.place))
    apart = part if part != before.id else ""
    there = lots[part].done[step].there
    book.done(
        before.id, step, before.batch.protocol, place, before.count - left, came, entry.on, entry.id, apart,
        str(entry.data.get("from") or ""), None if joins else there, str(entry.data.get("cause") or ""),
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


def _outage(farm: Farm, entry: Entry) -> Outage | None:
    place, days, heat = (entry.data.get(name) for name in ("place", "days", "temperature_c"))
    if not isinstance(days, int) or isinstance(days, bool) or not 1 <= days <= LONGEST_OUTAGE:
        return None
    if not isinstance(heat, int | float) or isinstance(heat, bool) or not -90 <= heat <= 90:
        return None
    return Outage(farm.place_for(str(place)), days, entry.on, float(heat))


def records_on(farm: Farm, records: Records, entries: Sequence[Entry], on: date) -> Records:
    """The records with only what happened up to a day; `records` are those of all the entries."""
    kept = [entry for entry in entries if entry.on <= on or entry.kind in ("batch", "change")]  # they move no count
    return records if len(kept) == len(entries) else apply(farm, kept)


def with_added(farm: Farm, entries: Collection[Entry], strays: list[str], makers: Makers) -> Farm:
    """The farm with its needs and stock plants as these entries leave them; more is read only where there are such."""
    needs = [entry for entry in entries if entry.kind in NEED_KINDS]
    stock_plants = [entry for entry in entries if entry.kind in STOCK_PLANT_KINDS]
    if needs:
        from engine.records.needs import with_needs

        farm = with_needs(farm, needs, strays, makers)
    if stock_plants:
        from engine.records.stock_plants import with_stock_plants

        farm = with_stock_plants(farm, stock_plants, strays, makers)
    return farm
