"""How many an act will have to do, and the pots for it, go by what the grower's own batches came to, as starts do."""

from __future__ import annotations

from engine.needs.orders import order_lines
from engine.needs.prospect import prospect_of
from engine.schedule.plan import Day
from engine.views.week import week_view
from tests.engine.needs.homes import batch, farm, opened
from tests.engine.schedule.farms import day, entry

POTTED = """
[[protocol]]
species = "Arbor ficta"
method = "softwood cutting"
whole = true
[[protocol.step]]
do = "stick"
place = "bed"
opens = ["1 Jun"]
closes = ["30 Jun"]
survive = 0.8
batches_run = [0.6, 0.95]
[[protocol.step]]
do = "pot up"
place = "bed"
wait_days = [40, 60]
per_hour = 50
"""
OLD, NEW = ("A", "B", "C"), "D"
HOME = farm(
    POTTED,
    *(batch(name, 100, "2026-06-01", "softwood cutting") for name in OLD),
    batch(NEW, 300, "2027-06-01", "softwood cutting"),
)
STUCK = [entry("2026-06-10", "done", "stick", batch=name, count=100) for name in OLD]
CAME = dict(zip(OLD, (35, 40, 45), strict=True))
POTS = [entry("2026-08-01", "done", "pot up", batch=name, count=count) for name, count in CAME.items()]


def counts(*entries: object) -> tuple[int, int, float]:
    """Of the new batch: how many are to be potted up, how many pots are to be bought, how many hours it takes."""
    nursery, plans = opened(HOME, "2027-05-01", *entries)  # type: ignore[arg-type]
    plan = next(plan for plan in plans if plan.lot.id == NEW)
    k = plan.index("pot up")
    assert k is not None
    pots = next(line for line in order_lines(nursery, plans) if line.item == "pots")
    hours = plan.hours(k)
    assert hours is not None
    return plan.count(k), sum(part.to_order for part in pots.parts if part.lot == NEW), hours


def test_by_the_book_before_anything_was_counted():
    assert counts() == (240, 240, 240 / 50)
    assert counts(*STUCK)[0] == 240  # sticking alone teaches nothing


def test_own_batches_teach_the_counts_the_pots_and_the_hours_as_they_teach_the_starts():
    """Three batches of which 40 of 100 came, beside a book of 80, which is worth three: about 60 of 100."""
    count, pots, hours = counts(*STUCK, *POTS)
    assert 165 < count < 195
    assert (pots, hours) == (count, count / 50)
    nursery, plans = opened(HOME, "2027-05-01", *STUCK, *POTS)
    protocol = next(plan.batch.protocol for plan in plans)
    prospect = prospect_of(nursery, protocol, "", None, None, day("2027-05-01"), nursery.track)
    assert count == round(prospect.into(1, 300))


def test_the_weeks_board_says_the_same():
    nursery, plans = opened(
        HOME, "2027-07-20", *STUCK, *POTS, entry("2027-06-10", "done", "stick", batch=NEW, count=300)
    )
    plan = next(plan for plan in plans if plan.lot.id == NEW)
    board = week_view(Day(nursery, plans, day("2027-07-20")))
    (task,) = (task for task in board.tasks if task.step == "pot up")
    assert task.count == plan.count(1) < 200
