"""Windows: from when to when a step may be done, once for each turn of the season."""

from __future__ import annotations

from abc import ABC, abstractmethod
from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from contextlib import suppress
from datetime import date

from engine.almanac.almanac import Almanac, NeverComes, say_day
from engine.almanac.phrases import Phrase
from engine.reading.frozen import dataclass
from engine.reading.limits import LONGEST_WINDOW, WIDEST_OPENING

_YEARS_ON = 3
"""So many years on and as many back hold every kind of year: what comes in none of them never does."""


@dataclass(frozen=True, slots=True)
class Window:
    """It opens when all its opening phrases have come and closes at the first of its closing phrases."""

    opens: tuple[Phrase, ...] = ()
    closes: tuple[Phrase, ...] = ()

    @property
    def always(self) -> bool:
        """Whether nothing opens or closes it: any day will do."""
        return not self.opens and not self.closes


@dataclass(frozen=True, slots=True)
class Span:
    """One occurrence of a window: its first and its last day (ordinals), and the phrases that set them."""

    opens: int
    closes: int
    opener: Phrase | None
    closer: Phrase | None
    final: bool = True
    """Whether it is the last of its season; not where another of several windows is to come."""


def spans_of(almanac: Almanac, window: Window) -> Spans:
    """The occurrences of a window at a site, kept there: many steps, and many species, share their windows."""
    almanac = almanac.common_to((*window.opens, *window.closes))
    if (found := almanac.spans.get(window)) is None:
        found = almanac.spans[window] = Spans(almanac, window)
    return found


class Occurrences(ABC):
    """Spans apart from one another, in order, found as far as they are asked for. Raises NeverComes where none is."""

    def __init__(self) -> None:
        self.faults: dict[int, str] = {}
        """For the seasons looked at, why an occurrence makes no sense (it closes before it opens)."""
        self._low = self._high = 0
        self.spans: list[Span] = []
        self._opens: list[int] = []
        self._closes: list[int] = []

    @abstractmethod
    def _reach(self, ordinal: int) -> None:
        """See to it that the spans about that day are known."""

    @abstractmethod
    def _nothing(self) -> str:
        """Why there is none, in words."""

    def _keep(self, spans: Iterable[Span]) -> None:
        self.spans = sorted(spans, key=lambda s: s.opens)
        self._opens = [s.opens for s in self.spans]
        self._closes = [s.closes for s in self.spans]

    def from_day(self, ordinal: int) -> Span:
        """The first span that closes on or after that day."""
        self._reach(ordinal)
        k = bisect_left(self._closes, ordinal)
        if k == len(self.spans):
            raise NeverComes(self._nothing())
        return self.spans[k]

    def until_day(self, ordinal: int) -> Span:
        """The last span that opens on or before that day."""
        self._reach(ordinal)
        k = bisect_right(self._opens, ordinal) - 1
        if k < 0:
            raise NeverComes(self._nothing())
        return self.spans[k]

    def rise(self, ordinal: int) -> int:
        """The first day on or after this one on which the window is open."""
        span = self.from_day(ordinal)
        return ordinal if ordinal >= span.opens else span.opens

    def fall(self, ordinal: int) -> int:
        """The last day on or before this one on which the window is open."""
        span = self.until_day(ordinal)
        return ordinal if ordinal <= span.closes else span.closes

    def before(self, span: Span) -> Span | None:
        """The span before this one."""
        self._reach(span.opens - 1)
        k = bisect_left(self._opens, span.opens) - 1
        return self.spans[k] if k >= 0 else None

    def between(self, first: int, last: int) -> list[Span]:
        """Every span that touches those days."""
        found: list[Span] = []
        day = first
        with suppress(NeverComes):
            while (span := self.from_day(day)).opens <= last:
                found.append(span)
                day = span.closes + 1
        return found

    def one_season(self, span: Span, later: Span) -> bool:
        """Whether the later span takes the place of the earlier one in the same season."""
        while span.opens < later.opens and not span.final:
            span = self.from_day(span.closes + 1)
        return span == later


class Spans(Occurrences):
    """The occurrences of one window at one site. Raises NeverComes where an opening phrase never comes here."""

    def __init__(self, almanac: Almanac, window: Window) -> None:
        super().__init__()
        self._almanac = almanac
        self.window = window

    def _reach(self, ordinal: int) -> None:
        """Find spans until one closes before that day and one opens after it, or several years hold none."""
        if self.spans and self._closes[0] < ordinal < self._opens[-1]:
            return
        year = date.fromordinal(min(max(ordinal, 3000), 3_600_000)).year
        if self._low == self._high:
            self._low = self._high = year
        while self._high <= year or (not (self.spans and self._opens[-1] > ordinal) and self._high < year + _YEARS_ON):
            self._add(self._high)
            self._high += 1
        while self._low > year or (not (self.spans and self._closes[0] < ordinal) and self._low > year - _YEARS_ON):
            self._low -= 1
            self._add(self._low)

    def _add(self, season: int) -> None:
        span = self._season(season)
        if span is not None and span not in self.spans:
            self._keep((*self.spans, span))

    def _season(self, season: int) -> Span | None:
        window, almanac = self.window, self._almanac
        if not window.opens:
            return self._closing_only(season)
        lead = almanac.occurrence(window.opens[0], season)
        if lead is None:
            return None
        days = [(lead, window.opens[0])]
        for phrase in window.opens[1:]:
            k = almanac.nearest(phrase, lead)
            value = None if k is None else almanac.occurrence(phrase, k)
            if value is None:
                return None
            days.append((value, phrase))
        opens, opener = max(days, key=lambda d: d[0])
        first, early = min(days, key=lambda d: d[0])
        if opens - first > WIDEST_OPENING:
            self.faults[season] = (
                f"it closes before it opens: {early.text} is {say_day(first, True)} "
                f"and {opener.text} {say_day(opens, True)}, {opens - first} days apart"
            )
            return None
        if not window.closes:
            after = almanac.occurrence(window.opens[0], season + 1)
            # All openings move together from year to year, so the next opening is this one's, a season on.
            following = self._opening_near(after) if after is not None else None
            return Span(opens, (following - 1) if following else opens + 365, opener, None)
        return self._closing(season, opens, opener)

    def _opening_near(self, lead: int) -> int:
        values = [lead]
        for phrase in self.window.opens[1:]:
            k = self._almanac.nearest(phrase, lead)
            value = None if k is None else self._almanac.occurrence(phrase, k)
            if value is not None:
                values.append(value)
        return max(values)

    def _closing(self, season: int, opens: int, opener: Phrase) -> Span | None:
        ends = [(v, p) for p in self.window.closes if (v := self._almanac.first_from(p, opens)) is not None]
        if not ends:  # nothing that closes it ever comes here
            after = self._almanac.occurrence(self.window.opens[0], season + 1)
            return Span(opens, (self._opening_near(after) - 1) if after is not None else opens + 365, opener, None)
        closes, closer = min(ends, key=lambda e: e[0])
        if closes - opens > LONGEST_WINDOW:
            k = self._almanac.nearest(closer, opens)
            before = None if k is None else self._almanac.occurrence(closer, k)
            since = f"closed since {say_day(before)}" if before is not None and before < opens else "too long"
            self.faults[season] = (
                f"it closes before it opens: {opener.text} is {say_day(opens, True)}, "
                f"{closer.text} {since} ({closes - opens} days until {say_day(closes, True)})"
            )
            return None
        return Span(opens, closes, opener, closer)

    def _closing_only(self, season: int) -> Span | None:
        ends = [self._closed(season - 1), self._closed(season)]
        if ends[0] is None or ends[1] is None:
            return None
        return Span(ends[0][0] + 1, ends[1][0], None, ends[1][1])

    def _closed(self, season: int) -> tuple[int, Phrase] | None:
        window, almanac = self.window, self._almanac
        days: list[tuple[int, Phrase]] = []
        for phrase in window.closes:
            k: int | None = season if not days else almanac.nearest(phrase, days[0][0])
            value = None if k is None else almanac.occurrence(phrase, k)
            if value is not None:
                days.append((value, phrase))
        return min(days, key=lambda d: d[0]) if days else None

    def _nothing(self) -> str:
        if self.faults:
            return next(iter(self.faults.values()))
        for phrase in self.window.opens or self.window.closes:
            if self._almanac.nearest(phrase, date(2025, 7, 1).toordinal()) is None:
                from engine.almanac.why_this_date import why_never

                return f'"{phrase.text}" never comes here: {why_never(self._almanac, phrase)}'
        return "it never opens here"
