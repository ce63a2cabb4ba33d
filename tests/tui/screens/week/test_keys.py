"""The keys of the week that go about and show."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual._compositor import Compositor
from textual.widgets import Input

from tests.tui import settled
from tests.tui.farms import TODAY
from tests.tui.screens.week.board import COLD, LOOK_Z2, LOOKS, MISSED, SOAK, SWEEP
from tests.tui.shed import Shed, bindings, in_turn, opened
from tui.forms.page import PageScreen
from tui.screen import FarmScreen
from tui.screen_list import PLACES
from tui.screens.week.board import Board
from tui.screens.week.rows import Row
from tui.screens.week.screen import WeekScreen


async def test_the_number_keys_go_to_the_other_screens_and_1_comes_back(tiny: Path):
    ways = {binding.key: (binding.id or "").removeprefix("go_") for binding in bindings() if binding.key.isdigit()}
    assert set(ways.values()) == {name for _, name, *_ in PLACES}
    async with opened(tiny) as shed:
        for key, name in ways.items():
            await shed.press(key)
            assert type(shed.app.screen).__name__ == next(place[4] for place in PLACES if place[1] == name)
            assert isinstance(shed.app.screen, FarmScreen)
            await shed.press("1")
            shed.on_top(WeekScreen)


async def left_and_right_go_to_other_weeks_and_w_comes_back(shed: Shed) -> None:
    week = shed.screen.week
    assert week is not None
    await shed.press("right")
    assert shed.screen.week is not None
    assert shed.screen.week.start == date(2027, 1, 25)
    assert MISSED not in shed.keys  # a week ahead is seen as it will be
    await shed.press("left", "left")
    assert shed.screen.week.start == date(2027, 1, 11)
    assert "11 Jan" in shed.text
    await shed.press("w")
    assert (shed.screen.week.start, shed.screen.day) == (week.start, None)


async def test_no_key_leads_out_of_the_calendar(tiny: Path):
    async with opened(tiny) as shed:
        for edge, by in ((date(2100, 12, 27), 1), (date(1990, 1, 1), -1)):
            shed.screen.day = edge
            shed.screen.derive()
            for _ in range(3):
                await shed.do("week_after" if by > 0 else "week_before")
            assert shed.screen.week is not None
            assert 1989 <= shed.screen.week.start.year <= 2101


async def c_keeps_what_is_under_cover_and_again_shows_all(shed: Shed) -> None:
    everything = shed.keys
    await shed.press("c")
    assert [key for key in shed.keys if not key.startswith("routine ")] == [SOAK, SWEEP, LOOKS, COLD]
    assert MISSED not in shed.text
    assert "cover" in shed.foot
    await shed.press("c")
    assert shed.keys == everything


async def slash_finds_as_one_types_and_enter_keeps_it(shed: Shed) -> None:
    await shed.press("slash", *"scree")
    assert shed.keys == [MISSED]
    await shed.press("enter")
    assert shed.app.focused is shed.board
    assert shed.keys == [MISSED]
    assert "scree" in shed.foot


async def test_what_is_found_by_name_lot_step_or_place(tiny: Path):
    by_words = {
        "bankside": [SOAK, LOOKS, COLD],
        "Fictus RIPENSIS": [SOAK, LOOKS, COLD],
        "montana": [MISSED],
        "z1": [SOAK, COLD],
        "soak": [SOAK],
        "saok": [SOAK],
        "pale": [LOOK_Z2.replace("Z2", "Z3")],
        "sweep": [SWEEP],
        "cold store": [LOOKS, COLD],
        "  ": [MISSED, SOAK, SWEEP, LOOKS, COLD],
        "nothing of the kind": [],
        "[/]": [],
    }
    async with opened(tiny) as shed:
        await shed.do("find")
        for words, found in by_words.items():
            shed.screen.query_one("#find", Input).value = words
            await shed.pilot.pause()
            assert shed.keys == found, words


async def escape_shows_all_again(shed: Shed) -> None:
    everything = shed.keys
    await shed.press("slash", "s", "o", "a", "escape")
    assert shed.keys == everything
    assert shed.app.focused is shed.board
    await shed.press("slash", "q", "enter", "escape")  # q is a letter while one types
    assert shed.keys == everything
    await shed.press("c", "escape")
    assert shed.keys == everything


def columns(page: str) -> str:
    """The words of a page in two columns: the first, then the second; keys that stand before them left out."""
    lines = [line.split("│")[1] for line in page.splitlines() if line.count("│") == 2]
    half = len(lines[0]) // 2
    left, right = ([line[at][7:] for line in lines] for at in (slice(1, half), slice(half, None)))
    return " ".join(" ".join([*left, *right]).split())


async def the_question_mark_shows_every_key_that_works_here(shed: Shed) -> None:
    await shed.resize((120, 50))
    await shed.press("question_mark")
    shed.on_top(PageScreen)
    told = columns(shed.text)
    for binding in bindings():
        assert (binding.id or "").startswith("go_") or binding.description in told
    await shed.press("escape")
    assert isinstance(shed.app.screen, WeekScreen)


async def test_the_page_of_keys_can_be_read_to_its_end_on_a_small_screen(tiny: Path):
    async with opened(tiny, size=(80, 24)) as shed:
        await shed.do("keys")
        assert "Keys: week" in shed.text
        assert "the mouse does the same" not in shed.text
        await shed.press("end")
        assert "the mouse does the same" in shed.text


async def v_changes_between_light_and_dark(shed: Shed) -> None:
    assert shed.app.current_theme.dark
    await shed.press("v")
    assert not shed.app.current_theme.dark
    await shed.press("v")
    assert shed.app.current_theme.dark


async def enter_opens_and_folds_looks_and_opens_a_lots_chain(shed: Shed) -> None:
    folded = shed.keys
    await shed.go(LOOKS)
    await shed.press("enter")
    assert [key for key in shed.keys if key not in folded] == [LOOK_Z2, LOOK_Z2.replace("Z2", "Z3")]
    await shed.press("enter")
    assert shed.keys == folded
    await shed.go(SOAK)
    await shed.press("enter")
    shed.on_top(PageScreen)
    for step in ("soak", "stratify cold", "sow"):
        assert step in shed.text
    await shed.press("q")
    assert isinstance(shed.app.screen, WeekScreen)


async def enter_on_standing_work_opens_nothing(shed: Shed) -> None:
    await shed.go(SWEEP)
    await shed.press("enter")
    assert isinstance(shed.app.screen, WeekScreen)


async def test_q_quits_with_0(tiny: Path):
    async with opened(tiny) as shed:
        await shed.press("q")
    assert (shed.app.return_code or 0, shed.app.is_running) == (0, False)


async def the_cursor_goes_up_and_down_and_never_rests_on_a_place(shed: Shed) -> None:
    keys = shed.keys
    assert shed.board.row is not None
    assert shed.board.row.key == keys[0]
    seen = [keys[0]]
    for _ in range(len(keys) + 2):
        shed.board.action_step(1)
        assert shed.board.row.kind != "place"
        seen.append(shed.board.row.key)
    assert list(dict.fromkeys(seen)) == keys
    await shed.press("home")
    assert shed.board.row.key == keys[0]
    await shed.press("end")
    assert shed.board.row.key == keys[-1]
    await shed.press("up")
    assert shed.board.row.key == keys[-2]
    await shed.press("down", "pageup")
    assert shed.board.row.key == keys[0]


async def the_panel_tells_of_the_task_under_the_cursor(shed: Shed) -> None:
    for key, words in ((MISSED, "30 Nov"), (SOAK, "wear gloves"), (LOOKS, "Pale"), (SWEEP, "weekly")):
        await shed.go(key)
        assert words in "\n".join(shed.text.splitlines()[-10:]), key


async def a_click_moves_the_cursor_and_a_double_click_opens(shed: Shed) -> None:
    line = next(n for n, row in enumerate(shed.board.rows) if row.key == SOAK)
    await shed.pilot.click(Board, offset=(5, line))
    assert shed.board.row is not None
    assert shed.board.row.key == SOAK
    assert isinstance(shed.app.screen, WeekScreen)
    other = next(n for n, row in enumerate(shed.board.rows) if row.key == COLD)
    await shed.pilot.click(Board, offset=(5, other), times=2)
    await shed.pilot.pause()
    shed.on_top(PageScreen)


async def a_double_click_on_the_task_under_the_cursor_opens_one_page(shed: Shed) -> None:
    await shed.go(SOAK)
    line = next(n for n, row in enumerate(shed.board.rows) if row.key == SOAK)
    await shed.pilot.click(Board, offset=(5, line), times=2)
    await shed.pilot.pause()
    shed.on_top(PageScreen)
    assert len(shed.app.screen_stack) == 3


async def a_click_on_a_place_does_nothing(shed: Shed) -> None:
    before = shed.board.cursor
    place = next(n for n, row in enumerate(shed.board.rows) if row.kind == "place" and n > before)
    await shed.pilot.click(Board, offset=(5, place))
    assert shed.board.cursor == before


async def the_screen_may_be_made_larger_and_smaller(shed: Shed) -> None:
    await shed.resize((80, 24))
    await shed.go(COLD)
    for width, height in ((120, 40), (80, 24), (40, 12), (200, 60), (80, 24)):
        await shed.pilot.resize_terminal(width, height)
        await shed.pilot.pause()
        lines = shed.text.splitlines()
        assert len(lines) <= height
        assert max(len(line) for line in lines) <= width
        assert "Z1" in shed.text
    assert shed.board.row is not None
    assert shed.board.row.key == COLD


async def test_what_the_keys_of_the_week_show(tiny: Path):
    async with opened(tiny) as shed:
        await in_turn(
            shed,
            left_and_right_go_to_other_weeks_and_w_comes_back,
            c_keeps_what_is_under_cover_and_again_shows_all,
            slash_finds_as_one_types_and_enter_keeps_it,
            escape_shows_all_again,
            the_question_mark_shows_every_key_that_works_here,
            v_changes_between_light_and_dark,
            enter_on_standing_work_opens_nothing,
            the_cursor_goes_up_and_down_and_never_rests_on_a_place,
            the_panel_tells_of_the_task_under_the_cursor,
            enter_opens_and_folds_looks_and_opens_a_lots_chain,
            a_click_moves_the_cursor_and_a_double_click_opens,
            a_double_click_on_the_task_under_the_cursor_opens_one_page,
            a_click_on_a_place_does_nothing,
            the_screen_may_be_made_larger_and_smaller,
        )


async def test_the_cursor_is_on_the_screen_however_small_the_board(tmp_path: Path, demo):
    async with opened(demo(date(2026, 11, 9)), date(2026, 11, 9), (80, 24)) as shed:
        await shed.press("end")
        top, height = shed.board.scroll_offset.y, shed.board.size.height
        assert top <= shed.board.cursor < top + height
        await shed.press("pageup")
        top = shed.board.scroll_offset.y
        assert top <= shed.board.cursor < top + height


async def test_the_day_is_the_one_given(tiny: Path):
    async with opened(tiny) as shed:
        assert shed.app.today == TODAY
        assert "Mon 18 Jan" in shed.text


@pytest.mark.parametrize(("width", "wide"), [(100, "-narrow"), (110, "-wide"), (160, "-wide")])
async def test_no_frame_is_drawn_in_a_layout_that_does_not_stay(
    tiny: Path, width: int, wide: str, monkeypatch: pytest.MonkeyPatch
):
    drawn: list[int] = []
    plain = Board.paint

    def paint(board: Board, row: Row, cells: int) -> tuple[str, str]:
        drawn.append(cells)
        return plain(board, row, cells)

    monkeypatch.setattr(Board, "paint", paint)
    monkeypatch.setattr(Compositor, "render_update", settled.drawn)
    async with opened(tiny, size=(width, 30)) as shed:
        assert shed.app.screen.has_class(wide)
        assert set(drawn) == {shed.board.scrollable_content_region.width}
        assert (drawn[0] < width - 30) == (wide == "-wide")
