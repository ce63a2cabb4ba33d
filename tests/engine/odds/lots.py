"""Lots that are to come, drawn by hypothesis, and what comes of them in a simulation of every loss in every place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from hypothesis import strategies as st

from engine.odds.batches_in_common import BINS, told_by
from engine.odds.lots_to_come import YEAR_DAYS, Coming, Stay
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
    """How many of each lot are there, in each draw: losses come to every place as a Poisson process.

    Parts of a batch draw one share for a step that both have to come. Batches of a kind draw theirs from those of one
    run of luck: of many shares, each with the count of the plants set beside it, in order of that count.
    """
    rng = np.random.default_rng(seed)
    last: dict[str, float] = {}
    for stay in (stay for each in lots for stay in each.stays):
        last[stay.place] = max(last.get(stay.place, 0.0), stay.until)
    events = {place: _events(rng, losses[place], last[place], draws) for place in sorted(last)}
    luck = {kind: rng.permutation(-(-draws // BINS) * BINS)[:draws] for kind in sorted({each.kind for each in lots})}
    shares: dict[object, np.ndarray] = {}
    found = []
    for n, each in enumerate(lots):
        key = (each.batch or n, each.rates)
        if key not in shares:
            same = [k for k in shares if k[0] == (each.batch or n)]  # type: ignore[index]
            if each.kind and not same:
                shares[key] = _by_luck(rng, each.rates, luck[each.kind])
            elif not same:
                shares[key] = _share(rng, each.rates, draws)
            else:
                raise AssertionError("parts that are not equally far on are drawn by the test of them")
        count = rng.binomial(each.count, shares[key])
        for stay in each.stays:
            for which, when in events[stay.place]:
                count[which[(when > stay.since) & (when < stay.until)]] = 0
        found.append(count)
    return found


def _events(rng: np.random.Generator, loss: float, last: float, draws: int) -> list[tuple[np.ndarray, np.ndarray]]:
    """The losses of a place up to a last day: the first of each draw, the second and so on; which draws, and when."""
    which, when, found = np.arange(draws), np.zeros(draws), []
    while loss and len(which):
        when = when + rng.exponential(YEAR_DAYS / -np.log(1 - loss), len(which))
        which, when = which[when < last], when[when < last]
        found.append((which, when))
    return found


def _share(rng: np.random.Generator, rates: Sequence[Rate], draws: int) -> np.ndarray:
    share = np.ones(draws)
    for rate in rates:
        share *= rate.mean if rate.weight is None else rng.beta(*shape(rate), draws)
    return share


def _by_luck(rng: np.random.Generator, rates: tuple[Rate, ...], luck: np.ndarray) -> np.ndarray:
    """Shares by their luck, those of one run of luck shuffled; `luck` says which of them each draw takes."""
    told, whole = told_by(rates), -(-len(luck) // BINS) * BINS
    share = _share(rng, rates, whole)
    if told:
        order = np.argsort(rng.binomial(told, share) + rng.random(whole))  # ties as they fall
        share = rng.permuted(share[order].reshape(BINS, -1), axis=1).reshape(-1)
    return share[luck]


def shape(rate: Rate) -> tuple[float, float]:
    """The a and b of a rate's beta."""
    assert rate.weight is not None
    return rate.mean * rate.weight, (1 - rate.mean) * rate.weight
