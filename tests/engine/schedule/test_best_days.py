"""The best of what a step lasts: aims keep to it where the season lets them, and say so where it does not."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import assume, given

from engine.protocols.model import Days, Protocol
from engine.schedule.best_days import stage
from engine.schedule.placing import place
from engine.schedule.start_and_ready import Wish
from engine.schedule.why_this_act import why
from tests.engine.schedule.farms import COLD_THEN_SOW, dates, day, entry, farm, planned
from tests.engine.schedule.test_placing_properties import chain_of, check_holds, few, starts
from tests.strategies import protocols

# An invented oak that gets by with a month of cold and does better with two or three.
OAK = COLD_THEN_SOW.replace("lasts_days = [90, 120]", "lasts_days = [30, 120]\nbest_days = [60, 90]\n{aim}")


def aims(start: str, aim: str = "", today: str = "", *done: str) -> list[str | None]:
    plan = planned(
        farm(OAK.format(aim=aim), start), today or start, *(entry(on, "done", "stratify cold") for on in done)
    )
    return dates(plan.now, "aims")


@pytest.mark.parametrize(
    ("start", "aim", "expected"),
    [
        ("2027-02-01", "", ["2027-02-01", "2027-04-02"]),  # 60 days, though 30 would be over before the bed opens
        ("2026-12-01", 'aim = "late"', ["2027-01-31", "2027-04-01"]),  # 60 before the bed opens, not 30
        ("2026-12-01", "", ["2027-01-01", "2027-04-01"]),  # 90, not 120
        ("2027-03-20", "", ["2027-03-20", "2027-05-12"]),  # 53 are left
        ("2027-04-10", "", ["2027-04-10", "2027-05-12"]),  # 32 are left: enough
    ],
)
def test_aims_keep_to_the_best_as_far_as_the_season_lets_them(start: str, aim: str, expected: list[str]) -> None:
    assert aims(start, aim) == expected


def test_what_has_begun_is_aimed_at_its_best_from_its_beginning() -> None:
    assert aims("2027-01-01", "", "2027-03-25", "2027-02-20")[1] == "2027-04-21"
    assert aims("2026-11-01", "", "2027-02-01", "2026-12-10")[1] == "2027-04-01"  # 112 days: the bed opens no sooner


def test_the_bounds_are_those_of_the_least_and_the_most() -> None:
    plan = planned(farm(OAK.format(aim=""), "2027-02-01"), "2027-02-01")
    assert dates(plan.now) == ["2027-02-01", "2027-04-01"]
    assert dates(plan.now, "latest") == ["2027-04-12", "2027-05-12"]


@pytest.mark.parametrize(
    ("start", "told"),
    [
        ("2027-02-01", None),
        ("2027-03-20", "stratify cold has 53 days until sow: enough; best is 60 to 90 days"),
    ],
)
def test_what_is_only_enough_is_said_to_be_so(start: str, told: str | None) -> None:
    plan = planned(farm(OAK.format(aim=""), start), start)
    said = [line for line in why(plan, 0, day(start)) if "best is" in line]
    assert said == ([told] if told else [])


def test_what_must_last_longer_than_its_best_is_said_to() -> None:
    done = entry("2026-12-10", "done", "stratify cold", count=240)
    plan = planned(farm(OAK.format(aim=""), "2026-11-01"), "2027-02-01", done)
    assert "stratify cold has 112 days until sow: longer than its best, 60 to 90 days" in why(
        plan, 1, day("2027-02-01")
    )


@pytest.mark.parametrize(
    ("gone", "expected"),
    [(29, ""), (30, "enough"), (59, "enough"), (60, "best"), (90, "best"), (91, "enough"), (121, "too long")],
)
def test_how_far_it_is(gone: int, expected: str) -> None:
    assert stage(gone, Days(30, 120), Days(60, 90)) == expected


@few
@given(protocols(longest_window=9, windowed=True, longest_wait=12, best=True), starts)
def test_every_act_that_can_have_its_best_beside_all_others_has_it(protocol: Protocol, start: int) -> None:
    """Every assignment of days within the windows used is tried."""
    chain = chain_of(protocol)
    placed = place(chain, Wish(start))
    assume(placed.fits and chain.wants)
    check_holds(chain, placed, Wish(start))
    spans = [(max(s.opens, start), s.closes) for s in placed.spans if s is not None]

    def keeps(days: tuple[int, ...], waits: dict[tuple[int, int], Days]) -> bool:
        gaps = {pair: days[pair[1]] - days[pair[0]] for pair in waits}
        return all(gaps[p] >= w.least and (w.most is None or gaps[p] <= w.most) for p, w in waits.items())

    every = [days for days in product(*(range(a, b + 1) for a, b in spans)) if keeps(days, dict(chain.waits))]
    best = [days for days in every if keeps(days, dict(chain.wants))]
    chosen = tuple(aim for aim in placed.aims if aim is not None)
    assert chosen in every
    assert (chosen in best) == bool(best)
    if not best and len(chain.wants) == 1:  # as near as may be
        [((i, j), wanted)] = chain.wants.items()

        def away(days: tuple[int, ...]) -> int:
            gap = days[j] - days[i]
            return max(0, wanted.least - gap, 0 if wanted.most is None else gap - wanted.most)

        assert away(chosen) == min(map(away, every))
