"""Orders to the door: what goes to whom in one parcel, from which lots, and when it may travel.

Bare-root plants travel while they are dormant at both ends: from leaf drop here until buds swell here or there,
whichever comes first, and never after the last day that a customer's place gives. What stands in a store sleeps on
there, whatever buds do outside: it travels until the day up to which it keeps. What is in a pot travels on any day.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from engine.almanac.almanac import Almanac, say_day
from engine.almanac.phrases import MarkBase, Phrase
from engine.farm.customers import Customer
from engine.needs.keeping import keeps
from engine.needs.need_lines import NeedLine, Taken
from engine.protocols.forms import SEED, has_soil, meets_form, plural
from engine.reading.frozen import dataclass
from engine.records.stock import Holding
from engine.schedule.nursery import Nursery

if TYPE_CHECKING:
    from engine.needs.allotment import Allotment

Days = list[tuple[date, str]]
"""Days, each with what it rests on."""
_SEASON = 150
"""Within so many days of the day on which it is wanted buds may swell before it."""


@dataclass(frozen=True, slots=True)
class Pick:
    """So many of a lot, where it stands and as what."""

    lot: str
    count: int
    place: str
    form: str
    grade: str


@dataclass(frozen=True, slots=True)
class ParcelLine:
    """One need in a parcel: how many are still to go, how many are not on hand, and what they are picked from."""

    need: str
    species: str
    plant: str
    cultivar: str
    form: str
    grade: str
    count: int
    short: int
    picks: tuple[Pick, ...]
    to_come: int = 0
    """How many of those short come from lots under way, as surely as the need asks."""


@dataclass(frozen=True, slots=True)
class Parcel:
    """What goes to one customer, when it may be sent (None: nothing bounds it), and why not, if it may not."""

    who: str
    send_from: date | None
    send_by: date | None
    refused: str
    """Why what is asked may not go there, or nothing."""
    late: str
    """Why it can't be sent dormant in time, or nothing."""
    lines: tuple[ParcelLine, ...]
    why: tuple[str, ...] = ()
    """What the days rest on, in words."""
    packed: bool = False
    """Whether all of it that is ready is packed."""
    planting: bool = False
    """Whether it goes to a planting of the farm's own."""

    @property
    def blocked(self) -> str:
        """Why it may not be sent, or nothing."""
        return "; ".join(told for told in (self.refused, self.late) if told)

    @property
    def ready(self) -> int:
        """How many of it are there to be picked."""
        return sum(pick.count for line in self.lines for pick in line.picks)

    @property
    def short(self) -> int:
        """How many of it are not there."""
        return sum(line.short for line in self.lines)

    def state(self, today: date) -> str:
        """blocked, packed, short (nothing of it is there), waiting (it may not travel yet), part ready or ready."""
        if self.blocked:
            return "blocked"
        if self.packed:
            return "packed"
        if not self.ready:
            return "short"
        if self.send_from is not None and self.send_from > today:
            return "waiting"
        return "part ready" if self.short else "ready"


def parcels(nursery: Nursery, allotted: Allotment, today: date) -> tuple[Parcel, ...]:
    """The parcels that are still to go, what must go first at the head; a need for nobody goes by its own name."""
    by_whom: dict[str, list[NeedLine]] = {}
    for line in allotted.needs:
        if line.met < line.need.count:
            by_whom.setdefault(line.need.who or line.need.id, []).append(line)
    seasons = _Seasons(nursery, today)
    found = [_parcel(seasons, who, lines) for who, lines in by_whom.items()]
    return tuple(sorted(found, key=lambda p: (p.send_by or date.max, p.who.lower())))


def _parcel(seasons: _Seasons, who: str, needs: Sequence[NeedLine]) -> Parcel:
    nursery, today = seasons.nursery, seasons.today
    customer = nursery.farm.customer(who) or Customer(who)
    refused = [told for line in needs if (told := customer.refusal(line.need.species))]
    lines = tuple(_line(line, customer) for line in needs)
    starts: Days = []
    ends: Days = []
    travel = timedelta(customer.travel_days)
    for line in needs:
        if line.need.by is not None:
            ends.append((line.need.by - travel, f"{line.need.id} is due by {_said(line.need.by)}"))
        bare = _bare(line)
        stored = [found for part in bare if (found := seasons.stored(part, line.need.species)) is not None]
        outside = seasons.of(customer, line.need.species, line.need.by) if len(stored) < len(bare) else ([], [])
        for begin_, end_ in (*stored, outside):
            starts += begin_
            ends += end_
    begin = max(starts, default=None)
    if (last := customer.last_arrival(max(today, begin[0]) if begin else today)) is not None:
        ends.append((last - travel, f"plants may arrive there up to {_said(last)}"))
    end = min(ends, default=None)
    why = tuple(told for _, told in (*([begin] if begin else []), *([end] if end else [])))
    late = f"it can't be sent dormant in time: {begin[1]}, and {end[1]}" if begin and end and begin[0] > end[0] else ""
    packed, ready = nursery.records.packed, {line.need: sum(pick.count for pick in line.picks) for line in lines}
    return Parcel(
        who, begin[0] if begin else None, end[0] if end else None, "; ".join(dict.fromkeys(refused)), late, lines, why,
        packed=any(ready.values()) and all(packed.get(need, 0) == count for need, count in ready.items()),
        planting=any(who == planting.name for planting in nursery.farm.plantings),
    )  # fmt: skip


class _Seasons:
    """When kinds may travel to a place, each worked out once."""

    def __init__(self, nursery: Nursery, today: date) -> None:
        self.nursery, self.today = nursery, today
        self._found: dict[tuple[str, str, date | None], tuple[Days, Days]] = {}
        self._held = {(held.lot, held.form, held.grade, held.place): held for held in nursery.records.stock.holdings}

    def stored(self, part: Taken, latin: str) -> tuple[Days, Days] | None:
        """From when, and until when, what sleeps in a store may travel; None for what does not stand in one."""
        held = self._held.get((part.lot, part.form, part.grade, part.place))
        until = None if held is None else keeps(self.nursery, held, self.today)
        if until is None or until < self.today:
            return None
        plant = self.nursery.farm.species_of(latin).name
        drop = self.nursery.almanac_for(latin).latest(_mark("leaf drop"), self.today.toordinal(), until.toordinal())
        told = f"{plural(part.form)} of {plant} in the {part.place} keep until {_said(until)}"
        return _drops(plant, drop), [(until, told)]

    def of(self, customer: Customer, latin: str, by: date | None) -> tuple[Days, Days]:
        """From when, and until when, a kind that travels without soil may go to a customer."""
        key = (customer.name if customer.site or customer.travel_days != 1 else "", latin, by)
        if key not in self._found:
            own, theirs = self.nursery.almanac_for(latin), _almanac_of(self.nursery, customer, latin)
            plant, travel = self.nursery.farm.species_of(latin).name, timedelta(customer.travel_days)
            ends = _before(own, f"buds of {plant} swell here", by, self.today, timedelta(1))
            if theirs is not None:
                ends += _before(theirs, f"their {plant} buds swell", by, self.today, travel + timedelta(1))
            self._found[key] = _leaf_drop(own, plant, by, self.today), ends
        return self._found[key]


def sendings(nursery: Nursery, today: date, until: date) -> tuple[Parcel, ...]:
    """The parcels to customers that must go by a day, by what is asked alone: what they are picked from is left out."""
    farm, stock = nursery.farm, nursery.records.stock
    own = {planting.name for planting in farm.plantings}
    held_of: dict[str, list[Holding]] = {}
    for held in stock.holdings:
        held_of.setdefault(held.name.species, []).append(held)
    by_whom: dict[str, list[NeedLine]] = {}
    for need in farm.needs:
        met = stock.met.get(need.id, 0)
        if met >= need.count or not need.who or need.who in own:
            continue
        parts = tuple(
            Taken(held.lot, held.count, held.form, held.grade, held.place)
            for held in held_of.get(need.species, ())
            if (not need.form or meets_form(need.form, held.form))
            and (not need.cultivar or held.name.cultivar == need.cultivar)
        )
        line = NeedLine(need, farm.species_of(need.species).name, met, 0, 0, parts)
        by_whom.setdefault(need.who, []).append(line)
    seasons = _Seasons(nursery, today)
    near = {who: lines for who, lines in by_whom.items() if _may_be_due(farm.customer(who), lines, until)}
    found = (_parcel(seasons, who, lines) for who, lines in near.items())
    due = (p for p in found if p.send_by is not None and p.send_by <= until and not p.late)
    return tuple(sorted(due, key=lambda p: (p.send_by or date.max, p.who.lower())))


def _may_be_due(customer: Customer | None, lines: Sequence[NeedLine], until: date) -> bool:
    """Whether something of it may have to go by a day: what is wanted within the season, or whenever."""
    far = until + timedelta(_SEASON)
    return any(line.need.by is None or line.need.by <= far for line in lines) or bool(customer and customer.last_day)


def say_sending(parcel: Parcel) -> str:
    """`send Hale by 12 Mar: their buds swell 20 Mar`."""
    by = f" by {say_day(parcel.send_by.toordinal())}" if parcel.send_by else ""
    return f"send {parcel.who}{by}" + (f": {parcel.why[-1]}" if parcel.why else "")


def _line(line: NeedLine, customer: Customer) -> ParcelLine:
    need = line.need
    picks: list[Pick] = []
    left = 0 if customer.refusal(need.species) else line.from_hand
    for part in line.parts:
        if not part.comes and (taken := min(left, part.count)):
            picks.append(Pick(part.lot, taken, part.place, part.form, part.grade))
            left -= taken
    wanted = need.count - line.met
    ready = sum(pick.count for pick in picks)
    return ParcelLine(
        need.id, need.species, line.plant, need.cultivar, need.form, need.grade, wanted, wanted - ready, tuple(picks),
        line.to_come,
    )  # fmt: skip


def _bare(line: NeedLine) -> list[Taken]:
    """What of it travels without soil, all but seed and what has soil: of what is on hand, else as it is asked."""
    parts = [part for part in line.parts if not part.comes] or [Taken("", 0, line.need.form)]
    return [part for part in parts if part.form and not has_soil(part.form) and part.form.lower() != SEED]


def _almanac_of(nursery: Nursery, customer: Customer, latin: str) -> Almanac | None:
    """The season at a customer's place as a species sees it; None where the farm file does not say where it lies."""
    if customer.site is None:
        return None
    return Almanac(customer.site, (), nursery.farm.species_of(latin).marks)


def _leaf_drop(almanac: Almanac, plant: str, by: date | None, today: date) -> Days:
    """The day from which a plant is dormant in the season in which it is wanted; nothing where it is already."""
    drop = None if by is None else almanac.latest(_mark("leaf drop"), today.toordinal(), by.toordinal())
    if drop is None:
        next_drop, swell = (almanac.first_from(_mark(name), today.toordinal()) for name in ("leaf drop", "bud swell"))
        growing = next_drop is not None and swell is not None and next_drop < swell
        drop = next_drop if growing else None
    return _drops(plant, drop)


def _drops(plant: str, drop: int | None) -> Days:
    if drop is None:
        return []
    day = date.fromordinal(drop)
    return [(day, f"{plant} drops its leaves {_said(day)}")]


def _before(almanac: Almanac, told: str, by: date | None, today: date, ahead: timedelta) -> Days:
    """The last day before the buds swell that end the season in which it is wanted, less what the way takes.

    Nothing where it is wanted while it is dormant, for then its own day comes first.
    """
    if by is None:
        swell = almanac.first_from(_mark("bud swell"), today.toordinal() + 1)
    else:
        swell = almanac.latest(_mark("bud swell"), today.toordinal(), by.toordinal())
        drop = None if swell is None else almanac.first_from(_mark("leaf drop"), swell)
        if drop is not None and drop <= by.toordinal():
            return []
    if swell is None:
        return []
    day = date.fromordinal(swell)
    return [(day - ahead, f"{told} {_said(day)}")]


def _mark(name: str) -> Phrase:
    return Phrase(MarkBase(name), 0, name)


def _said(day: date) -> str:
    return say_day(day.toordinal(), True)


def walking_order(
    found: Iterable[Parcel], on: date
) -> tuple[tuple[str, tuple[tuple[str, ParcelLine, Pick], ...]], ...]:
    """What may travel by a day, by the place where it stands, each with whom it is for: one walks to a place once."""
    by_place: dict[str, list[tuple[str, ParcelLine, Pick]]] = {}
    for parcel in found:
        if parcel.send_from is not None and parcel.send_from > on:
            continue
        for line in parcel.lines:
            for pick in line.picks:
                by_place.setdefault(pick.place or "no place", []).append((parcel.who, line, pick))
    return tuple((place, tuple(picks)) for place, picks in sorted(by_place.items()))
