"""What befalls a place teaches what it loses in a year, and says nothing of a method; a failure does the reverse."""

from __future__ import annotations

from datetime import date
from math import log
from typing import Any

import pytest
from scipy.stats import gamma

from engine.farm.model import Place
from engine.journal.entry import Entry
from engine.needs.stays_and_losses import PRIOR_YEARS, loss_of, losses_of, say_loss
from engine.records.counts_teach import is_accident
from engine.records.records import Records, apply
from tests.engine.needs.homes import batch, farm

HOME = farm(batch("A", 100, method="seed", start="2026-12-15") + batch("B", 100, method="seed", start="2026-12-15"))


def told(*happened: tuple[str, str, str, dict[str, Any]]) -> Records:
    """The records of (day, kind, lot, data), sown lots where one is to be lost."""
    entries, sown = [], [entry(n, "2027-04-10", "done", batch=lot, step="sow", count=100) for n, lot in enumerate("AB")]
    for n, (on, kind, lot, data) in enumerate(happened, 2):
        held = next(h for h in apply(HOME, [*sown, *entries]).stock.holdings if h.lot == lot)
        named = {"batch": lot} if kind == "drop" else {"lot": lot, "form": held.form, "grade": "", "place": held.place}
        entries.append(entry(n, on, kind, **named, **data))
    return apply(HOME, [*sown, *entries])


def entry(n: int, on: str, kind: str, **data: Any) -> Entry:
    return Entry(f"shed-{n:04}", f"{on}T08:00:{n:02}+00:00", date.fromisoformat(on), kind, data)


def place(records: Records) -> Place:
    assert records.farm is not None
    return next(p for p in records.farm.places if p.name == "frame")


def test_a_whole_lot_lost_to_mice_is_a_loss_of_its_place_once_a_year():
    """The posterior mean of a gamma prior worth ten years and one loss in one year, by scipy."""
    mice = {"count": 100, "cause": "mice"}
    for lots in ("A", "AB"):
        records = told(*(("2028-04-10", "lose", lot, mice) for lot in lots))
        found = place(records)
        assert (found.losses_seen, round(found.years_seen, 2)) == (1, 1.0)
        rate = gamma(a=-log(0.9) * PRIOR_YEARS + 1, scale=1 / (PRIOR_YEARS + found.years_seen)).mean()
        assert records.farm is not None
        assert -log(1 - losses_of(records.farm)["frame"]) == pytest.approx(rate, rel=1e-9)
        assert records.trials == ()  # no look at the method
    assert "1 seen in 1.0 years, 10 % from the farm file" in say_loss(place(records))


@pytest.mark.parametrize(
    ("kind", "data", "losses"),
    [
        ("lose", {"count": 100, "cause": "none came up"}, 0),  # the method's
        ("lose", {"count": 100, "cause": ""}, 1),
        ("lose", {"count": 40, "cause": "mice"}, 0),  # a part is no whole lot
        ("count", {"count": 0, "reason": "mice"}, 1),
        ("count", {"count": 0}, 0),
        ("drop", {"reason": "hail"}, 1),
        ("drop", {"reason": "a missed window, goes on as cuttings"}, 0),  # no wind
        ("drop", {}, 0),  # the grower thought better of it
        ("sell", {"count": 100}, 0),
    ],
)
def test_the_cause_tells_the_place_from_the_method(kind: str, data: dict[str, Any], losses: int):
    assert place(told(("2028-04-10", kind, "A", data))).losses_seen == losses


def test_years_without_a_loss_make_a_place_safer_and_none_watched_leaves_the_farms_word():
    assert losses_of(HOME)["frame"] == 0.1
    quiet = told(("2032-04-10", "count", "A", {"count": 90}))
    assert 0 < loss_of(place(quiet)) < 0.1
    assert loss_of(Place("shed", True, losses_seen=1, years_seen=1.0)) == pytest.approx(1 - 2.718281828 ** (-1 / 11))
    assert loss_of(Place("shed", True, years_seen=4.0)) == 0


def test_a_word_within_a_word_is_no_accident():
    assert is_accident("wind", False)
    assert not is_accident("missed window", False)
    assert is_accident("Mice, again!", False)
