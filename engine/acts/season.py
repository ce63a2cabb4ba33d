"""What may be recorded of the season and of places: a mark seen, standing work done, a store too warm."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.acts.action import Action, Refused, not_to_come
from engine.almanac.almanac import Almanac, say_day
from engine.almanac.phrases import COMPUTED_MARKS, MarkBase, Phrase
from engine.almanac.reasons import reason
from engine.farm.model import Farm
from engine.protocols.names import plain
from engine.reading.frozen import dataclass
from engine.reading.limits import LONGEST_OUTAGE
from engine.reading.problems import nearest
from engine.reading.said import whole_or_not
from engine.reading.units import say_warmth, say_warmths

SEEN_WITHIN = 120
"""Days by which a mark that is seen may differ from the computed one; further off, another season is meant."""
COLDEST, HOTTEST = -40, 50
"""Degrees Celsius that a store or a shelf may have stood at."""


@dataclass(frozen=True, slots=True)
class Seeable:
    """A mark that can be seen: the day nearest to today for which it is computed, and what set that."""

    mark: str
    day: date
    reason: str


def can_be_seen(mark: str) -> bool:
    """Whether a mark is something outdoors that can be recorded, rather than the sun's or an end of another."""
    return mark not in COMPUTED_MARKS and not mark.endswith(" ends")


def marks_to_see(almanac: Almanac, today: date) -> tuple[Seeable, ...]:
    """The marks that can be seen at this site: the nearest to today, then as they follow round the year."""
    found = []
    for name in filter(can_be_seen, almanac.mark_names()):
        phrase = Phrase(MarkBase(name), 0, name)
        season = almanac.nearest(phrase, today.toordinal())
        day = None if season is None else almanac.occurrence(phrase, season)
        if season is not None and day is not None:
            found.append(Seeable(name, date.fromordinal(day), reason(almanac, name, season)))
    if not found:
        return ()
    first = min(found, key=lambda each: (abs((each.day - today).days), each.mark)).day
    return tuple(sorted(found, key=lambda each: ((each.day - first).days % 365, each.mark)))


def saw(farm: Farm, almanac: Almanac, mark: str, on: date, today: date) -> Action:
    """A mark seen on a day. Raises Refused for an unknown mark, a day to come, or one far from its season."""
    not_to_come(on, today)
    name = " ".join(mark.lower().split())
    known = almanac.mark_names()
    if name not in known:
        raise Refused(f'no mark is called "{mark}"', nearest(mark, known))
    phrase = Phrase(MarkBase(name), 0, name)
    unseen = Almanac(farm.site)
    season = unseen.nearest(phrase, on.toordinal())
    computed = None if season is None else unseen.occurrence(phrase, season)
    if computed is not None and abs(computed - on.toordinal()) > SEEN_WITHIN:
        off = abs(computed - on.toordinal())
        raise Refused(
            f"{name} on {on} is {off} days from its computed date ({say_day(computed, True)})",
            "check the date; a mark may differ by at most 120 days",
        )
    return Action("saw", on, {"mark": name})


def worked(do: str, place: str, on: date, today: date) -> Action:
    """Standing work done on a day."""
    not_to_come(on, today)
    return Action("worked", on, {"do": do, "place": place})


def against(kind: str) -> str:
    """What is recorded of a place that was made ready for a frost, a heat day, a wind or a power cut."""
    return f"made ready for {kind}"


def made_ready(kind: str, place: str, places: Iterable[str], on: date, today: date) -> Action:
    """A place made ready for what was forecast, one of those that it threatens. Raises Refused for another."""
    not_to_come(on, today)
    known = sorted(set(places))
    named = next((name for name in known if plain(name) == plain(place)), None)
    if named is None:
        raise Refused(f'nothing at "{place.strip()}" is at risk', nearest(place, known) if known else "")
    return Action("worked", on, {"do": against(kind), "place": named})


def outage(farm: Farm, place: str, days: int, temperature_c: float, on: date, today: date) -> Action:
    """A place stood too warm, or froze, for some days, the last of them `on`. Degrees Celsius.

    Raises Refused for a place that nothing here stands in, a day to come, and impossible figures.
    """
    not_to_come(on, today)
    known = {farm.place_for(p.name) for p in farm.places}
    known |= {farm.where(b, step) for b in farm.batches for step in b.protocol.steps} - {""}
    named = next((name for name in known if plain(name) == plain(place)), farm.place_for(place.strip()))
    if named not in known:
        raise Refused(f'no place is called "{place}"', nearest(place, sorted(known)))
    if not 1 <= days <= LONGEST_OUTAGE:
        raise Refused(f"{days} days: an outage lasts from 1 to {LONGEST_OUTAGE} days")
    if not COLDEST <= temperature_c <= HOTTEST:
        told, span = say_warmth(temperature_c, farm.units), say_warmths((COLDEST, HOTTEST), farm.units)
        raise Refused(f"{told}: give degrees from {span}")
    degrees = whole_or_not(temperature_c)
    return Action("outage", on, {"place": named, "days": days, "temperature_c": degrees})
