"""The needs as a grower goes through them: how each stands, by its season or by whom it is for; lots in trouble."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.almanac.almanac import date_of
from engine.farm.stock import Need
from engine.needs.allotment import StockLine, matches
from engine.needs.coverage import Coverage, PlantingLine, troubled
from engine.needs.need_lines import NeedLine
from engine.protocols.forms import form_after
from engine.reading.frozen import dataclass
from engine.schedule.plan import Day
from engine.views.batches import season_of

BY = ("season", "whom")
SHORT, COMING, COVERED, GONE = "short", "coming", "covered", "sent"
OVERDUE, WHENEVER, NOBODY, OVER = "overdue", "whenever", "nobody named", "over: sent"


@dataclass(frozen=True, slots=True)
class Trouble:
    """A lot that missed its window, or that no year fits: nothing is counted on from it until that is settled.

    `needs` are those short that it was meant for; `again` is when it would be ready by its next window, None by none.
    """

    lot: str
    plant: str
    reason: str
    needs: tuple[NeedLine, ...]
    again: date | None = None


def state_of(line: NeedLine) -> str:
    """How a need stands: sent whole, short, met in part by what is coming, or covered by what is there."""
    if line.met >= line.need.count:
        return GONE
    if line.short:
        return SHORT
    return COMING if line.to_come else COVERED


def overdue(line: NeedLine, today: date) -> bool:
    """Whether its day has passed and not all of it was sent."""
    return line.need.by is not None and line.need.by < today and state_of(line) != GONE


def group_of(line: NeedLine, by: str, latitude: float, today: date) -> str:
    """What a need stands under."""
    if state_of(line) == GONE:
        return OVER
    if by == "whom":
        return line.need.who or NOBODY
    if line.need.by is None:
        return WHENEVER
    return OVERDUE if overdue(line, today) else season_of(line.need.by, latitude)


def grouped(
    lines: Iterable[NeedLine], by: str, latitude: float, today: date
) -> tuple[tuple[str, tuple[NeedLine, ...]], ...]:
    """The needs in groups, the group with the earliest day first, what is over last; the short ones first in each."""
    found: dict[str, list[NeedLine]] = {}
    for line in sorted(lines, key=lambda each: each.need.by or date.max):
        found.setdefault(group_of(line, by, latitude, today), []).append(line)
    groups = sorted(found, key=lambda title: title == OVER)
    return tuple((title, tuple(sorted(found[title], key=lambda each: not each.short))) for title in groups)


def planting_of(covered: Coverage, need: Need) -> PlantingLine | None:
    """The planting that asks for a need."""
    return next((each for each in covered.plantings if any(line.need == need for line in each.needs)), None)


def in_trouble(day: Day, covered: Coverage) -> tuple[Trouble, ...]:
    """The lots in trouble, those first that leave a need short."""
    nursery, plans, today = day
    farm, stock = nursery.farm, nursery.records.stock
    amiss, now = set(troubled(plans, today)), today.toordinal()
    found = []
    for plan in plans:
        batch, lot = plan.batch, plan.lot.id
        if lot not in amiss:
            continue
        missed = [plan.step(k).do for k in plan.chain.order if plan.missed(k, now)]
        reason = f"missed its window to {missed[0]}" if missed else "no year fits"
        form, meant = "", plan.meant.ready(plan.chain)
        for k in plan.chain.order:
            form = form_after(plan.step(k), batch.protocol, form)
        doubtful = lot in stock.names and stock.names[lot].doubtful
        line = StockLine(lot, batch.species, "", batch.cultivar, form, "", "", 0, doubtful=doubtful)
        needs = [
            each
            for each in covered.short()
            if not each.need.grade
            and matches(each.need, line, form)
            and (meant is None or each.need.by is None or meant <= each.need.by.toordinal())
        ]
        plant = farm.plant(batch.species, batch.cultivar)
        again = plan.now.ready(plan.chain) if plan.now.fits else None
        found.append(Trouble(lot, plant, reason, tuple(needs), date_of(again)))
    return tuple(sorted(found, key=lambda trouble: not trouble.needs))
