"""A long sequence that is gone on from: what both share stands once, and what is new lies on top.

A journal of twenty years holds a hundred thousand entries and more, and each day adds a few: a tuple made anew for each
of them would be copied from end to end, and gone through by whoever collects what is no longer used.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, islice
from typing import TypeVar, overload

T = TypeVar("T")
MOST_ON_TOP = 2_000
"""So much may lie on top until all is laid into one again."""


class Log(Sequence[T]):
    """A sequence to which only something is added; once it is copied, or gone on from, it is not changed any more."""

    __slots__ = ("_below", "_held", "_top")

    def __init__(self, below: Sequence[T] = (), top: list[T] | None = None, held: int | None = None) -> None:
        """`held`: so many of those below, the first, are in it; None: all."""
        self._below, self._held = below, len(below) if held is None else held
        self._top: list[T] = [] if top is None else top

    def append(self, item: T) -> None:
        """Add one at the end."""
        self._top.append(item)

    def copied(self) -> Log[T]:
        """The same, to go on from another way."""
        return self.cut(len(self))

    def cut(self, length: int) -> Log[T]:
        """The first so many, to go on from."""
        if length <= self._held:
            return Log(self._below, [], length)
        top = self._top[: length - self._held]
        if len(top) > MOST_ON_TOP:
            return Log((*islice(self._below, self._held), *top))
        return Log(self._below, top, self._held)

    def __len__(self) -> int:
        return self._held + len(self._top)

    def __iter__(self) -> Iterator[T]:
        return chain(islice(self._below, self._held), self._top)

    def __reversed__(self) -> Iterator[T]:
        return chain(reversed(self._top), map(self._below.__getitem__, range(self._held - 1, -1, -1)))

    @overload
    def __getitem__(self, at: int) -> T: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[T]: ...
    def __getitem__(self, at: int | slice) -> T | Sequence[T]:
        if isinstance(at, slice):
            start, stop, step = at.indices(len(self))
            if step == 1 and start >= self._held:  # what is new is what is mostly asked for
                return tuple(self._top[start - self._held : stop - self._held])
            return tuple(self)[at]
        if not -len(self) <= at < len(self):
            raise IndexError(at)
        at %= len(self)
        return self._below[at] if at < self._held else self._top[at - self._held]

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Log) and self._below is other._below and self._held == other._held:
            return self._top == other._top
        return isinstance(other, Sequence) and len(self) == len(other) and tuple(self) == tuple(other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"Log({[*islice(self, 20)]!r})"


def lasting(items: Iterable[T]) -> Sequence[T]:
    """The items as they may be kept: a log or a tuple as it is, all else as a tuple."""
    return items if isinstance(items, tuple | Log) else tuple(items)


def onward(before: Sequence[T], more: Iterable[T], kept: int | None = None) -> Log[T]:
    """What was there before, or the first so many of it that are `kept`, and then more."""
    found = (before if isinstance(before, Log) else Log(tuple(before))).cut(len(before) if kept is None else kept)
    for item in more:
        found.append(item)
    return found


def begins(items: Sequence[T], first: Sequence[T]) -> bool:
    """Whether a sequence begins as another does: seen at a glance where it was gone on from that one."""
    if isinstance(items, Log) and isinstance(first, Log) and items._below is first._below:
        shared = min(items._held, first._held)
        items, first = items[shared:], first[shared:]
    return items is first or tuple(items[: len(first)]) == tuple(first)


def alike_from_start(some: Sequence[T], others: Sequence[T]) -> int:
    """How many items both begin with."""
    if some is others:
        return len(some)
    some, others = tuple(some), tuple(others)
    start, step = 0, min(len(some), len(others))
    while step:  # compared by the thousand: the same items are so at a glance
        while start + step <= len(some) and some[start : start + step] == others[start : start + step]:
            start += step
        step //= 2
    return start


def alike_at_ends(some: Sequence[T], others: Sequence[T]) -> tuple[int, int]:
    """How many items both begin with, and how many of the rest both end with."""
    front = alike_from_start(some, others)
    return front, alike_from_start(tuple(some[front:])[::-1], tuple(others[front:])[::-1])
