"""A protocol at a site: its network of waits, and the spans of each step's window. Made once, shared by its batches."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from engine.almanac.almanac import Almanac, NeverComes
from engine.almanac.several_windows import occurrences_of
from engine.almanac.windows import Occurrences
from engine.protocols.model import Days, Protocol
from engine.reading.frozen import dataclass, replace
from engine.schedule.network import Contradiction, Network, close


class Lasting(NamedTuple):
    """What something lasts by what has happened to it, and within that what is best."""

    days: Days
    best: Days | None


@dataclass(frozen=True, slots=True)
class Chain:
    """Steps, their closed network, their windows' spans (None: any day), and what each comes after."""

    protocol: Protocol
    almanac: Almanac
    network: Network
    spans: tuple[Occurrences | None, ...]
    before: tuple[tuple[int, ...], ...]
    order: tuple[int, ...]
    """Indices so that every act stands after what it waits for."""
    lasts: tuple[Days, ...]
    waits: Mapping[tuple[int, int], Days]
    """Days from the act to the one that comes after it, what it lasts included."""
    best: tuple[Days | None, ...]
    wants: Mapping[tuple[int, int], Days]
    """The same days where what it lasts is at its best, for the acts of which that is known."""
    meant: Network | None
    """The network with those days in the place of what is allowed; None where nothing is better than the rest."""

    @property
    def roots(self) -> tuple[int, ...]:
        """The acts that wait for no other."""
        return tuple(k for k, before in enumerate(self.before) if not before)

    def follows(self, k: int) -> tuple[int, ...]:
        """The acts that wait for act k themselves, in the order of the protocol."""
        return tuple(j for j, before in enumerate(self.before) if k in before)

    def as_done(self, done: Mapping[int, int]) -> Chain:
        """The same chain where some acts are done: the rest goes on from what happened alone.

        No bound leads through an act that was done, which would hold what follows to a wait that was broken.
        """
        if not done:
            return self
        count, pinned = len(self.before), frozenset(done)
        network = _past(tuple(self.waits.items()), count, pinned)
        meant = None if self.meant is None else _past(tuple({**self.waits, **self.wants}.items()), count, pinned)
        return replace(self, network=network, meant=meant)

    def reaches(self, i: int) -> frozenset[int]:
        """Act i and all that wait for it."""
        found = {i}
        for k in self.order:
            if any(b in found for b in self.before[k]):
                found.add(k)
        return frozenset(found)

    def precedes(self, i: int) -> frozenset[int]:
        """All acts that act i waits for."""
        found: set[int] = set()
        for k in reversed(self.order):
            if k == i or k in found:
                found.update(self.before[k])
        return frozenset(found)


class ChainFault(ValueError):
    """A protocol that can be followed nowhere: its steps wait in a circle, or its waits contradict one another."""

    def __init__(self, message: str, step: str = "") -> None:
        super().__init__(message)
        self.step = step


def between(lasts: Days, wait: Days | None) -> Days:
    """Days from an act that lasts so long to the act that waits so long after its end.

    Least bounds add; a most bound stands only where both have one. A wait left out is 0 with no most, except after
    something that lasts a pair, which is followed within that pair.
    """
    if wait is None:
        return lasts if lasts.least or lasts.most else Days(0, None)
    most = None if lasts.most is None or wait.most is None else lasts.most + wait.most
    return Days(lasts.least + wait.least, most)


def make_chain(protocol: Protocol, almanac: Almanac, lasts: Mapping[str, Lasting] | None = None) -> Chain:
    """The chain of a protocol at a site; `lasts` replaces what some steps last (radicles seen: it has lasted enough).

    Raises ChainFault. A window whose phrase never comes is found when it is asked for.
    """
    names = [step.do for step in protocol.steps]
    where = {name: k for k, name in enumerate(names)}
    afters = [protocol.after(k) for k in range(len(names))]
    before = tuple(tuple(where[after.do] for after in each) for each in afters)
    order = _ordered(before, names)
    found = [(lasts or {}).get(step.do) or Lasting(step.lasts, step.best) for step in protocol.steps]
    lasting, best = tuple(each.days for each in found), tuple(each.best for each in found)
    waits: dict[tuple[int, int], Days] = {}
    wants: dict[tuple[int, int], Days] = {}
    for k, step in enumerate(protocol.steps):
        for after in afters[k]:
            i = where[after.do]
            wait = after.wait if after.wait is not None else step.wait
            waits[i, k] = between(lasting[i], wait)
            if (meant := best[i]) is not None:
                wants[i, k] = between(meant, wait)
    try:
        network = close(len(names), _bounds(waits))
    except Contradiction as fault:
        one, other = (names[k] for k in fault.acts)
        raise ChainFault(f'the waits between "{one}" and "{other}" contradict one another', one) from fault
    spans = tuple(occurrences_of(almanac, step.windows) for step in protocol.steps)
    return Chain(
        protocol, almanac, network, spans, before, order, lasting, waits, best, wants, _meant(len(names), waits, wants)
    )


def _meant(count: int, waits: Mapping[tuple[int, int], Days], wants: Mapping[tuple[int, int], Days]) -> Network | None:
    try:
        return close(count, _bounds({**waits, **wants})) if wants else None
    except Contradiction:  # what is best of one leaves no room for what another must last
        return None


@lru_cache(maxsize=4096)
def _past(waits: tuple[tuple[tuple[int, int], Days], ...], count: int, done: frozenset[int]) -> Network:
    """The network of what is left, by paths through acts not done."""
    bounds = {pair: days for pair, days in _bounds(dict(waits)).items() if not (pair[0] in done and pair[1] in done)}
    return close(count, bounds, [k for k in range(count) if k not in done])


def _bounds(waits: Mapping[tuple[int, int], Days]) -> dict[tuple[int, int], int]:
    """Waits as the network has them: a most of m days from one act to another is a least of -m back."""
    leasts = {pair: days.least for pair, days in waits.items()}
    mosts = {(k, i): -days.most for (i, k), days in waits.items() if days.most is not None}
    return {**leasts, **mosts}


def never_opens(chain: Chain, about: int) -> list[tuple[str, str]]:
    """Steps whose window never opens here, each with the reason; `about` is an ordinal of the years in question."""
    found = []
    for step, spans in zip(chain.protocol.steps, chain.spans, strict=True):
        if spans is None:
            continue
        try:
            spans.from_day(about)
        except NeverComes as reason:
            found.append((step.do, str(reason)))
            continue
        if spans.faults:
            found.append((step.do, next(iter(spans.faults.values()))))
    return found


def _ordered(before: tuple[tuple[int, ...], ...], names: list[str]) -> tuple[int, ...]:
    order: list[int] = []
    left = list(range(len(before)))
    while left:
        ready = next((k for k in left if all(b in order for b in before[k])), None)
        if ready is None:
            circle = ", ".join(f'"{names[k]}"' for k in left)
            raise ChainFault(f"the steps {circle} wait for one another in a circle", names[left[0]])
        order.append(ready)
        left.remove(ready)
    return tuple(order)
