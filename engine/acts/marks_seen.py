"""What mark of the season may be recorded as seen, and when: not one of another season, nor one that is computed."""

from __future__ import annotations

from datetime import date

from engine.acts.action import Action, Refused, not_to_come
from engine.almanac.almanac import Almanac, say_day
from engine.almanac.phrases import COMPUTED_MARKS, MarkBase, Phrase
from engine.almanac.why_this_date import reason
from engine.farm.model import Farm
from engine.reading.frozen import dataclass
from engine.reading.problems import nearest

SEEN_WITHIN = 120
"""Days by which a mark that is seen may differ from the computed one; further off, another season is meant."""


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
            f"check the date; a mark may differ by at most {SEEN_WITHIN} days",
        )
    return Action("saw", on, {"mark": name})
