"""The journal taken, and how to go on from what stood on the way.

What was taken can be taken up again where the entries are the same so far: a new entry at the end costs no more than
itself, whatever lies before it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.journal.undone import Stand
from engine.reading.frozen import dataclass
from engine.reading.log import alike_from_start, lasting
from engine.records.entry_by_entry import State
from engine.records.kinds import SETTING_KINDS
from engine.records.values import beyond


@dataclass(frozen=True, slots=True)
class Fold:
    """The entries of a farm's journal as they were taken, with some states on the way to go on from."""

    farm: Farm
    """As its file is written."""
    entries: Sequence[Entry]
    ahead: tuple[tuple[int, Entry], ...]
    """Those of them that are heeded from the start, and where they stand."""
    every: bool
    """Whether the movements of every lot are kept."""
    end: State
    """After all of them."""
    on_the_way: tuple[tuple[int, State], ...] = ()
    """After so many of them, the fewest first."""


_BACK = (16, 256, 4_096, 65_536)
"""So many entries before the end a state is kept: what is new comes at the end, or not far before it."""


_OFTEN = 500
"""After so many entries it is told how far it has come."""


def fold(
    farm: Farm,
    entries: Iterable[Entry],
    watch: Iterable[str] | None,
    before: Fold | None,
    keep: bool,
    tell: Callable[[int, int], None] | None = None,
    stood: Stand | None = None,
) -> Fold:
    """The entries taken in order. With `before`, only from the first on that is another than it was then.

    The same comes of it either way. With `keep`, or a `before`, states are kept to go on from. How many of how many are
    taken goes to `tell`. Where `stood` tells of which journal the entries stand, it is not looked for what they share.
    """
    entries = lasting(entries)
    watch = None if watch is None else tuple(watch)
    start, state, ahead = 0, None, []
    kept: list[tuple[int, State]] = []
    if before is not None and before.farm is farm.of_file and (before.every or watch == ()):
        watch = None if before.every else ()
        known = stood is not None and stood.standing is entries and stood.onto is before.entries
        same = stood.kept if stood is not None and known else alike_from_start(before.entries, entries)
        if same == len(entries) == len(before.entries):
            return before
        ahead = [(n, entry) for n, entry in before.ahead if n < same] + _ahead(entries, same)
        kept = [(n, each) for n, each in before.on_the_way if n <= same]
        if same == len(before.entries):
            kept.append((same, before.end))
        from engine.records.latecomers import with_ahead  # only where something stood before

        while kept and state is None:
            start, last = kept[-1]
            state = with_ahead(last, farm, [entry for _, entry in ahead])
            if state is None:
                kept.pop()
    if state is None:
        start, ahead = 0, ahead or _ahead(entries, 0)
        state = State(farm, [entry for _, entry in ahead], watch)
    keep = keep or before is not None
    marks = {len(entries) - back for back in _BACK} if keep else set()
    for n in range(start, len(entries)):
        if n in marks and n > start:
            kept.append((n, state))
            state = state.copied()
        state.take(entries[n])
        if tell is not None and not n % _OFTEN:
            tell(n, len(entries))
    return Fold(farm.of_file, entries, tuple(ahead), watch is None, state, _of_use(kept, len(entries)))


def _of_use(kept: Sequence[tuple[int, State]], length: int) -> tuple[tuple[int, State], ...]:
    """Of the states on the way, the latest that lies so far back, for each of the distances."""
    found = {n: state for back in _BACK for n, state in [each for each in kept if each[0] <= length - back][-1:]}
    return tuple(sorted(found.items(), key=lambda each: each[0]))


def _ahead(entries: Sequence[Entry], start: int) -> list[tuple[int, Entry]]:
    """Those of the entries from there on that are heeded from the start, whose day and counts can be meant."""
    return [
        (n, entry)
        for n, entry in enumerate(entries[start:], start)
        if (entry.kind == "batch" or entry.kind in SETTING_KINDS) and not beyond(entry)
    ]
