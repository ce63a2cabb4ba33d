"""What stands in a cell: each day, span and count in one form, and a text in exactly the cells it is given."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tui.cells import away_cell, counted, date_cell, ends, fit, hours_cell, iso, journal_day, near_cell, near_day

TODAY = date(2027, 3, 2)


@given(st.text(max_size=40), st.integers(1, 60))
def test_a_fitted_text_fills_its_cells_as_the_terminal_counts_them(text: str, width: int):
    assert cell_len(fit(text, width)) == width


@pytest.mark.parametrize(
    ("text", "width", "fitted"),
    [("pear", 6, "pear  "), ("pear", 4, "pear"), ("quince", 4, "qui…"), ("梨梨", 4, "梨梨"), ("梨梨", 3, "梨…")],
)
def test_what_is_too_long_ends_in_a_mark(text: str, width: int, fitted: str):
    assert fit(text, width) == fitted


def test_a_day_is_told_with_its_year_where_it_is_far_off():
    assert [near_day(TODAY + timedelta(n), TODAY) for n in (0, 300, 301)] == ["2 Mar", "27 Dec", "28 Dec 27"]
    assert [near_cell(TODAY - timedelta(n), TODAY) for n in (0, 300, 301)] == ["2 Mar", "6 May", "May 2026"]
    assert (near_cell(None, TODAY), date_cell(None), date_cell(TODAY)) == ("-", "-", "2 Mar 27")
    assert (journal_day(date.min), journal_day(TODAY), iso(None), iso(TODAY)) == (
        "", "2 Mar 27", None, "2027-03-02",
    )  # fmt: skip


def test_spans_counts_and_hours():
    aways = [away_cell(TODAY + timedelta(n), TODAY) for n in (0, 1, -1, 20, 21, -70)]
    assert aways == ["today", "in 1 day", "1 day ago", "in 20 days", "in 3 weeks", "10 weeks ago"]
    assert [counted(n, "lot") for n in (0, 1, 2)] == ["0 lots", "1 lot", "2 lots"]
    assert [hours_cell(h) for h in (0, 0.999, 3.8333, 12)] == ["0 h 00", "1 h 00", "3 h 50", "12 h 00"]


@given(st.text("abc ", max_size=30), st.text("xyz", max_size=10), st.integers(14, 60))
def test_the_right_end_of_a_line_is_never_cut(left: str, right: str, width: int):
    line = ends(left, right, width)
    assert len(line) == width
    assert line.endswith(right)
