"""What a count teaches: of so many that went into some steps, so many were found. Each loss is counted once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from math import log

from engine.protocols.model import Protocol
from engine.protocols.names import plain
from engine.reading.frozen import dataclass
from engine.reading.log import alike_at_ends


@dataclass(frozen=True, slots=True)
class Trial:
    """So many of a batch went `into` these steps and so many `came` out of the last of them, as a count on a day told.

    Several steps where nothing was counted between them. `came` may exceed `into` where a plant gives several.
    """

    batch: str
    steps: tuple[str, ...]
    into: int
    came: int
    day: date
    entry: str


def taught_otherwise(before: Sequence[Trial], now: Sequence[Trial]) -> frozenset[str]:
    """The batches of which these counts teach other than those before."""
    if before is now:
        return frozenset()
    front, back = alike_at_ends(before, now)
    others = (*before[front : len(before) - back], *now[front : len(now) - back])
    return frozenset(trial.batch for trial in others)


def by_step(protocol: Protocol, trial: Trial) -> list[tuple[str, int, int]]:
    """A trial as (step, into, came) for each of its steps that loses plants.

    What several steps lost together is laid to each in the ratio in which the book expects them to lose; where nothing
    came at all, to the one that is expected to lose most.
    """
    if len(trial.steps) == 1:  # as most are
        do = trial.steps[0]
        loses = any(step.do == do and step.survive is not None for step in protocol.steps)
        return [(do, trial.into, trial.came)] if loses else []
    shares = {step.do: step.survive for step in protocol.steps if step.survive is not None}
    losing = [do for do in trial.steps if do in shares]
    if len(losing) < 2:
        return [(do, trial.into, trial.came) for do in losing]
    expected = {do: -log(max(shares[do] or 0.0, 1e-6)) for do in losing}
    if not trial.came or not any(expected.values()):
        return [(max(losing, key=lambda do: expected[do]), trial.into, trial.came)]
    found, into, gone, total = [], trial.into, 0.0, sum(expected.values())
    for do in losing:
        gone += expected[do] / total
        came = round(trial.into * (trial.came / trial.into) ** gone)
        found.append((do, into, came))
        into = came
    return found


ACCIDENTS = ("mice", "fridge", "nozzle", "power", "frost", "flood", "hail", "wind", "deer", "rabbits", "slugs", "theft")
"""What befalls a place, whatever is raised there (common practice): no look at the method."""
FAILURES = ("none rooted", "none took", "none came up", "rotted", "mould", "dried out", "failed")
"""What speaks of the method, or of the hand that did it."""
_WORD = re.compile("[a-z]+")
CAUSES = (*FAILURES, *ACCIDENTS)
"""The causes that are offered; a grower may write others."""


def is_accident(cause: str, whole_lot: bool) -> bool:
    """Whether a loss is no look at the method; one of unknown cause is none where a whole lot is lost."""
    words = plain(cause)
    if any(plain(known) in words for known in FAILURES):
        return False
    return bool(set(_WORD.findall(words)) & set(ACCIDENTS)) or whole_lot  # a window is no wind


def share_out(total: int, part: int, whole: int) -> int:
    """What of `total` goes with `part` of `whole`. The rest is `total` less that: nothing is lost by rounding."""
    return round(total * part / whole) if whole else 0
