"""Widger's colours, measured: contrast on every ground, and the difference that is left without red and green."""

from __future__ import annotations

from itertools import combinations

import pytest
from rich.color import Color
from rich.palette import Palette as Sixteen
from textual.color import Color as Written

from tests.tui.colour import REST, SEEN, TEXT, apart, contrast
from tui.palette import DARK, DARK_16, LIGHT, LIGHT_16, THEMES, Palette, other

FULL = {"dark": DARK, "light": LIGHT}
SPARE = {"dark": DARK_16, "light": LIGHT_16}
INKS = ("text", "sky", "clay", "lichen", "bark")
GROUNDS = ("ground", "raised", "field", "tint")
PLAIN = 10.0
"""A difference that is seen at a glance: more than four times what is just seen side by side."""
VGA = Sixteen([
    (0, 0, 0), (170, 0, 0), (0, 170, 0), (170, 85, 0), (0, 0, 170), (170, 0, 170), (0, 170, 170), (170, 170, 170),
    (85, 85, 85), (255, 85, 85), (85, 255, 85), (255, 255, 85), (85, 85, 255), (255, 85, 255), (85, 255, 255),
    (255, 255, 255),
])  # fmt: skip
"""Sixteen colours as the text mode of a VGA card has them (from memory): many terminals start from these."""


def colour(of: Palette, name: str) -> Color:
    return Written.parse(getattr(of, name)).rich_color


def test_contrast_is_reckoned_as_the_guidelines_do():
    black, white, grey = (Color.parse(name) for name in ("#000000", "#ffffff", "#767676"))
    assert contrast(black, white) == pytest.approx(21)
    assert contrast(grey, white) == pytest.approx(4.54, abs=0.01)


def test_the_difference_of_colours_is_that_of_the_lab_space():
    red, white, black = (Color.parse(name) for name in ("#ff0000", "#ffffff", "#000000"))
    assert apart(white, black, "all colours") == pytest.approx(100, abs=0.1)
    assert apart(red, black, "all colours") == pytest.approx(117.3, abs=0.3)  # L 53.2, a 80.1, b 67.2 (from memory)


def test_red_and_green_lie_near_each_other_for_one_who_sees_them_alike():
    brick, moss = Color.parse("#b05a3c"), Color.parse("#7a7a2e")
    assert apart(brick, moss, "all colours") > 40
    assert min(apart(brick, moss, eye) for eye in SEEN) < 15


@pytest.mark.parametrize("look", FULL)
def test_text_is_read_in_bright_sun_on_every_ground(look: str):
    of = FULL[look]
    found = {(ink, on): contrast(colour(of, ink), colour(of, on)) for ink in INKS for on in GROUNDS}
    assert {pair: round(ratio, 2) for pair, ratio in found.items() if ratio < TEXT} == {}
    assert min(contrast(colour(of, "rule"), colour(of, on)) for on in GROUNDS) >= REST


@pytest.mark.parametrize("look", FULL)
@pytest.mark.parametrize("eye", SEEN)
def test_no_two_colours_are_alike_to_any_eye(look: str, eye: str):
    of = FULL[look]
    found = {pair: apart(*(colour(of, name) for name in pair), eye) for pair in combinations(INKS, 2)}
    found["tint", "ground"] = apart(colour(of, "tint"), colour(of, "ground"), eye)
    assert {pair: round(far, 1) for pair, far in found.items() if far < PLAIN} == {}


@pytest.mark.parametrize("look", SPARE)
def test_sixteen_colours_are_told_apart_and_read(look: str):
    of = SPARE[look]
    assert min(contrast(colour(of, ink), colour(of, "ground"), VGA) for ink in INKS) >= TEXT
    states = ("sky", "clay", "bark")  # a heading has the colour of text: it is bold
    for eye in SEEN:
        assert min(apart(colour(of, a), colour(of, b), eye, VGA) for a, b in combinations(states, 2)) >= PLAIN, eye


def test_every_look_has_its_other():
    names = {theme.name for theme in THEMES}
    assert {other(name) for name in names} == names
    assert all(other(other(name)) == name for name in names)
    assert other("one that there is not") == "widger-dark"
