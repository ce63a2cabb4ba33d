"""What the stock plants yield in a year, against what the batches ask of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.farm.model import Batch, Farm
from engine.farm.stock import StockPlant
from engine.protocols.forms import LAYERS
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass
from engine.schedule.plan import Plan


@dataclass(frozen=True, slots=True)
class YieldLine:
    """One plant's material in one year: what its stock plants give, and what the batches ask."""

    species: str
    cultivar: str
    plant: str
    material: str
    year: int
    gives: float
    asks: int
    stock_plants: tuple[StockPlant, ...]
    batches: tuple[str, ...]

    @property
    def short(self) -> int:
        """How many more are asked than they give, at the least 0."""
        return max(0, self.asks - int(self.gives))


def taking_step(batch: Batch) -> str:
    """The step in which a batch takes from its stock plants; layers are taken when they are severed or lifted."""
    protocol = batch.protocol
    k = protocol.first(Role.COLLECT)
    if k is None and protocol.takes == LAYERS:
        k = next((n for n, step in enumerate(protocol.steps) if step.role.finds_out), None)
    return protocol.steps[k or 0].do


def year_taken(plan: Plan) -> int | None:
    """The year in which a batch takes, or took, from its stock plants."""
    step = taking_step(plan.batch)
    if (done := plan.lot.done.get(step)) is not None:
        return done.day.year
    k = plan.index(step)
    aim = plan.now.aims[k] if k is not None else None
    if aim is not None:
        return date.fromordinal(aim).year
    start = plan.batch.start or plan.batch.ready
    return start.year if start else None


def stock_plant_lines(farm: Farm, plans: Iterable[Plan], years: Iterable[int]) -> tuple[YieldLine, ...]:
    """Every plant and material that stock plants are kept for, in each of these years."""
    kept: dict[tuple[str, str, str], list[StockPlant]] = {}
    for mother in farm.stock_plants:
        kept.setdefault((mother.species, mother.cultivar, mother.material), []).append(mother)
    if not kept:
        return ()
    asked: dict[tuple[str, str, str, int], dict[str, int]] = {}
    for plan in plans:
        batch = plan.batch
        key = (batch.species, batch.cultivar, batch.protocol.takes)
        if key in kept and (year := year_taken(plan)) is not None:
            asked.setdefault((*key, year), {})[batch.id] = batch.count  # the parts of a batch were taken at once
    lines = []
    for (species, cultivar, material), mothers in kept.items():
        plant = farm.plant(species, cultivar)
        for year in years:
            batches = asked.get((species, cultivar, material, year), {})
            gives = sum(mother.gives(year) for mother in mothers)
            lines.append(
                YieldLine(species, cultivar, plant, material, year, gives, sum(batches.values()), tuple(mothers),
                          tuple(batches))
            )  # fmt: skip
    return tuple(lines)


def left_of(farm: Farm, plans: Iterable[Plan], species: str, cultivar: str, material: str, year: int) -> int | None:
    """What the stock plants give in a year beyond what batches ask already; None where none are kept."""
    mine = [
        line
        for line in stock_plant_lines(farm, plans, (year,))
        if (line.species, line.material) == (species, material) and (not cultivar or line.cultivar == cultivar)
    ]
    return sum(max(0, int(line.gives) - line.asks) for line in mine) if mine else None


def shortfalls(farm: Farm, plans: Iterable[Plan], year: int) -> tuple[str, ...]:
    """Where batches ask more than their stock plants give, in this year and the next, in words."""
    return tuple(_say(line) for line in stock_plant_lines(farm, plans, (year, year + 1)) if line.short)


def shortfall_of(farm: Farm, plans: Iterable[Plan], batch_id: str) -> str:
    """What a batch's stock plants lack in the year in which it takes from them, in words, or nothing."""
    if not farm.stock_plants:
        return ""
    plans = tuple(plans)
    years = {year for plan in plans if plan.batch.id == batch_id and (year := year_taken(plan)) is not None}
    lines = stock_plant_lines(farm, plans, sorted(years))
    return next((_say(line) for line in lines if line.short and batch_id in line.batches), "")


def _say(line: YieldLine) -> str:
    batches, verb = (line.batches[0], "asks") if len(line.batches) == 1 else (" and ".join(line.batches), "ask")
    mothers = ", ".join(mother.id for mother in line.stock_plants)
    return (
        f"{batches} {verb} {line.asks} {line.material} of {line.plant} in {line.year}; "
        f"its stock plants ({mothers}) give about {int(line.gives)}"
    )
