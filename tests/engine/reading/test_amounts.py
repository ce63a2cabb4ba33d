"""Degrees and lengths of a farm file in their own units: 1 ft = 0.3048 m (16 CFR 500.19), F = 1.8 C + 32 exactly."""

from __future__ import annotations

from typing import Any

import pytest

from engine.reading.amounts import celsius, metres, pair_of_celsius, pair_of_metres
from engine.reading.problems import Findings
from engine.reading.table import Table


def read(key: str, value: object) -> tuple[float | None, list[tuple[str, str]]]:
    findings = Findings()
    table = Table({key: value}, ("site",), findings)
    found = celsius(table, key, -70, 30) if key == "coldest" else metres(table, key, -450, 9000)
    return found, [(message, hint) for _, message, hint in findings.found]


@pytest.mark.parametrize(
    ("key", "value", "metric"),
    [
        ("coldest", -24, -24), ("coldest", "-4 F", -20), ("coldest", "-4°F", -20), ("coldest", "-20 °C", -20),
        ("elevation_m", 80, 80), ("elevation_m", "1200 ft", 365.76), ("elevation_m", "80 m", 80),
    ],
)  # fmt: skip
def test_a_number_is_metric_and_a_text_says_its_own_unit(key: str, value: object, metric: float):
    assert read(key, value) == (pytest.approx(metric), [])


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("coldest", "-4", '"-4" does not say its unit'), ("coldest", "cold F", "not a number of degrees"),
        ("coldest", "-110 F", 'coldest = "-110 F" is out of range'), ("coldest", True, "is a number, not true"),
        ("elevation_m", "1200", "does not say its unit"), ("elevation_m", "12 leagues", "is not a quantity"),
        ("elevation_m", "30000 ft", "is out of range"),
    ],
)  # fmt: skip
def test_what_says_no_unit_or_cannot_be_is_refused_with_its_remedy(key: str, value: object, told: str):
    found, [(message, hint)] = read(key, value)
    assert found is None
    assert told in message
    assert hint


@pytest.mark.parametrize("value", [[1], [1, True], ["1", 2], ["2 F", 3], 4, [float("nan"), 2], [1e10, 2]])
def test_a_pair_of_lengths_is_two_of_them(value: Any):
    assert pair_of_metres(value) is None


def test_a_pair_may_mix_what_is_metric_and_what_says_its_unit():
    assert pair_of_metres([2, "10 ft"]) == (2, pytest.approx(3.048))
    assert pair_of_celsius(["34 F", 5]) == (pytest.approx(10 / 9), 5)
