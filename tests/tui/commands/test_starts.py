"""`widger starts`: its figures, how rates and sureness may be written, what it refuses."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.tui.conftest import Call


@pytest.mark.parametrize("sure", ["0.9", "90", "90%", "90 %"])
def test_json_gives_the_start_and_what_is_expected(call: Call, sure: str) -> None:
    """100 of Beta(99, 33): 146 (scipy's beta-binomial)."""
    status, out, err = call("starts", "--want", 100, "--rate", "0.75:132", "--sure", sure, "--json")
    assert (status, err) == (0, "")
    assert json.loads(out) == {"start": 146, "expected": 109.5}


@pytest.mark.parametrize("rates", [("--rate", "0.8", "0.9", "95%"), ("--rate", "80", "--rate", "90%", "--rate", ".95")])
def test_rates_are_given_one_a_step(call: Call, rates: tuple[str, ...]) -> None:
    status, out, _ = call("starts", "--want", 100, *rates, "--sure", 95, "--json")
    assert (status, json.loads(out)["start"]) == (0, 160)


def test_words_say_the_surplus_and_what_sureness_costs(call: Call) -> None:
    status, out, _ = call("starts", "--want", 50, "--rate", "0.8", "--sure", 90)
    assert status == 0
    assert "Start 68 to have 50 with 90 % certainty." in out
    assert "54.4 are expected to come through, 4.4 more than wanted." in out
    assert "80 % sure: 66 (-2)" in out
    assert "95 % sure: 69 (+1)" in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--want", "0", "--rate", "0.8"), "number of plants"),
        (("--want", "ten", "--rate", "0.8"), '"ten"'),
        (("--want", "9", "--rate", "0"), "rate"),
        (("--want", "9", "--rate", "120"), '"120"'),
        (("--want", "9", "--rate", "nan"), '"nan"'),
        (("--want", "9", "--rate", "0.8:0"), "observations"),
        (("--want", "9", "--rate", "0.8:"), "observations"),
        (("--want", "9", "--rate", "0.8:-3"), "observations"),
        (("--want", "9", "--rate", "0.8", "--sure", "100"), "certainty"),
        (("--want", "9", "--rate", "0.8", "--sure", "0"), "certainty"),
        (("--want", "9", "--rate", "0.8", "--sure", "often"), '"often"'),
        (("--want", "9", "--rate", "0.5:0.1", "--sure", "99"), "not even"),
        (("--want", "9"), "--rate"),
    ],
)
def test_bad_values_exit_with_2_and_a_plain_message(call: Call, words: tuple[str, ...], told: str) -> None:
    status, out, err = call("starts", *words)
    assert (status, out) == (2, "")
    assert told in err
    assert "Traceback" not in err


ON = ("--on", "2027-04-06")
HAZEL = ("hazel", "seed", "--route", "held cold, sown in spring")
ELDER = ("American elder", "hardwood cutting", "--want", 60, "--cultivar", "Adams", "--by", "2028-11-30")


def test_the_start_of_a_species_is_that_of_the_way_and_tells_what_stands_behind_it(
    call: Call, demo_of: Callable[[date], Path]
) -> None:
    farm = demo_of(date(2027, 4, 6))
    status, out, err = call("starts", farm, *ELDER, "--json", *ON)
    assert (status, err) == (0, "")
    told = json.loads(out)
    found = json.loads(
        call("ways", farm, "American elder", 60, "--cultivar", "Adams", "--by", "2028-11-30", "--json", *ON)[1]
    )
    way = next(w for w in found["ways"] if w["method"] == "hardwood cutting" and w["feasible"])
    assert (told["start"], told["way"]) == (way["start"], way)
    assert told["expected"] == pytest.approx(told["surplus"] + 60)
    assert [step["step"] for step in told["steps"]] == ["stick", "lift", "grade"]
    assert any(step["batches"] for step in told["steps"])
    levels = [each["start"] for each in sorted((*told["surenesses"], {"sure": 0.9, "start": told["start"]}),
                                                key=lambda each: each["sure"])]  # fmt: skip
    assert levels == sorted(levels)
    assert len(set(levels)) == 3
    words = " ".join(call("starts", farm, *ELDER, *ON)[1].split())
    assert f"Start {told['start']} to have 60 American elder Adams with 90 % certainty." in words
    assert "library 80 %" in words


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("hazel", "graf", "--want", "9"), '"graf"'),
        (("hazl", "seed", "--want", "9"), '"hazel"'),
        (("hazel", "seed", "--want", "9", "--rate", "0.8"), "not both"),
        (("hazel", "seed", "--want", "9", "--by", "2027-05-01"), "say which: autumn sown under mesh, or held cold"),
        ((*HAZEL, "--want", "9", "--by", "2027-05-01"), "cannot be ready"),
        (("hazel", "seed", "--want", "9", "--route", "by the moon"), '"by the moon"'),
    ],
)
def test_what_cannot_be_sized_is_told(
    call: Call, demo_of: Callable[[date], Path], words: tuple[str, ...], told: str
) -> None:
    status, out, err = call("starts", demo_of(date(2027, 4, 6)), *words, *ON)
    assert (status, out) == (2, "")
    assert told in err


def test_a_species_of_the_farm_s_own_without_a_protocol_is_told(call: Call, tiny: Path) -> None:
    with tiny.open("a", encoding="utf-8") as farm:
        farm.write('[[species]]\nlatin = "Fictus nova"\ncommon = ["new fig"]\n')
    status, out, err = call("starts", tiny, "new fig", "seed", "--want", "10")
    assert (status, out) == (2, "")
    assert "no way to raise new fig by seed is known (write a [[protocol]]" in err
