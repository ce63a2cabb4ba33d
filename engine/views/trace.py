"""Where a lot came from and where it went: its trace, and the year's list for the inspector."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from engine.farm.material import said_material
from engine.farm.model import Batch, Farm
from engine.farm.stock import StockPlant
from engine.protocols.forms import ends_as
from engine.reading.frozen import dataclass
from engine.records.records import Records
from engine.records.stock import Holding, LotName, Movement
from engine.views.lot_ledger import told_besides

DISPATCHED = ("sold", "given", "planted out")


@dataclass(frozen=True, slots=True)
class Trace:
    """A lot back to where it came from and forward to where it went, lots parted and joined included."""

    lot: str
    name: LotName
    back: tuple[str, ...]
    """The lots that it was parted from or that were joined to it, the nearest first."""
    forward: tuple[str, ...]
    """The lots that took of it."""
    came: tuple[Movement, ...]
    passed: tuple[Movement, ...]
    """What went between these lots."""
    went: tuple[Movement, ...]
    on_hand: tuple[Holding, ...]
    batches: tuple[Batch, ...]
    """The batches in which it was propagated."""
    stock_plants: tuple[StockPlant, ...]
    """Those that the farm keeps of this plant for such a method; which one was cut is told only by a note."""
    gave: tuple[tuple[int, str, int, float], ...] = ()
    """What these stock plants gave: the year, the material, how many were taken, how many were expected."""


def trace(farm: Farm, records: Records, lot: str) -> Trace:
    """The trace of a lot; `records` were applied with every movement kept. Raises KeyError for an unknown lot."""
    stock = records.stock
    name = stock.names[lot]
    links = [
        (m.source[0], m.target[0], m)
        for m in stock.movements
        if not isinstance(m.source, str) and not isinstance(m.target, str) and m.source[0] != m.target[0]
    ]
    links += [
        (told.parent, child, Movement(date.min, "part", 0, (told.parent, "", "", ""), (child, "", "", "")))
        for child, told in stock.names.items()
        if told.parent and not any(s == told.parent and t == child for s, t, _ in links)
    ]
    back = _reach(lot, [(target, source) for source, target, _ in links])
    forward = _reach(lot, [(source, target) for source, target, _ in links])
    before, after = {lot, *back}, {lot, *forward}
    came = tuple(
        m
        for m in stock.movements
        if isinstance(m.source, str) and not isinstance(m.target, str) and m.target[0] in before
    )
    went = tuple(
        m
        for m in stock.movements
        if isinstance(m.target, str) and not isinstance(m.source, str) and m.source[0] in after
    )
    passed = tuple(m for s, t, m in links if m.count and ({s, t} <= before or {s, t} <= after))
    batches = tuple(b for b in farm.batches if b.id in before)
    materials = {b.protocol.takes for b in batches}
    mothers = tuple(
        p for p in farm.stock_plants
        if (p.species, p.cultivar) == (name.species, name.cultivar) and p.material in materials
    )  # fmt: skip
    held = tuple(h for h in stock.holdings if h.lot in after)
    return Trace(lot, name, back, forward, came, passed, went, held, batches, mothers, _gave(farm, records, mothers))


def _gave(farm: Farm, records: Records, mothers: Sequence[StockPlant]) -> tuple[tuple[int, str, int, float], ...]:
    if not mothers:
        return ()
    from engine.views.yields import taken_by_year

    taken = taken_by_year(farm, records)
    return tuple(
        (year, material, sum(lots.values()), sum(m.gives(year) for m in mothers if m.material == material))
        for material in dict.fromkeys(m.material for m in mothers)
        for year, lots in sorted(taken[mothers[0].species, mothers[0].cultivar, material].items())
    )


def _reach(lot: str, links: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """The lots that can be reached from one, the nearest first."""
    found: dict[str, None] = {}
    ahead = [lot]
    while ahead:
        here = ahead.pop(0)
        for one, other in links:
            if one == here and other != lot and other not in found:
                found[other] = None
                ahead.append(other)
    return tuple(found)


# -- the inspection list of a year


@dataclass(frozen=True, slots=True)
class InspectionLine:
    """One thing that the inspector asks after: a lot's origin, treatment or dispatch."""

    on: date
    lot: str
    species: str
    cultivar: str
    count: int | None
    told: str


@dataclass(frozen=True, slots=True)
class Inspection:
    """A year's origins, treatments and dispatches, each by date; what was used stands only where a note tells it."""

    year: int
    origins: tuple[InspectionLine, ...]
    treatments: tuple[InspectionLine, ...]
    dispatches: tuple[InspectionLine, ...]


def inspection(records: Records, year: int) -> Inspection:
    """The inspection list of a year; `records` were applied with every movement kept."""
    stock = records.stock
    origins, dispatches = [], []
    batches = {lot.id: lot.batch for lot in (*records.joined, *records.lots)}
    for batch in {each.id: each for each in batches.values()}.values():
        if batch.came is not None and batch.came.year == year and batch.source:
            what = f"{batch.protocol.takes} from {batch.source}"
            origins.append(InspectionLine(batch.came, batch.id, batch.species, batch.cultivar, None, what))
    for m in stock.movements:
        if m.on.year != year:
            continue
        if isinstance(m.source, str) and not isinstance(m.target, str):
            name = stock.names[m.target[0]]
            told = f"{m.source}{told_besides(m, m.source)}"
            raised = batches.get(m.target[0]) if m.source == "propagated" else None
            if raised is not None and (made_of := said_material(raised)):
                told += f"; {made_of}"
            origins.append(InspectionLine(m.on, m.target[0], name.species, name.cultivar, m.count, told))
        elif isinstance(m.target, str) and m.target in DISPATCHED and not isinstance(m.source, str):
            name = stock.names[m.source[0]]
            grade = f" ({m.source[2]})" if m.source[2] else ""
            told = f"{m.target} {ends_as(m.source[1])}{grade}{told_besides(m, m.target)}"
            dispatches.append(InspectionLine(m.on, m.source[0], name.species, name.cultivar, m.count, told))
    treatments: dict[tuple[str, date, str], InspectionLine] = {}
    for lot in (*records.lots, *records.joined):  # a part bears what was done before it was parted: that is told once
        batch = lot.batch
        for step, done in lot.done.items():
            if batch.protocol.role(step).treats and done.day.year == year:
                line = InspectionLine(done.day, lot.id, batch.species, batch.cultivar, done.count, step)
                treatments.setdefault((batch.id, done.day, f"{step} {done.entry}"), line)
        for day, text in lot.notes:
            if day.year == year:
                line = InspectionLine(day, lot.id, batch.species, batch.cultivar, None, f"note: {text}")
                treatments.setdefault((batch.id, day, text), line)
    by_day = [sorted(part, key=lambda line: (line.on, line.lot)) for part in (origins, treatments.values(), dispatches)]
    return Inspection(year, tuple(by_day[0]), tuple(by_day[1]), tuple(by_day[2]))
