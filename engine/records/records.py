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
    change  batch, and of count, start, ready, cultivar, method, route, rootstock, from, came what is new; places: where
            it stands instead of where its protocol says; only before an act of it is done
    note    batch, text                     saw      mark
    worked  do, place                       packed   need, count: so many stand packed for it
    place, price, hours: settings.py
    undo     of: an id, or a list of those written at once
    correct of: an id, and of day, now and without what is right: journal/corrections.py; settled before this
    need, amend, withdraw: added_needs.py     stock_plant, grub_out: added_stock_plants.py
    row     place, row, lots [[lot, metres, count], …]: what stands in a row, from its fixed end; replaces what was told
    walked, took_over: plantings.py
    outage  place, days, temperature_c: the place stood so warm (or cold) for so many days, the last of them `on`
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from engine.almanac.almanac import Sighting
from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.journal.undone import Stand
from engine.reading.frozen import dataclass, field, replace
from engine.reading.log import alike_at_ends
from engine.records.batches import grown
from engine.records.counts_teach import Trial
from engine.records.entry_by_entry import Outage
from engine.records.folding import Fold, fold
from engine.records.kinds import NEED_KINDS, SETTING_KINDS, STOCK_PLANT_KINDS
from engine.records.lots import DRY_THROUGH, FINDINGS, Done, Look, Lot, drying_kills, part_id
from engine.records.makers import Makers, Name
from engine.records.rows import RowPart
from engine.records.stock import Stock

if TYPE_CHECKING:
    from engine.records.plantings import Life

__all__ = [
    "DRY_THROUGH", "FINDINGS", "Done", "Look", "Lot", "Outage", "Records", "apply", "drying_kills",
    "part_id",
]  # fmt: skip


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
    fold: Fold | None = field(default=None, compare=False, repr=False)
    """What is kept for `apply` to go on from."""
    stood: Stand | None = field(default=None, compare=False, repr=False)
    """All entries of the journal and those that stand, of which these records are made, where they are kept."""

    def lot(self, lot_id: str) -> Lot | None:
        """The lot of that id; None where there is none."""
        return next((lot for lot in self.lots if lot.id == lot_id), None)


def apply(
    farm: Farm,
    entries: Iterable[Entry],
    watch: Iterable[str] | None = (),
    before: Records | None = None,
    keep: bool = False,
    tell: Callable[[int, int], None] | None = None,
    stood: Stand | None = None,
) -> Records:
    """Apply standing entries (undone ones taken out) to a farm, in order. What fits nothing is told, never dropped.

    `watch` names the lots whose movements the stock keeps, for their ledger; None: all of them. What is kept to go on
    from (`keep`) makes it quick for other entries that begin alike, with these records `before`: the same comes of it.
    How many of how many are taken goes to `tell`. `stood` is kept with them: the journal of which the entries stand.
    """
    folded = fold(farm, entries, watch, before.fold if before else None, keep, tell, stood)
    if before is not None and folded is before.fold:
        return before if stood is None or stood is before.stood else replace(before, stood=stood)
    end, strays = folded.end, [*folded.end.beyond, *folded.end.strays]
    going = [lot.id for lot in end.lots.values() if lot.going]
    stock = end.book.close(going, before.stock if before else None)
    farm = _watched(with_added(grown(end.farm, end.batches.values()), end.of_farm, strays, end.makers), stock)
    lives: Mapping[str, Mapping[str, Life]] = {}
    if farm.plantings or end.of_plantings:
        from engine.records.plantings import asked_less, lives_of  # many a farm has none

        lives = lives_of(farm, (*(e for e in end.of_farm if "planting" in e.data), *end.of_plantings), strays)
        farm = asked_less(farm, lives)
    lots, trials = tuple(end.lots.values()), tuple(end.trials)
    if before is not None:
        lots, trials = _as_before(before, lots, trials)
    return Records(
        lots, tuple(end.sightings), tuple(end.worked), tuple(strays), stock, tuple(end.outages),
        end.rows, trials, tuple(end.joined), lives, farm, end.makers.bears,
        end.packed, folded if folded.on_the_way or keep else None, stood,
    )  # fmt: skip


def _as_before(
    before: Records, lots: tuple[Lot, ...], trials: tuple[Trial, ...]
) -> tuple[tuple[Lot, ...], tuple[Trial, ...]]:
    """The lots and trials, those that are as they were before the very same: what was made of them need not be anew."""
    known = {lot.id: lot for lot in before.lots}
    lots = tuple(was if (was := known.get(lot.id)) is not None and (was is lot or was == lot) else lot for lot in lots)
    front, back = alike_at_ends(before.trials, trials)
    ended = len(before.trials) - back
    return lots, (*before.trials[:front], *trials[front : len(trials) - back], *before.trials[ended:])


def _watched(farm: Farm, stock: Stock) -> Farm:
    """The farm with what was seen of its places; the same farm where nothing ever stood in them."""
    if not any(place.name in stock.watched for place in farm.places):
        return farm
    places = (
        replace(p, years_seen=seen[0], losses_seen=seen[1]) if (seen := stock.watched.get(p.name)) else p
        for p in farm.places
    )
    return replace(farm, places=tuple(places), base=farm.written)


def entries_on(entries: Sequence[Entry], on: date) -> Sequence[Entry]:
    """What had happened by a day, and all that is meant or set, for it moves no count."""
    always = {"batch", "change", *SETTING_KINDS}
    kept = [entry for entry in entries if entry.on <= on or entry.kind in always]
    return entries if len(kept) == len(entries) else kept


def records_on(farm: Farm, records: Records, entries: Sequence[Entry], on: date) -> Records:
    """The records with only what happened up to a day; `records` are those of all the entries."""
    known = records.fold
    if known is not None and known.entries is entries and known.end.latest <= on:  # nothing is told of a later day
        return records
    kept = entries_on(entries, on)
    return records if kept is entries else apply(farm, kept, before=records)


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
