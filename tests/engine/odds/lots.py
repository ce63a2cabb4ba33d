"""Lots that are to come, drawn by hypothesis, and what comes of them in a simulation of every loss in every place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from hypothesis import strategies as st

from engine.odds.promise import YEAR_DAYS, Coming, Stay
from engine.odds.rates import Rate

LOSSES = {"mist bench": 0.2, "cold store": 0.07, "field": 0.0}
RATES = st.lists(st.builds(Rate, st.floats(0.2, 0.98), st.one_of(st.none(), st.floats(1, 50))), max_size=3).map(tuple)
LEGS = st.lists(st.tuples(st.sampled_from(sorted(LOSSES)), st.floats(0, 200), st.floats(0, 600)), max_size=3)


def one_after_another(legs: Sequence[tuple[str, float, float]]) -> tuple[Stay, ...]:
    """Stays from legs of a place, days before it and days in it."""
    stays, now = [], 0.0
    for place, before, days in legs:
        stays.append(Stay(place, now + before + days, now + before))
        now += before + days
    return tuple(stays)


def comings(most: int = 60) -> st.SearchStrategy[Coming]:
    return st.builds(Coming, st.integers(0, most), RATES, LEGS.map(one_after_another))


def lot(count: int, rates: tuple[Rate, ...] = (), place: str = "", days: float = 0.0, since: float = 0.0) -> Coming:
    """A lot that stands in one place."""
    return Coming(count, rates, (Stay(place, days, since),) if place else ())


def drawn(lots: Sequence[Coming], losses: Mapping[str, float], draws: int, seed: int) -> list[np.ndarray]:
    """How many of each lot are there, in each draw: losses come to every place as a Poisson process, up to twelve."""
    rng = np.random.default_rng(seed)
    gaps = {
        place: rng.exponential(YEAR_DAYS / -np.log(1 - loss), (draws, 12)) if loss else np.full((draws, 1), np.inf)
        for place, loss in losses.items()
    }
    events = {place: np.cumsum(each, axis=1) for place, each in gaps.items()}
    found = []
    for each in lots:
        count = np.full(draws, each.count)
        for rate in each.rates:
            p = rate.mean
            if rate.weight is not None:
                p = rng.beta(rate.mean * rate.weight, (1 - rate.mean) * rate.weight, draws)
            count = rng.binomial(count, p)
        for stay in each.stays:
            hit = (events[stay.place] > stay.since) & (events[stay.place] < stay.until)
            count = np.where(hit.any(axis=1), 0, count)
        found.append(count)
    return found
