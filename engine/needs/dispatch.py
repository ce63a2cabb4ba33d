"""Orders to the door: what goes to whom in one parcel, from which lots, and when it may travel.

Bare-root plants travel while they are dormant at both ends: from leaf drop here until buds swell here or there,
whichever comes first, and never after the last day that a customer's place gives. What is in a pot travels on any day.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from engine.almanac.almanac import Almanac, say_day
from engine.almanac.phrases import MarkBase, Phrase
from engine.farm.customers import Customer
from engine.needs.allotment import Allotment, NeedLine
from engine.reading.frozen import dataclass
from engine.schedule.nursery import Nursery


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
    blocked: str
    lines: tuple[ParcelLine, ...]
    why: tuple[str, ...] = ()
    """What the days rest on, in words."""


def parcels(nursery: Nursery, allotted: Allotment, today: date) -> tuple[Parcel, ...]:
    """The parcels that are still to go, what must go first at the head; a need for nobody goes by its own name."""
    by_whom: dict[str, list[NeedLine]] = {}
    for line in allotted.needs:
        if line.met < line.need.count:
            by_whom.setdefault(line.need.who or line.need.id, []).append(line)
    found = [_parcel(nursery, who, lines, today) for who, lines in by_whom.items()]
    return tuple(sorted(found, key=lambda p: (p.send_by or date.max, p.who.lower())))


def _parcel(nursery: Nursery, who: str, needs: Sequence[NeedLine], today: date) -> Parcel:
    customer = nursery.farm.customer(who) or Customer(who)
    refused = [told for line in needs if (told := customer.refusal(line.need.species))]
    lines = tuple(_line(line, customer) for line in needs)
    starts: list[tuple[date, str]] = []
    ends: list[tuple[date, str]] = []
    travel = timedelta(customer.travel_days)
    for line in needs:
        if line.need.by is not None:
            ends.append((line.need.by - travel, f"{line.need.id} is wanted by {_said(line.need.by)}"))
        if _dormant(line):
            own, theirs = nursery.almanac_for(line.need.species), _almanac_of(nursery, customer, line.need.species)
            plant = nursery.farm.species_of(line.need.species).name
            starts += _leaf_drop(own, plant, line.need.by, today)
            ends += _before(own, f"buds of {plant} swell here", line.need.by, today, timedelta(1))
            if theirs is not None:
                ends += _before(theirs, f"their {plant} buds swell", line.need.by, today, travel + timedelta(1))
    if (last := customer.last_arrival(today)) is not None:
        ends.append((last - travel, f"plants may arrive there until {_said(last)}"))
    begin, end = max(starts, default=None), min(ends, default=None)
    why = tuple(told for _, told in (*([begin] if begin else []), *([end] if end else [])))
    if begin and end and begin[0] > end[0]:
        refused.append(f"it cannot travel in time: {begin[1]}, and {end[1]}")
    blocked = "; ".join(dict.fromkeys(refused))
    return Parcel(who, begin[0] if begin else None, end[0] if end else None, blocked, lines, why)


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


def _dormant(line: NeedLine) -> bool:
    """Whether what is asked travels without soil: all but pots and seed."""
    forms = [part.form for part in line.parts if not part.comes] or [line.need.form]
    return any(form and "pot" not in form and form not in ("seed", "plug", "root ball") for form in forms)


def _almanac_of(nursery: Nursery, customer: Customer, latin: str) -> Almanac | None:
    """The season at a customer's place as a species sees it; None where the farm file does not say where it lies."""
    if customer.site is None:
        return None
    return Almanac(customer.site, (), nursery.farm.species_of(latin).marks)


def _leaf_drop(almanac: Almanac, plant: str, by: date | None, today: date) -> list[tuple[date, str]]:
    """The day from which a plant is dormant in the season in which it is wanted; nothing where it is already."""
    drop = None if by is None else almanac.latest(_mark("leaf drop"), today.toordinal(), by.toordinal())
    if drop is None:
        next_drop, swell = (almanac.first_from(_mark(name), today.toordinal()) for name in ("leaf drop", "bud swell"))
        growing = next_drop is not None and swell is not None and next_drop < swell
        drop = next_drop if growing else None
    if drop is None:
        return []
    day = date.fromordinal(drop)
    return [(day, f"{plant} drops its leaves {_said(day)}")]


def _before(almanac: Almanac, told: str, by: date | None, today: date, ahead: timedelta) -> list[tuple[date, str]]:
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
