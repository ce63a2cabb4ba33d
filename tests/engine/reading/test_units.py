"""Quantities as they are said and read in the farm's units."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.reading import units as u

UNITS = st.sampled_from(("metric", "us"))


@pytest.mark.parametrize(
    ("factor", "printed"),
    [
        (u.INCH_M, 0.0254),
        (u.FOOT_M, 0.3048),
        (u.SQUARE_FOOT_M2, 0.09290304),
        (u.OUNCE_KG, 0.0283495),
        (u.POUND_KG, 0.453592),
        (u.GALLON_L, 3.78541),
    ],
)
def test_the_factors_are_those_of_the_law_of_the_united_states(factor: float, printed: float):
    """16 CFR 500.19 (a), the chart of factors: inch, foot and square foot exactly, the rest to six figures."""
    assert factor == pytest.approx(printed, rel=2e-6)


@pytest.mark.parametrize(
    ("said", "metric", "us"),
    [
        (lambda units: u.say_warmths((1, 4), units), "1 to 4 °C", "34 to 39 °F"),
        (lambda units: u.say_warmth(-34.4, units), "-34.4 °C", "-29.9 °F"),
        (lambda units: u.say_degrees(0, units), "0.0 °C", "32.0 °F"),
        (lambda units: u.say_length(0.4, units), "0.4 m", "16 in"),
        (lambda units: u.say_length(1.524, units), "1.524 m", "5 ft"),
        (lambda units: u.say_lengths((3.048, 6.096), units), "3.048 to 6.096 m", "10 to 20 ft"),
        (lambda units: u.say_lengths((0.3048, 1.524), units), "0.3048 to 1.524 m", "1 to 5 ft"),
        (lambda units: u.say_weight(0.045, units), "45 g", "1.6 oz"),
        (lambda units: u.say_weight(0.3402, units), "340 g", "12 oz"),
        (lambda units: u.say_weight(0.9072, units), "907 g", "2 lb"),
        (lambda units: u.say_weight(120, units), "120 kg", "265 lb"),
        (lambda units: u.say_seeds((900, 1200), units), "900 to 1,200 seeds a kg", "408 to 544 seeds a lb"),
    ],
)  # fmt: skip
def test_each_quantity_is_said_in_the_units_of_the_farm(said, metric: str, us: str):
    assert (said("metric"), said("us")) == (metric, us)


@given(UNITS, st.floats(-60, 60))
def test_warmth_that_is_said_is_read_again(units: str, celsius: float):
    for said in (u.say_degrees(celsius, units), u.say_warmth(celsius, units)):
        for reader in ("metric", "us"):  # it says its own scale
            assert u.read_degrees(said, reader) == pytest.approx(celsius, abs=0.06)


@given(UNITS, st.floats(0.02, 400))
def test_a_length_that_is_said_is_read_again(units: str, metres: float):
    for reader in ("metric", "us"):
        assert u.read_length(u.say_length(metres, units), reader) == pytest.approx(metres, rel=0.06)


@given(UNITS, st.floats(0.0005, 900))
def test_a_weight_is_said_in_a_unit_that_gives_it_again(units: str, kg: float):
    """A pound is 0.453592 kg and an ounce 0.0283495 kg (16 CFR 500.19)."""
    number, unit = u.say_weight(kg, units).replace(",", "").split()
    assert float(number) * {"kg": 1, "g": 0.001, "lb": 0.453592, "oz": 0.0283495}[unit] == pytest.approx(kg, rel=0.06)


def test_a_number_alone_is_in_the_units_of_the_farm():
    assert (u.read_degrees("50", "us"), u.read_degrees("50", "metric")) == (pytest.approx(10), 50)
    assert (u.read_length("10", "us"), u.read_length("10", "metric")) == (pytest.approx(3.048), 10)


@pytest.mark.parametrize("text", ["", "warm", "12 K", "nan", "inf", "1e3", "4 5"])
def test_what_is_no_quantity_is_refused(text: str):
    for read in (u.read_degrees, u.read_length):
        with pytest.raises(ValueError, match="is not a"):
            read(text, "us")
