"""How words and codes share a label: nothing leaves its space, words break only where they must."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tui.paper.labels.layout import (
    ASCENT,
    BARS_LEAST,
    BARS_QUIET,
    CUT,
    DESCENT,
    QR_LEAST,
    QR_QUIET,
    READS,
    SMALLEST,
    Box,
    Placed,
    lay_text,
    place_bars,
    place_square,
    wrap,
)

WIDE = st.text(st.sampled_from("abc ilmWÅ·-/'"), min_size=1, max_size=120)
PARAGRAPHS = st.lists(st.tuples(st.sampled_from(("bold", "italic", "plain")), WIDE), min_size=1, max_size=5)
BOXES = st.builds(Box, st.just(3.0), st.just(5.0), st.floats(30, 400), st.floats(20, 200))


def measure(face: str, size: float, text: str) -> float:
    """A made-up font: wide capitals, narrow i and l, bold a tenth wider."""
    each = sum(0.9 if c in "WÅ" else 0.25 if c in "il ·'" else 0.55 for c in text)
    return each * size * (1.1 if face == "bold" else 1.0)


@given(PARAGRAPHS, BOXES)
def test_no_line_leaves_its_box_or_overlaps_another(said: list[tuple[str, str]], box: Box):
    above = box.y
    for line in lay_text(said, box, measure):
        assert line.size >= SMALLEST
        assert line.x == box.x
        assert measure(line.face, line.size, line.text) <= box.width + 1e-6
        assert line.y - ASCENT * line.size >= above - 1e-6
        above = line.y + DESCENT * line.size
    assert above <= box.y + box.height + 1e-6


@given(PARAGRAPHS, BOXES)
def test_all_letters_are_there_in_order_unless_a_cut_says_otherwise(said: list[tuple[str, str]], box: Box):
    lines = lay_text(said, box, measure)
    shown = "".join(line.text for line in lines)
    whole = "".join(text for _, text in said)
    if CUT not in shown and len(lines) < int(box.height / (SMALLEST * (ASCENT + DESCENT))):
        assert shown.replace(" ", "") == whole.replace(" ", "")


def test_a_longer_name_is_set_smaller_before_it_is_broken():
    box = Box(0, 0, 90, 60)
    short = lay_text([("bold", "quince")], box, measure)
    long = lay_text([("bold", "Blumenthalensis")], box, measure)
    assert [len(short), len(long)] == [1, 1]
    assert long[0].size < short[0].size
    endless = lay_text([("bold", "W" * 60)], box, measure)
    assert len(endless) > 1
    assert "".join(line.text for line in endless) == "W" * 60


def test_where_there_is_no_room_the_first_words_stay_and_the_cut_shows():
    box = Box(0, 0, 60, 3 * SMALLEST * (ASCENT + DESCENT) + 0.01)
    lines = lay_text([("bold", "quince " * 30), ("italic", "Cydonia oblonga"), ("bold", "Q26")], box, measure)
    assert len(lines) == 3
    assert lines[0].text.endswith(CUT)
    assert lines[2].text == "Q26"


def test_what_does_not_fit_in_type_that_reads_is_said_shorter_before_it_is_set_smaller():
    whole, short = [("bold", "flowering quince")], [("bold", "quince")]
    line = READS * (ASCENT + DESCENT) + 0.01
    wide = measure("bold", READS, "flowering quince") + 0.01
    assert [row.text for row in lay_text(whole, Box(0, 0, wide, line), measure, [short])] == ["flowering quince"]
    [row] = lay_text(whole, Box(0, 0, wide - 1, line), measure, [short])
    assert row.text == "quince"
    assert row.size >= READS
    [row] = lay_text(whole, Box(0, 0, measure("bold", SMALLEST, "quince") + 0.01, line), measure, [short])
    assert (row.text, row.size) == ("quince", SMALLEST)


@given(PARAGRAPHS, BOXES)
def test_words_that_are_left_out_are_left_out_whole(said: list[tuple[str, str]], box: Box):
    lines = lay_text(said, box, measure)
    if any(CUT in line.text for line in lines):
        known = {word for _, text in said for word in text.split()} | {CUT}
        assert {word for line in lines for word in line.text.split()} <= known


def test_a_line_ends_at_a_plain_space_and_not_at_a_tied_one():
    assert wrap("sow 3\u00a0Mar\u00a027", 6, len) == (["sow", "3 Mar ", "27"], True)
    assert wrap("sow 3\u00a0Mar\u00a027", 10, len) == (["sow", "3 Mar 27"], False)
    assert wrap("", 10, len) == ([], False)


@given(st.integers(21, 100), BOXES)
def test_a_square_code_keeps_its_quiet_zone_and_a_module_that_can_be_read(modules: int, box: Box):
    placed = place_square(modules, box)
    if placed:
        _check(placed, box, modules, QR_LEAST, QR_QUIET)
        assert placed.box.y - box.y >= QR_QUIET * placed.module - 1e-6
        assert placed.box.height == pytest.approx(modules * placed.module)
        assert placed.words.width >= box.width * 0.4 - 1e-6


@given(st.integers(46, 400), BOXES)
def test_bars_keep_their_quiet_zones_and_a_module_that_can_be_read(modules: int, box: Box):
    placed = place_bars(modules, box)
    if placed:
        _check(placed, box, modules, BARS_LEAST, BARS_QUIET)
        beside = placed.words.x + placed.words.width <= placed.box.x - BARS_QUIET * placed.module + 1e-6
        above = placed.words.y + placed.words.height <= placed.box.y
        assert beside or above


def _check(placed: Placed, box: Box, modules: int, least: float, quiet: int) -> None:
    assert placed.module >= least - 1e-9
    assert placed.box.width == pytest.approx(modules * placed.module)
    assert placed.box.x - box.x >= quiet * placed.module - 1e-6
    assert placed.box.x + placed.box.width + quiet * placed.module <= box.x + box.width + 1e-6
    assert placed.box.y >= box.y - 1e-6
    assert placed.box.y + placed.box.height <= box.y + box.height + 1e-6
    assert placed.words.width > 0
    assert placed.words.height > 0


def test_a_code_too_fine_to_read_is_not_placed():
    assert place_square(57, Box(0, 0, 60, 20)) is None
    assert place_bars(400, Box(0, 0, 100, 50)) is None
