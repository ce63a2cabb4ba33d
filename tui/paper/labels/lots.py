"""Which lots a call for labels means: those under propagation, and those that the stock alone holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from engine.reading.frozen import dataclass
from engine.records.records import Lot, Records
from engine.records.stock import Holding, LotName, Movement


@dataclass(frozen=True, slots=True)
class StockLot:
    """A lot that goes through no protocol: there at the start, bought in, collected, found, swapped, or split off."""

    id: str
    name: LotName
    held: tuple[Holding, ...]
    """Nothing where none of it is left."""


def choose(records: Records, names: Sequence[str]) -> tuple[list[Lot | StockLot], list[str]]:
    """The lots named, by their own id or their batch's, case aside, each once, and the names that are no lot's.

    With no name: every lot of which something is on hand or still to begin, those of batches first.
    """
    stock = records.stock
    held: dict[str, list[Holding]] = {}
    for holding in stock.holdings:
        held.setdefault(holding.lot, []).append(holding)
    of_batches = {lot.id for lot in records.lots}

    def stocked(lot: str) -> StockLot:
        return StockLot(lot, stock.names[lot], tuple(held.get(lot, ())))

    if not names:
        # Part of a lot that was dropped may stand elsewhere: what is on hand needs its label all the same.
        under_way = [lot for lot in records.lots if (lot.count and lot.given_up is None) or lot.id in held]
        return [*under_way, *(stocked(lot) for lot in held if lot not in of_batches)], []
    by_name: dict[str, list[Lot | StockLot]] = {}
    for lot in records.lots:
        for own in dict.fromkeys((lot.id, lot.batch.id)):
            by_name.setdefault(own, []).append(lot)
    for name in stock.names:
        if name not in by_name:
            by_name[name] = [stocked(name)]
    found: dict[str, Lot | StockLot] = {}
    unknown: list[str] = []
    for name in names:
        same = name if name in by_name else next((n for n in by_name if n.lower() == name.lower()), None)
        if same is None:
            unknown.append(name)
        else:
            found |= {lot.id: lot for lot in by_name[same]}
    return list(found.values()), unknown


def known_names(records: Records) -> list[str]:
    """What a lot may be called by."""
    return list(dict.fromkeys((*(lot.id for lot in records.lots), *records.stock.names)))


def lots_under_way(records: Records) -> dict[str, Lot]:
    """Every lot that was propagated, by its id."""
    return {each.id: each for each in (*records.joined, *records.lots)}


def root_of(records: Records, under_way: Mapping[str, Lot], lot: str) -> str:
    """The lot that one was first parted from (itself where from none), or the nearest that was propagated."""
    seen: set[str] = set()
    while lot not in under_way and lot not in seen and (parent := records.stock.names[lot].parent):
        seen.add(lot)
        lot = parent
    return lot


def intakes(movements: Iterable[Movement], lots: Iterable[str], on: date) -> dict[str, list[Movement]]:
    """What came in of each of these lots up to a day, the earliest first; the start of the journal is `date.min`."""
    found: dict[str, list[Movement]] = {lot: [] for lot in lots}
    for moved in movements:
        lot = moved.target[0] if moved.kind == "receive" and not isinstance(moved.target, str) else ""
        if lot in found and moved.on <= on:
            found[lot].append(moved)
    return {lot: sorted(came, key=lambda moved: moved.on) for lot, came in found.items()}
