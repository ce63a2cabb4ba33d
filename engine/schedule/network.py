"""The simple temporal network of a chain of acts (Dechter, Meiri and Pearl 1991), with windows that recur.

Differences between acts are bounded, and each act lies in one of the spans of its window. What holds of two solutions
holds of the day-by-day later (or earlier) of them too, so a soonest and a latest solution exist for all acts at once:
every act is raised to its next admissible day, and the waits are propagated, until nothing moves.

Dechter, R., Meiri, I., and Pearl, J. (1991), "Temporal constraint networks", Artificial Intelligence 49, 61-95.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol as Shape

from engine.reading.frozen import dataclass

NONE = -(10**9)
"""No bound from one act to another."""


class Domain(Shape):
    """The days on which an act may be done."""

    def rise(self, day: int) -> int:
        """The first admissible day on or after this one."""

    def fall(self, day: int) -> int:
        """The last admissible day on or before this one."""


@dataclass(frozen=True, slots=True)
class Network:
    """Closed difference bounds: `least[i][j]` is the fewest days from act i to act j, NONE where nothing bounds them.

    A most of m days from i to j stands as a least of -m from j to i. `edges[i]` lists the bounds that leave i.
    """

    least: tuple[tuple[int, ...], ...]
    edges: tuple[tuple[tuple[int, int], ...], ...]

    def most(self, i: int, j: int) -> int | None:
        """The most days from act i to act j, or None."""
        bound = self.least[j][i]
        return None if bound == NONE else -bound


class Contradiction(ValueError):
    """Bounds that no days can meet, whatever the windows; `acts` are two that lie on the circle."""

    def __init__(self, acts: tuple[int, int]) -> None:
        super().__init__("the waits contradict one another")
        self.acts = acts


def close(count: int, bounds: Mapping[tuple[int, int], int], through: Sequence[int] | None = None) -> Network:
    """All-pairs closure (Floyd and Warshall) of the fewest days between acts, by paths `through` some or all of them.

    Raises Contradiction.
    """
    least = [[NONE] * count for _ in range(count)]
    for (i, j), days in bounds.items():
        least[i][j] = days
    for i, row in enumerate(least):
        row[i] = 0
    for k in range(count) if through is None else through:
        onward = [(j, days) for j, days in enumerate(least[k]) if days != NONE]
        for row in least:
            if (there := row[k]) != NONE:
                for j, days in onward:
                    if there + days > row[j]:
                        row[j] = there + days
        for i, row in enumerate(least):
            if row[i] > 0:
                raise Contradiction((i, k))
    edges = tuple(
        tuple((j, bound) for j, bound in enumerate(row) if bound != NONE and j != i) for i, row in enumerate(least)
    )
    return Network(tuple(tuple(row) for row in least), edges)


def soonest(
    network: Network, lows: Sequence[int], domains: Sequence[Domain | None], pinned: Mapping[int, int], limit: int
) -> list[int] | None:
    """The soonest days of all acts not before `lows`, or None where none fits by `limit`.

    Pinned acts stay where they are, and bounds that would move them are left to the caller to judge.
    """
    days = [pinned.get(k, low) for k, low in enumerate(lows)]
    queue = list(range(len(days)))
    waiting = set(queue)
    while queue:
        i = queue.pop(0)
        waiting.discard(i)
        day = days[i]
        domain = domains[i]
        if domain is not None and i not in pinned:
            day = days[i] = domain.rise(day)
        if day > limit:
            return None
        for j, bound in network.edges[i]:
            if day + bound > days[j] and j not in pinned:
                days[j] = day + bound
                if j not in waiting:
                    waiting.add(j)
                    queue.append(j)
    return days


def latest(
    network: Network, highs: Sequence[int], domains: Sequence[Domain | None], pinned: Mapping[int, int], limit: int
) -> list[int] | None:
    """The latest days of all acts not after `highs`, or None where none fits down to `limit`: `soonest`, mirrored."""
    days = [pinned.get(k, high) for k, high in enumerate(highs)]
    least = network.least
    count = len(days)
    queue = list(range(count))[::-1]
    waiting = set(queue)
    while queue:
        j = queue.pop(0)
        waiting.discard(j)
        day = days[j]
        domain = domains[j]
        if domain is not None and j not in pinned:
            day = days[j] = domain.fall(day)
        if day < limit:
            return None
        for i in range(count):
            bound = least[i][j]
            if bound != NONE and i != j and day - bound < days[i] and i not in pinned:
                days[i] = day - bound
                if i not in waiting:
                    waiting.add(i)
                    queue.append(i)
    return days
