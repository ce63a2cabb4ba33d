"""Room by place and week: what every place is asked to hold by all lots under way, against what it holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from engine.farm.model import Farm
from engine.reading.frozen import dataclass
from engine.schedule.plan import Plan
from engine.schedule.room import TIE, Held, all_held, limits_of, peak
from engine.views.week import week_start

WEEKS = 52


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
    units: str = "metric"
    """Those of the farm, for words about it; the amounts are metric."""


def room_view(farm: Farm, plans: Iterable[Plan], today: date) -> Rooms:
    """The year that begins in the week of today; what stood anywhere before today is over and done with."""
    held, limits = all_held(farm, plans, today), limits_of(farm)
    first = week_start(today, farm.week_starts)
    weeks = tuple(first + timedelta(7 * n) for n in range(WEEKS))
    lines = [_line(key, limits.get(key), held.get(key, []), weeks, today) for key in (*limits, *held)]
    found = {(line.place, line.unit): line for line in lines if line.holds is not None or max(line.load) > 0}
    return Rooms(today, weeks, tuple(found.values()), farm.units)


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
