"""The year looked back on: what was counted stands there, and what was not says so."""

from __future__ import annotations

from engine.needs.review import KindReview, StepReview
from tests.tui.farms import open_house, write_tiny
from tui.paper.review import review_json, review_sheet

STICK = StepReview("stick", 1, 0, 0, 0.8, 0.8, 0.0)
STORE = StepReview("store", 1, 0, 0, None, None, -21.0)
SOW = StepReview("sow", 2, 200, 90, 0.5, 0.47, 3.0)


def kind(*steps: StepReview) -> KindReview:
    return KindReview("Fictus ripensis", "bankside fig", "seed", "", ("Z1",), steps, 1.0, 1.0, (), ())


def test_what_is_not_counted_yet_says_so_and_what_loses_nothing_is_left_blank(tmp_path):
    farm = open_house(write_tiny(tmp_path)).farm
    lines = review_sheet(farm, 2027, [kind(STICK, STORE, SOW)]).split("\n")
    assert lines[4].split() == ["in", "counted", "planned", "actual", "next", "against", "aim"]
    assert lines[5].split() == ["stick", "not", "counted", "yet", "80", "%", "80", "%", "on", "the", "day"]
    assert lines[6].split() == ["store", "21", "days", "before"]
    assert lines[7].split() == ["sow", "200", "90", *["50", "%", "45", "%", "47", "%"], "3", "days", "after"]
    assert max(map(len, lines)) <= 80


def test_scripts_are_told_nothing_of_what_was_not_counted():
    [told] = review_json(2027, [kind(STICK, SOW)])["kinds"]
    stick, sow = told["steps"]
    assert (stick["into"], stick["through"], stick["actual"]) == (None, None, None)
    assert (sow["into"], sow["through"], sow["actual"]) == (200, 90, 0.45)
    assert (told["planned"], told["actual"]) == (0.5, 0.45)
    [told] = review_json(2027, [kind(STICK)])["kinds"]
    assert (told["planned"], told["actual"]) == (None, None)
