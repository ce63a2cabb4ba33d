"""Each need on a day: covered by stock, by batches under way, or short by how many; and what a lost lot changes."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

from engine.farm.model import Farm
from engine.farm.planting import Planting, PlantingPosition
from engine.needs.allotment import Allotment, allot
from engine.needs.need_lines import NeedLine
from engine.needs.planting_outlook import Grown, Post, grown_of, post_odds, posts_of, years_shown
from engine.needs.ways import Way, ways
from engine.odds.bearing import Planted, Position
from engine.reading.frozen import dataclass, replace
from engine.reading.units import say_length, say_lengths
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, Plan

YEARS_AFTER = (2, 3, 5, 8, 12)
"""After so many years a planting's odds are told."""


@dataclass(frozen=True, slots=True)
class PositionLine:
    """Like positions of a planting: the odds by year that one carries a bearing plant; None where nothing is known."""

    position: PlantingPosition
    plant: str
    odds: tuple[tuple[int, Position], ...] | None
    told: str
    """What is to be said of its spacing, or nothing."""
    understudies: tuple[str, ...] = ()
    """What the grower calls them, `2 saskatoon`."""


@dataclass(frozen=True, slots=True)
class PlantingLine:
    """A planting on a day, with its needs and positions."""

    planting: Planting
    needs: tuple[NeedLine, ...]
    positions: tuple[PositionLine, ...]

    def bearing(self, year: int) -> tuple[float, float]:
        """How many positions meant for a crop bear in a year: by first choices alone, and with the understudies."""
        alone = covered = 0.0
        for line in self.positions:
            here = dict(line.odds or ()).get(year)
            if here is not None and line.position.purpose == "crop":
                alone += here.alone * line.position.count
                covered += here.covered * line.position.count
        return alone, covered


@dataclass(frozen=True, slots=True)
class Coverage:
    """All needs on a day, the earliest first, and the plantings that some of them come from."""

    on: date
    needs: tuple[NeedLine, ...]
    plantings: tuple[PlantingLine, ...]
    stock: Allotment

    def short(self) -> tuple[NeedLine, ...]:
        """The needs that are not met whole."""
        return tuple(line for line in self.needs if line.short)


@dataclass(frozen=True, slots=True)
class Fallback:
    """A need that a failing lot leaves short: by how many more, and the ways that still meet what is then short."""

    line: NeedLine
    more: int
    ways: tuple[Way, ...]


def coverage(day: Day, without: Collection[str] = ()) -> Coverage:
    """Every need as it stands; `without` names lots that are taken to be lost."""
    nursery, plans, today = day
    if without:
        left_over = [plan for plan in plans if plan.lot.id not in without]
        stock = nursery.records.stock
        left = replace(stock, holdings=tuple(held for held in stock.holdings if held.lot not in without))
        nursery = replace(nursery, records=replace(nursery.records, stock=left))
        day = Day(nursery, left_over, today)
    view = allot(day)
    grown = grown_of(nursery.farm, nursery.records)
    plantings = tuple(_planting_line(nursery, each, view.needs, grown, today) for each in nursery.farm.plantings)
    return Coverage(today, view.needs, plantings, view)


def fallback(day: Day, lot: str) -> tuple[Fallback, ...]:
    """Which needs fall short, or shorter, should a lot be lost, and which ways still meet them."""
    before = {line.need.id: line.short for line in coverage(day).needs}
    left = day._replace(plans=[plan for plan in day.plans if plan.lot.id != lot])
    return tuple(
        Fallback(line, line.short - before[line.need.id], ways_for(left, line))
        for line in coverage(day, (lot,)).needs
        if line.short > before[line.need.id]
    )


def ways_for(day: Day, line: NeedLine) -> tuple[Way, ...]:
    """Every way to raise what a need is short of, at its certainty."""
    return ways(day, replace(line.need, count=line.short))


def troubled(plans: Sequence[Plan], today: date) -> tuple[str, ...]:
    """The lots whose window was missed, or that no year fits."""
    now = today.toordinal()
    return tuple(
        plan.lot.id
        for plan in plans
        if not plan.now.fits or any(plan.missed(k, now) for k in range(len(plan.chain.spans)))
    )


# -- plantings


def _planting_line(
    nursery: Nursery, planting: Planting, needs: Sequence[NeedLine], grown: Grown, today: date
) -> PlantingLine:
    farm, asked = nursery.farm, {need.id for need in planting.needs()}
    mine = tuple(line for line in needs if line.need.id in asked)
    return PlantingLine(planting, mine, tuple(_position_lines(farm, planting, nursery, grown, today)))


def _position_lines(farm: Farm, planting: Planting, nursery: Nursery, grown: Grown, today: date) -> list[PositionLine]:
    lives = nursery.records.plantings.get(planting.name, {})
    years = years_shown(planting, today, YEARS_AFTER)
    rows: dict[PlantingPosition, list[Post]] = {}  # by what they are: the layout may be that of an equal planting
    for post in posts_of(farm, planting, lives, grown, today):
        rows.setdefault(post.first.plant.position, []).append(post)
    found = []
    for here in planting.positions:
        odds = [(year, told) for year in years if (told := _mean(rows[here], year)) is not None]
        plant = farm.plant(here.species, here.cultivar)
        named = ((u.count, farm.plant(u.species, u.cultivar)) for u in here.understudies)
        others = tuple(f"{count} {name}" if count > 1 else name for count, name in named)
        found.append(PositionLine(here, plant, tuple(odds) or None, crowded(farm, here), others))
    return found


def _mean(posts: Sequence[Post], year: int) -> Position | None:
    """The odds of one of like positions, on average; None where nothing is known."""
    told: dict[tuple[Planted | None, tuple[Planted, ...]], list[Position | None]] = {}
    for post in posts:
        odds = told.setdefault(post.chances, [post_odds(post, year)])[0]
        told[post.chances].append(odds)
    found = [odds for each in told.values() for odds in each[1:] if odds is not None]
    if not found:
        return None
    return Position(sum(o.alone for o in found) / len(found), sum(o.covered for o in found) / len(found))


def crowded(farm: Farm, here: PlantingPosition) -> str:
    """What is to be said where plants stand closer than half of what the species spreads; else nothing."""
    spread = farm.species_of(here.species).spread_m
    if here.spacing_m is None or spread is None or here.spacing_m >= spread[0] / 2:
        return ""
    plant = farm.plant(here.species, here.cultivar)
    apart, wide = say_length(here.spacing_m, farm.units), say_lengths(spread, farm.units)
    return f"{plant} at {apart}: it spreads {wide}; plant so close only for a hedge"
