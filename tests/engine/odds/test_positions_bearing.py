"""How many positions of a planting bear, with its range, against counting draws; years to bearing against scipy."""

from __future__ import annotations

from datetime import date
from math import exp

import numpy as np
import pytest
from scipy.integrate import quad

from engine.odds.bearing import Planted, alive, bears, come
from engine.odds.positions_bearing import outlook
from engine.odds.rates import Rate
from engine.odds.years_to_bearing import ODD, SPREAD, TOGETHER, Came, learned_bearing
from tests.sampled import sampled

DRAWS = 100_000
FIRST, LATER = Rate(0.85, 12.0), Rate(0.96, 40.0)
UNDER_FIRST, UNDER_LATER = Rate(0.8, 9.0), Rate(0.94, 30.0)
RATES = {"tree": (FIRST, LATER), "hazel": (UNDER_FIRST, UNDER_LATER)}


NOW = date(2026, 12, 31)


def tree(**more: date | bool | None) -> Planted:
    return Planted(date(2020, 12, 31), LATER, (5.0, 9.0), FIRST, kind="tree", **more)  # type: ignore[arg-type]


def hazel(year: int = 2020, **more: date | bool | None) -> Planted:
    return Planted(date(year, 12, 31), UNDER_LATER, (3.0, 5.0), UNDER_FIRST, kind="hazel", **more)  # type: ignore[arg-type]


BEFORE = [(tree(), (hazel(),))] * 25 + [(tree(), ())] * 15
AFTER = (
    [(tree(seen=NOW, barren=NOW), (hazel(seen=NOW, bore=True),))] * 14
    + [(None, (hazel(seen=NOW, bore=True),))] * 6
    + [(tree(seen=NOW, bore=True), ())] * 9
    + [(None, ())] * 6
    + [(tree(seen=NOW, barren=NOW), (hazel(2026),))] * 5
)
"""The same planting as designed, and after a walk in 2026: some dead, some bearing, five understudies set anew."""


def drawn(posts: list, year: int) -> tuple[np.ndarray, np.ndarray]:
    """Draws of the count that bears: by first choices alone, and with understudies; kinds share their rates."""
    rng = np.random.default_rng(11)
    shares = {
        kind: [rng.beta(rate.mean * rate.weight, (1 - rate.mean) * rate.weight, DRAWS) for rate in rates]
        for kind, rates in RATES.items()
    }

    def bearing(plant: Planted | None) -> np.ndarray:
        if plant is None or year < plant.on.year:
            return np.zeros(DRAWS, bool)
        first, later = shares[plant.kind]
        known = (plant.seen or plant.on).year - plant.on.year
        lives = rng.random(DRAWS) < later ** (year - plant.on.year - max(1, known))
        if not known:
            lives &= rng.random(DRAWS) < first
        low, high = plant.bearing
        age = 0 if plant.barren is None else plant.barren.year - plant.on.year
        comes = rng.uniform(max(low, age), high, DRAWS)  # it has not come yet
        return lives & (plant.bore | (comes <= year - plant.on.year))

    alone, covered = np.zeros(DRAWS, np.int16), np.zeros(DRAWS, np.int16)
    for lead, others in posts:
        own = bearing(lead)
        alone += own
        for other in others:
            own = own | bearing(other)
        covered += own
    return alone, covered


@pytest.mark.parametrize("year", sampled([2029, 2027, 2034], 3))
@pytest.mark.parametrize("posts", [BEFORE, AFTER], ids=["as designed", "after a walk"])
def test_the_outlook_agrees_with_counted_draws(posts: list, year: int) -> None:
    found = outlook(posts, year, RATES)
    alone, covered = drawn(posts, year)
    assert found.alone == pytest.approx(alone.mean(), abs=0.1)
    assert found.covered == pytest.approx(covered.mean(), abs=0.35)  # one rate over two plants of a place
    low, high = np.quantile(covered, [0.05, 0.95])
    assert abs(found.low - low) <= 1
    assert abs(found.high - high) <= 1


def end(year: int) -> date:
    return date(year, 12, 31)


def test_what_is_seen_moves_the_odds_of_one_plant() -> None:
    assert bears(tree(seen=NOW, bore=True), end(2027)) == pytest.approx(LATER.mean)
    assert alive(tree(seen=NOW), NOW) == 1
    assert bears(tree(), NOW) < bears(tree(seen=NOW, barren=NOW), end(2030))
    assert come(tree(seen=NOW, barren=NOW), end(2027)) == pytest.approx(1 / 3)  # of the ages 6 to 9 the first
    late = tree(seen=end(2031), barren=end(2031))  # past its latest year, and still barren
    assert [come(late, end(year)) for year in (2031, 2033, 2035, 2040)] == pytest.approx([0, 0.5, 1, 1])


def test_nothing_is_expected_of_a_planting_where_nothing_is_left() -> None:
    found = outlook([(None, ())] * 5, 2030, RATES)
    assert (found.alone, found.covered, found.low, found.high) == (0, 0, 0, 0)


@pytest.mark.parametrize(
    "cohorts",
    [
        [Came(((2.0, 3.0), (2.0, 3.0), (3.0, 4.0)))],
        [Came(((6.0, None),) * 8)],
        [Came(((4.0, 5.0),)), Came(((5.0, 6.0), (6.0, None)))],
    ],
    ids=["early", "late", "as recorded"],
)
def test_learned_years_to_bearing_agree_with_an_integral_by_scipy(cohorts: list[Came]) -> None:
    book = (4.0, 6.0)

    def by_then(year: float, factor: float) -> float:
        """The chance that a plant bears by then: all years of the book's span, by the factor, are as likely."""
        return min(max((year / factor - book[0]) / (book[1] - book[0]), 0.0), 1.0)

    def likelihood(factor: float) -> float:
        total = 1.0
        for cohort in cohorts:
            looks = 1 / (1 + TOGETHER * (len(cohort.ages) - 1))
            for not_yet, by in cohort.ages:
                between = (1 if by is None else by_then(by, factor)) - by_then(not_yet, factor)
                total *= (ODD / 2 + (1 - ODD) * between) ** looks
        return total

    weights = [  # about x, the factor's log, of which the prior is a normal
        quad(lambda x, p=power: exp(x * p) * likelihood(exp(x)) * exp(-(x**2) / (2 * SPREAD**2)), -1.2, 1.2,
             limit=400)[0]
        for power in (0, 1)
    ]  # fmt: skip
    factor = weights[1] / weights[0]
    found = learned_bearing(book, cohorts)
    assert found == pytest.approx((book[0] * factor, book[1] * factor), rel=0.01)


def test_without_a_walk_the_book_holds() -> None:
    assert learned_bearing((4.0, 6.0), [Came(())]) == (4.0, 6.0)
