"""What the stock plants gave, year by year, beside what they were expected to give and what the batches asked."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.farm.model import Farm
from engine.farm.stock import StockPlant
from engine.needs.stock_plants import YieldLine, stock_plant_lines, taking_step, year_taken
from engine.protocols.forms import BUDS, known_forms
from engine.reading.frozen import dataclass
from engine.records.records import Records
from engine.schedule.plan import Plan

Kept = tuple[str, str, str]
"""A species, a cultivar, and the material that is taken of it."""


@dataclass(frozen=True, slots=True)
class YearGiven:
    """One year: what the plants of that age were expected to give, what batches asked, what was taken, for which lots.

    `gave` is None for a year still to come; this year's is what was taken so far.
    """

    year: int
    expected: float
    asked: int
    gave: int | None
    lots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class YieldHistory:
    """The years of the stock plants that are kept of one plant for one material; they are not told apart."""

    species: str
    cultivar: str
    plant: str
    material: str
    stock_plants: tuple[StockPlant, ...]
    years: tuple[YearGiven, ...]


def yield_histories(farm: Farm, records: Records, plans: Iterable[Plan], today: date) -> tuple[YieldHistory, ...]:
    """Of all stock plants, from the first year that anything was taken or asked to the last.

    This year and the next are among them. `records` were applied with every movement kept.
    """
    plans = tuple(plans)
    given = taken_by_year(farm, records)
    asked = [year for plan in plans if (year := year_taken(plan)) is not None]
    known = [today.year, today.year + 1, *asked, *(year for years in given.values() for year in years)]
    lines: dict[Kept, list[YieldLine]] = {}
    for line in stock_plant_lines(farm, plans, range(min(known), max(known) + 1)):
        lines.setdefault((line.species, line.cultivar, line.material), []).append(line)
    histories = []
    for key, mine in lines.items():
        told = [today.year, today.year + 1, *given[key], *(line.year for line in mine if line.asks)]
        start, end = min(told), max(told)
        years = tuple(_year(line, given[key], today) for line in mine if start <= line.year <= end)
        one = mine[0]
        histories.append(YieldHistory(one.species, one.cultivar, one.plant, one.material, one.stock_plants, years))
    return tuple(histories)


def taken_by_year(farm: Farm, records: Records) -> dict[Kept, dict[int, dict[str, int]]]:
    """For everything that stock plants are kept for: how many were taken each year, by the batch or lot they were for.

    What a batch took is what its collecting (for layers, severing or lifting) was recorded to give; what was
    received into stock as collected counts too, but for what is weighed. `records` were applied with every movement
    kept. Each entry counts once, however its lot was parted and joined since.
    """
    given: dict[Kept, dict[int, dict[str, int]]] = {(m.species, m.cultivar, m.material): {} for m in farm.stock_plants}
    if not given:
        return given
    seen: set[str] = set()

    def add(key: Kept, entry: str, year: int, name: str, count: int) -> None:
        if key in given and entry not in seen:
            seen.add(entry)
            by_name = given[key].setdefault(year, {})
            by_name[name] = by_name.get(name, 0) + count

    for lot in (*records.lots, *records.joined):
        batch = lot.batch
        if (done := lot.done.get(taking_step(batch))) is not None:
            key = (batch.species, batch.cultivar, batch.protocol.takes)
            add(key, done.entry, done.day.year, batch.id, done.count)
    for moved in records.stock.movements:
        if moved.source == "collected" and not isinstance(moved.target, str):
            lot_id, form = moved.target[:2]
            name = records.stock.names[lot_id]
            material = BUDS if name.unit == "buds" else known_forms().get(form, "")
            if name.unit != "g":
                add((name.species, name.cultivar, material), moved.entry, moved.on.year, lot_id, moved.count)
    return given


def _year(line: YieldLine, given: dict[int, dict[str, int]], today: date) -> YearGiven:
    lots = given.get(line.year, {})
    gave = sum(lots.values()) if line.year <= today.year else None
    return YearGiven(line.year, line.gives, line.asks, gave, tuple(dict.fromkeys((*line.batches, *lots))))
