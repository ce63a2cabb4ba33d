"""What several lots give by a date, against simulation; and what splitting a need does and does not change."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from engine.odds.fates import MOST_FATES, outlook
from engine.odds.lots_to_come import YEAR_DAYS, Coming, Stay, stands
from engine.odds.promise import BUNDLES, MOST_COUNTED, Tails, expected, promise, tails_of
from engine.odds.ranges import usual_range
from engine.odds.rates import Rate, book_rate
from engine.odds.spread import falling_short, fewest, in_two, split
from engine.odds.starts import surely
from engine.odds.survivors import survivors
from tests.engine.odds.lots import LOSSES, comings, drawn, lot
from tests.sampled import examples, sampled

LOTS = (
    lot(120, (Rate(0.6, 4.0), Rate(0.9, 20.0), Rate(0.95)), "mist bench", 300),
    lot(80, (Rate(0.7, 5.0),), "mist bench", 120),
    lot(60, (Rate(0.85),), "mist bench", 300),
    lot(200, (Rate(0.5, 3.0), Rate(0.8, 8.0)), "cold store", 150),
    lot(35, (), "field", 300),
)
MOVED = (
    Coming(90, (Rate(0.7, 5.0),), (Stay("cold store", 120), Stay("mist bench", 300, 120))),
    Coming(70, (Rate(0.6, 4.0), Rate(0.9, 20.0)), (Stay("mist bench", 90), Stay("field", 400, 90))),
    Coming(60, (Rate(0.85),), (Stay("mist bench", 260, 100), Stay("cold store", 420, 260))),
    Coming(50, (), (Stay("cold store", 500, 300),)),
    Coming(40, (Rate(0.9),), (Stay("mist bench", 200), Stay("cold store", 350, 200), Stay("mist bench", 450, 400))),
)
COMINGS = st.lists(comings(), min_size=1, max_size=4)


def test_of_plants_that_nothing_takes_all_are_there_and_no_more() -> None:
    for lots in ([Coming(3), Coming(4)], [Coming(7)], [Coming(9_000)], [Coming(9_000), Coming(1_000)]):
        tails, whole = tails_of(lots, {}), sum(each.count for each in lots)
        assert [tails.at_least(count) for count in (-1, 0, 1, whole // 2, whole)] == [1.0] * 5
        assert tails.at_least(whole + 1) == 0.0
        assert tails.most(0.9) == whole
    assert (tails_of([], {}).at_least(0), tails_of([], {}).at_least(1)) == (1.0, 0.0)


@pytest.mark.parametrize("seed", sampled([1, 2], 2))
@pytest.mark.parametrize("lots", [LOTS, MOVED], ids=["each in one place", "moved from place to place"])
def test_the_outlook_agrees_with_200_000_draws(lots: tuple[Coming, ...], seed: int) -> None:
    """Every count's chance of being reached lies within 4.5 standard errors of the share of draws that reach it."""
    draws = 200_000
    there = sum(drawn(lots, LOSSES, draws, seed), np.zeros(draws, dtype=int))
    odds = np.array(outlook(lots, LOSSES))
    tails = np.clip(np.cumsum(odds[::-1])[::-1], 0, 1)
    seen = np.array([(there >= j).mean() for j in range(len(tails))])
    error = 4.5 * np.sqrt(tails * (1 - tails) / draws) + 1e-5
    assert (np.abs(seen - tails) <= error).all()
    assert there.mean() == pytest.approx(expected(lots, LOSSES), abs=4.5 * there.std() / draws**0.5)
    for sure in (0.8, 0.9, 0.95):
        given_word = promise(lots, LOSSES, sure, 20)
        assert given_word.free + 20 == pytest.approx(np.quantile(there, 1 - sure), abs=2)
        assert given_word.kept == pytest.approx((there >= 20).mean(), abs=0.002)


def test_lots_without_steps_or_losses_are_all_there() -> None:
    stock = (lot(40), lot(25))
    assert outlook(stock, {})[65] == pytest.approx(1, abs=1e-12)
    assert promise(stock, {}, 0.95, 30).free == 35
    assert promise(stock, {}, 0.95, 80).free == 0
    assert promise(stock, {}, 0.95, 80).kept == 0


def test_two_known_lots_add_up_as_scipys_binomial_does() -> None:
    odds = outlook((lot(90, (Rate(0.3),)), lot(60, (Rate(0.3),), "field", 90)), LOSSES)
    assert np.abs(np.array(odds) - stats.binom.pmf(np.arange(151), 150, 0.3)).max() < 1e-11


def test_a_place_with_a_loss_a_year_in_five_loses_one_lot_in_five_over_a_year() -> None:
    odds = outlook((lot(10, (), "mist bench", YEAR_DAYS), lot(5, (), "mist bench", YEAR_DAYS)), LOSSES)
    assert odds[0] == pytest.approx(0.2)
    assert odds[15] == pytest.approx(0.8)
    assert sum(odds[1:15]) == pytest.approx(0, abs=1e-12)


def test_the_lot_that_leaves_first_is_spared_what_comes_later() -> None:
    odds = outlook((lot(10, (), "mist bench", 0), lot(5, (), "mist bench", YEAR_DAYS)), LOSSES)
    assert (odds[10], odds[15]) == pytest.approx((0.2, 0.8))


def test_lots_that_stand_in_one_place_at_different_times_do_not_share_its_losses() -> None:
    """By hand: a year each, one after the other, a fifth lost of each on its own."""
    odds = outlook((lot(10, (), "mist bench", YEAR_DAYS), lot(5, (), "mist bench", 2 * YEAR_DAYS, YEAR_DAYS)), LOSSES)
    assert (odds[0], odds[5], odds[10], odds[15]) == pytest.approx((0.04, 0.16, 0.16, 0.64))


def test_lots_that_meet_in_one_of_two_places_share_the_loss_there_alone() -> None:
    """By hand, half a year in the frame apart (0.1 and 0.1 of a year's fifth), then a year on the bench together."""
    losses = {"mist bench": 0.2, "frame": 0.19}
    half = YEAR_DAYS / 2  # 0.81 ** 0.5 = 0.9 stand
    lots = (
        Coming(10, (), (Stay("frame", half), Stay("mist bench", 3 * half, half))),
        Coming(5, (), (Stay("mist bench", 3 * half, half),)),
    )
    odds = outlook(lots, losses)
    assert (odds[0], odds[5], odds[10], odds[15]) == pytest.approx((0.2, 0.08, 0, 0.72), abs=1e-12)


def test_twenty_lots_in_three_places_are_still_odds_with_the_right_mean() -> None:
    """Far more sets of lots may be left than MOST_FATES: the mean stays exact, and it takes no age."""
    legs = [(Stay("a", 100 + n), Stay("b", 250 - n, 100 + n), Stay("c", 300 + 7 * n % 50, 250 - n)) for n in range(20)]
    losses = {"a": 0.1, "b": 0.2, "c": 0.15}
    lots = [Coming(5, (Rate(0.8, 4.0),), stays) for stays in legs]
    assert 2 ** len(lots) > MOST_FATES
    odds = outlook(lots, losses)
    assert sum(odds) == pytest.approx(1, abs=1e-9)
    assert sum(k * p for k, p in enumerate(odds)) == pytest.approx(expected(lots, losses), abs=1e-6)


@given(COMINGS)
@examples(60)
def test_odds_are_odds_and_their_mean_is_the_expected_count(lots: list[Coming]) -> None:
    odds = outlook(lots, LOSSES)
    assert all(0 <= p <= 1 for p in odds)
    assert sum(odds) == pytest.approx(1, abs=1e-9)
    assert sum(k * p for k, p in enumerate(odds)) == pytest.approx(expected(lots, LOSSES), abs=1e-6)


@given(COMINGS, st.floats(0.05, 0.95), st.floats(0.05, 0.95), st.integers(0, 30))
@examples(60)
def test_more_sureness_never_lets_more_be_promised(lots: list[Coming], one: float, two: float, promised: int) -> None:
    low, high = sorted((one, two))
    assert promise(lots, LOSSES, low, promised).free >= promise(lots, LOSSES, high, promised).free


@given(
    st.integers(0, 200), st.lists(st.floats(0.1, 5), min_size=1, max_size=4), st.floats(0.2, 0.95), st.floats(0, 900)
)
@examples(80)
def test_splitting_never_changes_the_expected_total(count: int, shares: list[float], mean: float, days: float) -> None:
    whole = lot(count, (Rate(mean, 4.0),), "mist bench", days)
    parts = split(whole, shares)
    assert sum(part.count for part in parts) == count
    assert expected(parts, LOSSES) == pytest.approx(expected((whole,), LOSSES))


def test_two_sowings_in_two_places_fall_short_less_than_one() -> None:
    losses = {"mist bench": 0.15, "frame": 0.15}
    one = lot(100, (Rate(0.7, 4.0),), "mist bench", 200)
    apart = in_two(30, one, lot(0, one.rates, "frame", 200), losses)
    beside = in_two(30, one, lot(0, one.rates, "mist bench", 200), losses)
    assert apart.two.expected == pytest.approx(apart.one.expected)
    assert apart.two.short < beside.two.short < beside.one.short
    lost = 1 - 0.85 ** (200 / YEAR_DAYS)
    assert beside.two.short > lost  # two lots in one place spread nothing of its loss


def test_against_a_places_loss_alone_two_lots_there_are_as_one() -> None:
    losses = {"frame": 0.15, "tunnel": 0.15}
    one = lot(100, (), "frame", YEAR_DAYS)
    beside = in_two(40, one, one, losses)
    assert beside.two.short == pytest.approx(beside.one.short, abs=1e-12)
    apart = in_two(40, one, lot(0, (), "tunnel", YEAR_DAYS), losses)
    assert apart.two.short == pytest.approx(0.15**2)


def test_another_route_takes_over_as_many_as_are_expected() -> None:
    one = lot(100, (Rate(0.8, 5.0),), "frame", 100)
    spread = in_two(40, one, lot(0, (Rate(0.4, 5.0),), "field", 100), {})
    assert [lot.count for lot in spread.two.lots] == [50, 100]
    assert spread.two.expected == pytest.approx(80)
    assert spread.two.short < spread.one.short


@given(COMINGS, st.integers(0, 100), st.integers(0, 100))
@examples(40)
def test_a_greater_need_is_never_likelier_met(lots: list[Coming], one: int, two: int) -> None:
    low, high = sorted((one, two))
    assert 0 <= falling_short(low, lots, LOSSES) <= falling_short(high, lots, LOSSES) <= 1


def test_what_cannot_be_is_refused() -> None:
    for never in (0, 1, 1.5, -0.1):
        with pytest.raises(ValueError, match="certainty"):
            promise(LOTS, LOSSES, never)
    with pytest.raises(ValueError, match="certainty"):
        promise(LOTS, LOSSES, 1.0)
    with pytest.raises(ValueError, match="loses"):
        outlook((lot(1, (), "shed", 10),), {"shed": 1.0})
    with pytest.raises(ValueError, match="share"):
        split(lot(10), (1, 0))
    with pytest.raises(ValueError, match="nothing comes"):
        in_two(1, lot(10), lot(0, (Rate(0.0),)), {})


@examples(40)
@given(comings(40), comings(40), st.integers(1, 30), st.floats(0.5, 0.97))
def test_the_fewest_in_two_are_enough_and_one_fewer_are_not(one: Coming, other: Coming, want: int, sure: float) -> None:
    """By trying every number in all, in the proportion of the two."""
    whole = one.count + other.count
    found = fewest(want, (one, other), LOSSES, sure)
    enough = [
        total
        for total in range(want, whole + 1)
        if falling_short(
            want,
            (replace(one, count=(n := round(one.count * total / whole))), replace(other, count=total - n)),
            LOSSES,
        )
        <= 1 - sure + 1e-10
    ]
    if found is None:
        assert whole not in enough
        return
    total = sum(each.count for each in found.lots)
    assert total in enough
    assert found.short <= 1 - sure + 1e-9
    # Rounding the two may cost or spare one of them, so that a number below may do where the next does not.
    assert min(enough) <= total <= max(n for n in range(want, whole + 1) if n - 1 not in enough or n == want)


def test_two_half_lots_are_as_sure_with_fewer_where_batches_differ_much() -> None:
    """All in one asks for so many that the worst of batches gives enough; two are seldom both the worst."""
    rate = (Rate(0.4, 3.0),)
    half = lot(200, rate)
    found = fewest(40, (half, half), {}, 0.9)
    assert found is not None
    total = sum(each.count for each in found.lots)
    assert falling_short(40, (lot(total, rate),), {}) > 0.1
    assert total == next(
        n for n in range(40, 400) if falling_short(40, (lot(n - n // 2, rate), lot(n // 2, rate)), {}) <= 0.1
    )
    assert fewest(40, (lot(20, rate), lot(19, rate)), {}, 0.9) is None


GREAT = tuple(replace(each, count=each.count * 100) for each in LOTS)


def test_of_a_great_lot_each_chance_is_the_one_that_the_odds_of_every_count_give() -> None:
    one = GREAT[0]
    counted = tails_of((one,), LOSSES, 20_000)
    assert counted.alone is None
    by_itself = Tails(one.count, alone=one, stood=stands(one.stays, LOSSES))
    for j in (0, 1, 4000, 6500, 9000, 11990, 12000, 12001):
        assert by_itself.at_least(j) == pytest.approx(counted.at_least(j), abs=1e-8)
    for sure in (0.5, 0.8, 0.9, 0.99):
        assert by_itself.most(sure) == counted.most(sure)


def test_great_lots_in_bundles_promise_what_holds_in_as_many_draws() -> None:
    there = sum(drawn(GREAT, LOSSES, 200_000, 3), np.zeros(200_000, dtype=int))
    assert sum(each.count for each in GREAT) > MOST_COUNTED
    tails = tails_of(GREAT, LOSSES)
    for sure in (0.6, 0.8, 0.9):
        error = 0.003 + 4 * (sure * (1 - sure) / 200_000) ** 0.5
        assert (there >= tails.most(sure)).mean() == pytest.approx(sure, abs=error), sure


@pytest.mark.parametrize("seed", sampled(range(8), 3))
def test_in_bundles_no_chance_is_off_by_more_than_four_thousandths(seed: int) -> None:
    """Two to four lots of one or two kinds, in two places, by one to four steps of any share and any usual range: plant
    by plant, and in bundles."""
    rng = random.Random(seed)
    lots = []
    for n in range(rng.choice((2, 3, 4))):
        rates = []
        for _ in range(rng.randint(1, 4)):
            mean = rng.uniform(0.3, 0.95)
            rates.append(book_rate(mean, usual_range(mean, rng.uniform(0.02, 0.2))))
        place = Stay(rng.choice(sorted(LOSSES)), rng.randint(0, 700))
        lots.append(Coming(rng.randint(600, 1500), tuple(rates), (place,), f"b{n}", f"k{n % 2}"))
    exact, bundles = tails_of(lots, LOSSES, 10_000), tails_of(lots, LOSSES, 1_000)
    assert (exact.unit, bundles.count) == (1.0, exact.count)
    assert max(abs(exact.at_least(n) - bundles.at_least(n)) for n in range(exact.count + 2)) < 0.004
    for sure in (0.5, 0.8, 0.9, 0.95):
        assert exact.at_least(bundles.most(sure)) == pytest.approx(exact.at_least(exact.most(sure)), abs=0.004)


def test_of_plants_whose_share_is_known_exactly_a_promise_in_bundles_is_within_a_hundredth() -> None:
    lots = [Coming(count, (Rate(0.6), Rate(0.9))) for count in (30_000, 50_000)]
    exact = surely(80_000, lots[0].rates, 0.9)
    assert tails_of(lots, {}).most(0.9) == pytest.approx(exact, rel=0.01)


def test_a_lot_of_ten_million_is_not_counted_plant_by_plant(monkeypatch: pytest.MonkeyPatch) -> None:
    counts: list[int] = []

    def told(count: int, rates: tuple[Rate, ...]) -> tuple[float, ...]:
        counts.append(count)
        return survivors(count, rates)

    monkeypatch.setattr("engine.odds.batches_in_common.survivors", told)
    huge = replace(LOTS[0], count=10_000_000)
    for lots in ((huge,), (huge, LOTS[1])):
        found = promise(lots, LOSSES, 0.8, 1000)
        assert 0 < found.free < found.expected
        assert found.kept == pytest.approx(stands(huge.stays, LOSSES), abs=0.01)
        assert falling_short(1000, lots, LOSSES) == pytest.approx(1 - found.kept, abs=1e-9)
    assert max(counts, default=0) <= BUNDLES
