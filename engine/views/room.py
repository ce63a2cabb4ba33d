"""Room by place and week: what every place is asked to hold by all lots under way, against what it holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from engine.almanac.almanac import say_day
from engine.farm.model import Farm
from engine.protocols.room import read_limits, say_amount, say_number
from engine.schedule.plan import Plan
from engine.schedule.room import Held, by_place, held_by, peak
from engine.views.week import week_start

WEEKS = 52
TIE = 1e-6


@dataclass(frozen=True, slots=True)
class RoomLine:
    """One unit of one place: by week, the most that is taken on any of its days.

    `holds` is None where the farm gives no room for it. `lots` names, by week, what stands there, the
    largest first.
    """

    place: str
    unit: str
    holds: float | None
    load: tuple[float, ...]
    lots: tuple[tuple[str, ...], ...]

    @property
    def fullest(self) -> int:
        """The number, from 0, of the first week in which most is taken."""
        return max(range(len(self.load)), key=lambda n: (self.load[n], -n))

    @property
    def over(self) -> tuple[int, ...]:
        """The numbers of the weeks in which it is asked to hold more than it does."""
        return tuple(n for n, load in enumerate(self.load) if self.holds is not None and load > self.holds + TIE)


@dataclass(frozen=True, slots=True)
class Rooms:
    """The first days of the weeks, and the places: those with a limit first, as the farm lists them."""

    today: date
    weeks: tuple[date, ...]
    lines: tuple[RoomLine, ...]


def limits_of(farm: Farm) -> dict[tuple[str, str], float]:
    """What the farm says that each place holds, by place and unit."""
    return {(p.name, unit): amount for p in farm.places if p.room for unit, amount in read_limits(p.room).items()}


def all_held(farm: Farm, plans: Iterable[Plan], today: date) -> dict[tuple[str, str], list[Held]]:
    """What all lots under way take from today on, by place and unit."""
    return by_place(held for plan in plans for held in held_by(farm, plan, today.toordinal()))


def room_view(farm: Farm, plans: Iterable[Plan], today: date) -> Rooms:
    """The year that begins in the week of today; what stood anywhere before today is over and done with."""
    held, limits = all_held(farm, plans, today), limits_of(farm)
    first = week_start(today, farm.week_starts)
    weeks = tuple(first + timedelta(7 * n) for n in range(WEEKS))
    lines = [_line(key, limits.get(key), held.get(key, []), weeks, today) for key in (*limits, *held)]
    found = {(line.place, line.unit): line for line in lines if line.holds is not None or max(line.load) > 0}
    return Rooms(today, weeks, tuple(found.values()))


def _line(
    key: tuple[str, str], holds: float | None, held: Sequence[Held], weeks: Sequence[date], today: date
) -> RoomLine:
    load, lots = [], []
    for start in weeks:
        begins, ends = max(start, today).toordinal(), start.toordinal() + 6
        load.append(peak(held, begins, ends).amount)
        there = [each for each in held if each.since <= ends and each.until > begins]
        lots.append(tuple(dict.fromkeys(each.lot for each in sorted(there, key=lambda h: (-h.amount, h.lot)))))
    return RoomLine(*key, holds, tuple(load), tuple(lots))


# -- a batch that is being thought of


def say_room(helds: Iterable[Held]) -> str:
    """`room: mist bench 2 trays, nursery beds 9 m of row`: the most at once of each; nothing where none is known."""
    told: dict[str, list[str]] = {}
    for (place, unit), held in by_place(helds).items():
        most = peak(held, min(each.since for each in held), max(each.until for each in held))
        told.setdefault(place, []).append(say_amount(most.amount, unit))
    places = (f"{place} {' and '.join(amounts)}" for place, amounts in told.items())
    return f"room: {', '.join(places)}" if told else ""


def overfull(farm: Farm, others: Mapping[tuple[str, str], Sequence[Held]], helds: Iterable[Held]) -> tuple[str, ...]:
    """The places that a batch would overfill while it stands there: `mist bench too full: 46 of 40 trays on 14 Jun`."""
    limits, told = limits_of(farm), []
    for (place, unit), mine in by_place(helds).items():
        holds = limits.get((place, unit))
        if holds is None:
            continue
        # While it stands there: what is too full without it is no fault of its own.
        peaks = [peak((*others.get((place, unit), ()), *mine), each.since, each.until - 1) for each in mine]
        most = max(peaks, key=lambda p: p.amount)
        if most.amount > holds + TIE:
            amounts = f"{say_number(most.amount)} of {say_amount(holds, unit)}"
            told.append(f"{place} too full: {amounts} on {say_day(most.day, True)}")
    return tuple(told)
