"""How the lines of every list use the window: no word is cut where it would fit, and order and colours stay."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from rich.cells import cell_len

from tests.sampled import sampled
from tests.tui.shed import Shed, opened
from tui.columns import Column, across, laid, natural, widest, widths
from tui.lines import Lines, _steady
from tui.screen import FarmScreen
from tui.screen_list import PLACES
from tui.screens.week.rows import Row

SIZES = ((60, 18), (80, 24), (100, 30), (120, 40), (180, 50))
WIDE_ENOUGH = 120
"""From so many columns on nothing of the demo farm is cut."""


def top(shed: Shed) -> FarmScreen:
    screen = shed.app.screen
    assert isinstance(screen, FarmScreen)
    return screen


def painted(shed: Shed) -> list[str]:
    """Every line of the list in front, those that are scrolled out of sight too."""
    lines = top(shed).list
    width = lines.scrollable_content_region.width
    told = [lines.text(row, width) for row in lines.rows]
    assert {cell_len(text) for text in told} <= {width}, (top(shed), width)
    return told


def words(told: list[str]) -> set[str]:
    """The words that are cut; a line may also leave out its last words, whole."""
    return {word for text in told for word in text.split() if "…" in word and word != "…"}


@pytest.mark.parametrize("season", sampled([date(2027, 4, 6), date(2026, 10, 20)], 2), ids=["spring", "autumn"])
async def test_a_wider_window_cuts_no_word(demo: Callable[[date], Path], season: date):
    async with opened(demo(season), season, SIZES[0]) as shed:
        for key, name, *_ in PLACES:
            await shed.press(key)
            await shed.pilot.pause()
            await shed.worked_out()
            cut: dict[int, int] = {}
            whole: dict[str, set[int]] = {}
            for size in SIZES:
                await shed.resize(size)
                await shed.pilot.pause()
                told = painted(shed)
                cut[size[0]] = len(words(told))
                for row, text in zip(top(shed).list.rows, told, strict=True):
                    if "…" not in text:
                        whole.setdefault(row.key, set()).add(size[0])
                if name in ("week", "cold", "batches", "year"):
                    lots = [lot for row in top(shed).list.rows if (lot := _lot(row))]
                    assert lots
                    assert all(any(f" {lot} " in f" {text[1:]}" for text in told) for lot in lots), size
            assert [count for width, count in cut.items() if width >= WIDE_ENOUGH] == [0, 0], (name, cut, words(told))
            less = [row for row, at in whole.items() if 80 in at and not at >= {100, 120, 180}]
            assert name == "year" or not less, (name, less)  # what is whole at 80 columns is so in a wider window
            assert name == "year" or cut[80] <= cut[60], name  # there the names are left out for the weeks


def _lot(row: object) -> str:
    """The whole id of the lot on a line, where it is one of a single lot."""
    if isinstance(row, Row):
        return row.tasks[0].lot if row.kind == "task" else ""
    line = getattr(row, "lot", None) or getattr(getattr(row, "line", None), "line", getattr(row, "line", None))
    return getattr(getattr(line, "lot", line), "id", "") if line is not None else ""


async def test_on_a_small_screen_the_count_and_the_whole_id_are_shown(demo: Callable[[date], Path]):
    day = date(2027, 4, 6)
    async with opened(demo(day), day, SIZES[0]) as shed:
        for row, text in zip(shed.board.rows, painted(shed), strict=True):
            if row.kind == "task" and row.tasks[0].lot:
                assert f" {row.tasks[0].lot} " in text
                assert f" {row.tasks[0].count} " in text
        await shed.press("4")
        for row, text in zip(top(shed).list.rows, painted(shed), strict=True):
            if row.line is not None:
                assert f" {row.line.lot.id} " in text
                assert f" {row.line.lot.count} " in text


async def test_the_state_and_the_strip_have_the_colour_and_keep_it_under_the_cursor(demo: Callable[[date], Path]):
    day = date(2027, 4, 6)
    async with opened(demo(day), day, (120, 40)) as shed:
        lines: Lines[Row] = shed.board
        at = next(n for n, row in enumerate(lines.rows) if row.state == "closing" and row.kind == "task")
        lines._move(at)
        await shed.pilot.pause()
        here = list(lines.render_line(at - lines.scroll_offset.y))
        lines._move(next(n for n, row in enumerate(lines.rows) if n != at and row.pickable))
        away = list(lines.render_line(at - lines.scroll_offset.y))
        for segments in (here, away):
            colours = {text.strip(): style.color for text, style, _ in segments if text.strip() and style}
            state, strip = colours["closing"], next(c for text, c in colours.items() if "●" in text)
            plant = next(c for text, c in colours.items() if text.startswith("hazel"))
            assert state == strip
            assert plant != state
        assert {style.bgcolor for _, style, _ in here if style} != {style.bgcolor for _, style, _ in away if style}
        assert [style.color for _, style, _ in here if style] == [style.color for _, style, _ in away if style]


# -- columns


COLUMNS = (
    Column("lot", 4), Column("plant", 20, gives=3, least=6), Column("way", 10, gives=2),
    Column("strip", 12, gives=1, least=7, most=24),
)  # fmt: skip


@pytest.mark.parametrize(
    ("width", "wide"),
    [
        (62, (4, 20, 10, 23)),  # what is to spare goes where it is of use
        (51, (4, 20, 10, 12)),
        (46, (4, 20, 10, 7)),
        (45, (4, 20, 0, 17)),  # what is left out is never cut
        (30, (4, 15, 0, 7)),
        (10, (4, 6, 0, 7)),  # the rest runs over: nothing else may give way
    ],
)
def test_columns_give_way_in_their_order(width: int, wide: tuple[int, ...]):
    assert tuple(widths(COLUMNS, width).values()) == wide


def test_a_line_is_laid_under_its_columns():
    wide = widths(COLUMNS, natural(COLUMNS))
    parts = laid(COLUMNS, wide, {"lot": "A1", "plant": "hazel", "way": "seed", "strip": "━" * 12})
    text = "".join(text for text, _ in parts)
    assert text == f" A1   {'hazel':<20} {'seed':<10} {'━' * 12} "
    assert len(text) == natural(COLUMNS)
    assert across(COLUMNS, wide, "plant", "way") == 31
    assert widest(["ab", "樹木"]) == 4
    assert widest([], 3) == 3


# -- the order of lines


def rows(*keys: str) -> list[Row]:
    return [Row("place" if key.isupper() else "task", key) for key in keys]


@pytest.mark.parametrize(
    ("before", "now", "then"),
    [
        ("A a b c B d", "A b c a B d", "A a b c B d"),  # one that would go down stays
        ("A a b B d", "B d A a b", "A a b B d"),  # and so does its place
        ("A a b c", "A a c", "A a c"),
        ("A a b c", "A c x a b", "A a b c x"),  # a new line stands behind the one it follows
        ("A a b B d", "A b a C x B d", "A a b C x B d"),  # a new heading behind the whole of the group before
        ("A a B b", "A b B a", "A b B a"),  # what goes to another place is new there
    ],
)
def test_lines_keep_the_places_that_they_had(before: str, now: str, then: str):
    assert [row.key for row in _steady(rows(*before.split()), rows(*now.split()))] == then.split()
