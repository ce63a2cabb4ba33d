"""Several windows of one step as one: it may be done in any of them. Lifting: in autumn, or in spring."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from engine.almanac.almanac import Almanac, NeverComes
from engine.almanac.windows import Occurrences, Span, Spans, Window, spans_of
from engine.reading.frozen import replace

_YEAR = 366
_MARGIN = _YEAR + 20
"""Days beyond those looked through in which a span, and what it is joined to or followed by, may begin or end."""
_ABOUT = _YEAR // 2
"""Days before and after the one asked for that are looked through with it: the next to be asked for lies near."""

Part = tuple[Span, int]
"""A span, and which of the windows it belongs to."""


def occurrences_of(almanac: Almanac, windows: tuple[Window, ...]) -> Occurrences | None:
    """The spans of a step's windows at a site, kept there; None where it may be done on any day."""
    if not windows:
        return None
    if len(windows) == 1:
        return spans_of(almanac, windows[0])
    almanac = almanac.common_to(phrase for window in windows for phrase in (*window.opens, *window.closes))
    if (found := almanac.several.get(windows)) is None:
        found = almanac.several[windows] = Several([spans_of(almanac, window) for window in windows])
    return found


class Several(Occurrences):
    """The spans of several windows, joined where they overlap or touch.

    A window that never opens here, or makes no sense in a season, is skipped while another opens.
    """

    def __init__(self, parts: list[Spans]) -> None:
        super().__init__()
        self.parts = parts

    def from_day(self, ordinal: int) -> Span:
        """The first span that closes on or after that day."""
        try:
            super().from_day(ordinal)
        except NeverComes:  # none for a year
            self._reach(min(span.opens for span in self._of_parts(Spans.from_day, ordinal)))
        while (span := super().from_day(ordinal)).closes > self._high:
            self._reach(span.closes)
        return span

    def until_day(self, ordinal: int) -> Span:
        """The last span that opens on or before that day."""
        try:
            return super().until_day(ordinal)
        except NeverComes:
            self._reach(max(span.closes for span in self._of_parts(Spans.until_day, ordinal)))
            return super().until_day(ordinal)

    def _of_parts(self, find: Callable[[Spans, int], Span], ordinal: int) -> list[Span]:
        """What each window finds of itself. Raises NeverComes where none finds a span."""
        found = []
        for part in self.parts:
            with suppress(NeverComes):
                found.append(find(part, ordinal))
        if not found:
            raise NeverComes(self._nothing())
        return found

    def _reach(self, ordinal: int) -> None:
        """See to it that every span within a year and more of that day is known."""
        if self._low <= ordinal <= self._high:
            return
        self._low = min(self._low or ordinal, ordinal - _ABOUT)
        self._high = max(self._high, ordinal + _ABOUT)
        parts = [
            (span, k)
            for k, part in enumerate(self.parts)
            for span in part.between(max(1, self._low - _MARGIN), self._high + _MARGIN)
        ]
        self._keep(_joined(parts))

    def _nothing(self) -> str:
        return "; ".join(dict.fromkeys(part._nothing() for part in self.parts))


def _joined(parts: list[Part]) -> list[Span]:
    """Spans apart from one another, each told whether it is the last of its season."""
    groups: list[list[Part]] = []
    closes = -_YEAR
    for part in sorted(parts, key=lambda p: (p[0].opens, p[1])):
        if part[0].opens > closes + 1:
            groups.append([])
        groups[-1].append(part)
        closes = max(closes, part[0].closes)
    pieces = [piece for group in groups for piece in _pieces(group)]
    # The windows stand in the order of a season: the next span begins another where its window is not a later one.
    following = [*(min(turns) for _, turns in pieces[1:]), 0]
    return [
        span if turn <= max(turns) else replace(span, final=False)
        for (span, turns), turn in zip(pieces, following, strict=False)
    ]


def _pieces(group: list[Part]) -> list[tuple[Span, set[int]]]:
    """What overlaps, as one; where that has no end, cut at each opening."""
    first, last = group[0][0], max((span for span, _ in group), key=lambda s: s.closes)
    if last.closes - first.opens <= _YEAR:
        whole = Span(first.opens, last.closes, first.opener, last.closer)
        return [(whole, {turn for _, turn in group})]
    kept: list[Part] = []
    for span, turn in group:
        if not kept or span.closes > kept[-1][0].closes:
            kept.append((span, turn))
    ends = [span.opens - 1 for span, _ in kept[1:]]
    return [
        (span if end >= span.closes else replace(span, closes=end, closer=None), {turn})
        for (span, turn), end in zip(kept, [*ends, kept[-1][0].closes], strict=True)
    ]
