"""How the needs take the stock: what is on hand, what of it is promised, what is free, and what is coming."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date

from engine.almanac.almanac import say_day
from engine.farm.model import Farm
from engine.farm.stock import Need
from engine.needs.claims import Want, claims
from engine.needs.coming import Coming, coming_of
from engine.needs.keeping import keeps, lapses, say_keeps
from engine.needs.lots_in_common import sowings
from engine.needs.need_lines import NeedLine, Taken
from engine.needs.stays_and_losses import losses_of
from engine.needs.stock_plants import shortfalls
from engine.odds.lots_to_come import Coming as Lot
from engine.odds.lots_to_come import Stay
from engine.protocols.forms import meets_form
from engine.protocols.grades import meets_grade, saleable
from engine.reading.frozen import dataclass, replace
from engine.records.stock import Holding
from engine.schedule.plan import Day


@dataclass(frozen=True, slots=True)
class StockLine:
    """One lot in one form and grade at one place; nothing on hand where a lot under propagation is still to begin."""

    lot: str
    species: str
    plant: str
    """What a grower calls it, the cultivar left out."""
    cultivar: str
    form: str
    grade: str
    place: str
    on_hand: int
    going: int = 0
    """Sown, stuck or grafted there and not yet counted alive."""
    promised: int = 0
    doubtful: bool = False
    unit: str = ""
    coming: Coming | None = None
    keeps: date | None = None
    """Until when it keeps where it stands; None where nothing bounds that."""
    lapsed: bool = False
    """Whether that day has passed."""

    @property
    def there(self) -> int:
        """How many stand there, on hand or going."""
        return self.on_hand + self.going

    @property
    def free(self) -> int:
        """What can be given away as it stands; a lot under way is not yet what it is to be."""
        return 0 if self.coming is not None else self.on_hand - self.promised

    @property
    def name(self) -> str:
        """The plant with its cultivar, which a doubtful lot bears with a question mark."""
        return f"{self.plant} {self.cultivar}{' ?' if self.doubtful else ''}".rstrip() if self.cultivar else self.plant


@dataclass(frozen=True, slots=True)
class Allotment:
    """The lines of the stock in order, the needs, and what does not add up."""

    on: date
    lines: tuple[StockLine, ...]
    needs: tuple[NeedLine, ...]
    troubles: tuple[str, ...]

    def held(self) -> tuple[StockLine, ...]:
        """Only the lines of what is there: on hand, or going."""
        return tuple(line for line in self.lines if line.there)


def allot(day: Day) -> Allotment:
    """The stock allotted to the needs on a day, by plant; the nursery's records reach up to that day."""
    nursery, plans, today = day
    farm = nursery.farm
    lines, needs = _allot(farm, nursery.records.stock.met, _lines(day), today)
    lines.sort(key=lambda line: (line.plant.lower(), *order_of(line)))
    troubles = tuple(_short_of(need) for need in needs if need.short)
    troubles = (*troubles, *lapses(nursery, today), *shortfalls(farm, plans, today.year))
    return Allotment(today, tuple(lines), tuple(needs), troubles)


def order_of(line: StockLine) -> tuple[str, str, str, str, str, str]:
    """By what the lines of the stock are sorted."""
    return (line.plant.lower(), line.cultivar.lower(), line.form, line.grade, line.place, line.lot)


def _lines(day: Day) -> list[StockLine]:
    nursery, plans, today = day
    farm, stock = nursery.farm, nursery.records.stock
    track, named = nursery.track, sowings(farm, plans)
    under_way = {}
    for plan in plans:
        key = stock.current.get(plan.lot.id)
        coming = coming_of(farm, plan, today, track, named.get(plan.batch.id, ""), key[3] if key else "")
        if coming is not None:
            under_way[plan.lot.id] = plan, coming
    lines = []
    for held in stock.holdings:
        found = under_way.get(held.lot)
        here = found is not None and stock.current.get(held.lot) == (held.lot, held.form, held.grade, held.place)
        until = keeps(nursery, held, today)
        line = _line(farm, held, found[1] if found is not None and here else None)
        lines.append(replace(line, keeps=until, lapsed=until is not None and until < today))
    there = {line.lot for line in lines if line.coming is not None}
    for lot, (plan, coming) in under_way.items():
        if lot not in there and not coming.missed:
            batch = plan.batch
            first = next(iter(plan.undone), plan.chain.order[0])
            place = farm.place_for(plan.step(first).place or batch.place)
            plant, doubtful = farm.species_of(batch.species).name, lot in stock.names and stock.names[lot].doubtful
            lines.append(
                StockLine(lot, batch.species, plant, batch.cultivar, coming.form, "", place, 0, doubtful=doubtful,
                          coming=coming)
            )  # fmt: skip
    return lines


def _line(farm: Farm, held: Holding, coming: Coming | None) -> StockLine:
    name = held.name
    plant = farm.species_of(name.species).name
    return StockLine(
        held.lot, name.species, plant, name.cultivar, held.form, held.grade, held.place,
        0 if held.going else held.count, held.count if held.going else 0,
        doubtful=name.doubtful, unit=name.unit, coming=coming,
    )  # fmt: skip


# -- what is promised


def matches(need: Need, line: StockLine, form: str) -> bool:
    """Whether a lot, once it is of this form, can meet a need: a doubtful name never meets one for a cultivar."""
    if line.species != need.species or (need.cultivar and (line.cultivar != need.cultivar or line.doubtful)):
        return False
    return meets_form(need.form, form) if need.form else line.unit != "g"


def _allot(
    farm: Farm, met: Mapping[str, int], lines: list[StockLine], today: date
) -> tuple[list[StockLine], list[NeedLine]]:
    """Allot the lots to the needs, the earliest need first, from the lots that the fewest other needs could use.

    A need that names no form is for plants that are ready: a lot under propagation counts then as coming. What stands
    ready is kept for a need whole, but counts only as far as it is sure to stand still on the day it is wanted.
    """
    needs = [need for _, _, need in sorted((need.by or date.max, n, need) for n, need in enumerate(farm.needs))]
    ready = [[n for n, line in enumerate(lines) if line.on_hand and ready_for(need, line)] for need in needs]
    later = [[n for n, line in enumerate(lines) if comes_for(need, line)] for need in needs]
    asked = Counter(n for found in (*ready, *later) for n in found)
    free = [line.on_hand for line in lines]

    def take(left: int, found: list[int]) -> list[tuple[int, int]]:
        lots = []
        for n in sorted(found, key=lambda n: (asked[n], order_of(lines[n]))):
            if taken := min(left, free[n]):
                free[n] -= taken
                left -= taken
                lots.append((n, taken))
        return lots

    losses = losses_of(farm)
    told, wants, kept, ready_lots = [], [], [], list[Lot]()
    for need, found, later_found in zip(needs, ready, later, strict=True):
        line = NeedLine(need, farm.species_of(need.species).name, met.get(need.id, 0), 0, 0)
        days = max(0, (need.by - today).days) if need.by else 0
        taken, at_risk = take(line.short, found), []
        for n, part in taken:
            if days and losses.get(lines[n].place):
                at_risk.append(len(lines) + len(ready_lots))
                ready_lots.append(Lot(part, waits=Stay(lines[n].place, 0)))
        safe = sum(part for _, part in taken) - sum(ready_lots[n - len(lines)].count for n in at_risk)
        gone = [x for x in lines if x.keeps and x.on_hand and _would_be_ready(need, x) and not _kept_for(need, x)]
        if gone:
            why = (say_keeps(x.form, x.place, x.keeps, today) for x in gone if x.keeps)
            line = replace(line, lapses=tuple(dict.fromkeys(why)))
        told.append(replace(line, from_hand=safe, parts=tuple(_of_hand(lines[n], part) for n, part in taken)))
        comes = sorted(later_found, key=lambda n: order_of(lines[n]))
        wants.append(Want(told[-1].short, need.sure, (*at_risk, *comes), days))
        kept.append(sum(part for _, part in taken) - safe)
    lots = [*(_left_of(line, free[n]) for n, line in enumerate(lines)), *ready_lots]
    for k, claim in enumerate(claims(wants, lots, losses)):
        coming = tuple(Taken(lines[n].lot, part, comes=True) for n, part in claim.lots if n < len(lines))
        from_hand = min(kept[k], claim.count)
        told[k] = replace(
            told[k], from_hand=told[k].from_hand + from_hand, to_come=claim.count - from_hand,
            unsure=kept[k] - from_hand, parts=(*told[k].parts, *coming), chance=claim.chance,
        )  # fmt: skip
        if told[k].short and (need := told[k].need).grade:
            would = (line.coming.likely for line in lines if _would_do(need, line) and line.coming is not None)
            told[k] = replace(told[k], unsorted=sum(would))
    promised = [
        replace(line, promised=line.on_hand - left) if left != line.on_hand else line
        for line, left in zip(lines, free, strict=True)
    ]
    return promised, told


def _of_hand(line: StockLine, count: int) -> Taken:
    return Taken(line.lot, count, line.form, line.grade, line.place)


def _left_of(line: StockLine, free: int) -> Lot:
    """What of a lot can still come: what was promised of it as it stands comes no more."""
    if line.coming is None:
        return Lot(0)
    lot = line.coming.lot
    return replace(lot, count=max(0, lot.count - (line.on_hand - free)))


def ready_for(need: Need, line: StockLine) -> bool:
    """Whether what is on hand of a lot meets a need as it is, and keeps until then."""
    return _would_be_ready(need, line) and _kept_for(need, line)


def _would_be_ready(need: Need, line: StockLine) -> bool:
    if line.species != need.species:  # of many lots and needs few are of one kind
        return False
    ready = meets_grade(need.grade, line.grade) and (line.coming is None or bool(need.form))
    return ready and matches(need, line, line.form)


def _kept_for(need: Need, line: StockLine) -> bool:
    """Whether it still lives where it stands on the day it is wanted."""
    return line.keeps is None or not (line.lapsed or (need.by is not None and need.by > line.keeps))


def comes_for(need: Need, line: StockLine) -> bool:
    """Whether what a lot will become meets a need, and by its date: one that names no grade, for it is not sorted."""
    return not need.grade and _would_do(need, line)


def _would_do(need: Need, line: StockLine) -> bool:
    """Whether what a lot will become meets a need by its date, whatever it will be sorted as."""
    coming = line.coming
    if coming is None or coming.ready is None or (need.by is not None and coming.ready > need.by):
        return False
    return saleable(line.grade) and matches(need, line, coming.form)


def _short_of(line: NeedLine) -> str:
    need = line.need
    by = f" by {say_day(need.by.toordinal(), True)}" if need.by else ""
    who = f" for {need.who}" if need.who else ""
    plant = f"{line.plant} {need.cultivar}".rstrip()
    form = f" as {need.kind}" if need.kind else ""
    return f"{need.id}: {need.count} {plant}{form}{by}{who}: {line.short} short"
