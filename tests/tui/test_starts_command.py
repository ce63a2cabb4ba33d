"""`widger starts`: its figures, how rates and sureness may be written, what it refuses."""

from __future__ import annotations

import json

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
    assert "Start 68 to have 50 with 90% sureness." in out
    assert "54.4 are expected to come through, 4.4 more than wanted." in out
    assert "80% sure: 66 (-2)" in out
    assert "95% sure: 69 (+1)" in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--want", "0", "--rate", "0.8"), "want"),
        (("--want", "ten", "--rate", "0.8"), '"ten"'),
        (("--want", "9", "--rate", "0"), "rate"),
        (("--want", "9", "--rate", "120"), '"120"'),
        (("--want", "9", "--rate", "nan"), '"nan"'),
        (("--want", "9", "--rate", "0.8:0"), "observations"),
        (("--want", "9", "--rate", "0.8:"), "observations"),
        (("--want", "9", "--rate", "0.8:-3"), "observations"),
        (("--want", "9", "--rate", "0.8", "--sure", "100"), "sure"),
        (("--want", "9", "--rate", "0.8", "--sure", "0"), "sure"),
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
