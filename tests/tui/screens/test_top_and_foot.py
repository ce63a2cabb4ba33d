"""What stands around every list: the line of the screens, the keys at the foot, and the page of help."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.cells import cell_len

from tests.tui.farms import TODAY
from tests.tui.screens.week.board import SOAK
from tests.tui.shed import Shed, in_turn, opened
from tui.forms.help import help_page, signs_of
from tui.screen import FarmScreen
from tui.screen_list import PLACES
from tui.top_and_foot import MOST_KEYS, SHORT, Clickable, Foot, Where, _fitting


def top(shed: Shed) -> FarmScreen:
    screen = shed.app.screen
    assert isinstance(screen, FarmScreen)
    return screen


async def click(shed: Shed, kind: type[Clickable], what: str) -> None:
    """Click on the last of what does that."""
    line = top(shed).query_one(kind)
    begin = max(begin for begin, _, does in line.spans if does == what)
    await shed.pilot.click(line, offset=(begin + 1, 0))  # the line is padded by a cell
    await shed.pilot.pause()


async def the_screens_are_named_on_every_screen_and_a_click_goes_to_each(shed: Shed) -> None:
    for _, name, told, _, kind in (*PLACES[1:], PLACES[0]):
        await click(shed, Where, name)
        assert type(shed.app.screen).__name__ == kind
        first = shed.text.splitlines()[0]
        assert all(f"{key} {SHORT.get(each, each)[:4]}" in first for key, each, *_ in PLACES), told
        here = top(shed).query_one(Where).render_line(0)
        marked = [text for text, style, _ in here if style and style.bgcolor != style.color and style.bold]
        assert any(text.startswith(f"{PLACES[[p[4] for p in PLACES].index(kind)][0]} ") for text in marked)


@pytest.mark.parametrize("width", [58, 60, 78, 80, 118, 178])
@pytest.mark.parametrize("farm", [0, 9, 40])
def test_the_line_of_the_screens_fits_every_width(width: int, farm: int):
    names, gap, apart = _fitting(width, farm)
    assert len(names) == len(PLACES)
    assert all(names)
    assert sum(map(len, names)) + (1 + len(apart)) * len(names) + gap * (len(names) - 1) <= width
    if width >= 59:  # none is cut short
        assert names[-1].endswith(("orders", "door"))
        assert min(map(len, names)) >= len("cold")


async def a_key_at_the_foot_does_what_it_does_when_it_is_clicked(shed: Shed) -> None:
    await shed.go(SOAK)
    before = shed.text
    await click(shed, Foot, "h")
    await shed.until(lambda: shed.text != before)
    assert shed.app.screen is not shed.screen
    await shed.press("escape")
    await click(shed, Foot, "?")
    await shed.until(lambda: shed.app.screen is not shed.screen)
    assert "Keys: week" in shed.text


async def the_foot_shows_seven_keys_at_the_most_and_each_whole(shed: Shed) -> None:
    await shed.resize((60, 18))
    foot = shed.screen.query_one(Foot)
    for width in (40, 58, 78, 118):
        foot.show("", "", "  ".join(f"{key} word" for key in "abcdefghij"), False, width)
        told = str(foot.render())
        assert cell_len(told) <= width
        words = told.split()
        assert words[-2:] == ["?", "help"]
        assert words[:-2:2] == list("abcdefghij")[: len(words) // 2 - 1]
        assert set(words[1:-2:2]) <= {"word"}
        assert len(words) // 2 - 1 <= MOST_KEYS
    foot.show("", "what was said " * 20, "a word", True, 58)  # it is never cut short
    assert str(foot.render()).count("what was said") == 20


async def test_what_stands_at_the_top_and_the_foot(tiny: Path):
    async with opened(tiny, TODAY, (80, 24)) as shed:
        await in_turn(
            shed,
            the_screens_are_named_on_every_screen_and_a_click_goes_to_each,
            a_key_at_the_foot_does_what_it_does_when_it_is_clicked,
            the_foot_shows_seven_keys_at_the_most_and_each_whole,
        )


def test_signs_and_states_come_before_the_keys_in_two_columns():
    signs = signs_of("◆ the aim   ● today\n: ≈ warm, gone and left")
    assert signs == [("◆", "the aim"), ("●", "today"), (": ≈", "warm, gone and left")]
    page = help_page("Keys", [("Signs", signs), ("States", ()), ("Keys", [("d", "done"), ("x", "drop")])], "End.", 80)
    lines = page.plain.splitlines()
    assert lines[0] == "Keys"
    assert lines.index("Signs") < lines.index("Keys", 1)
    assert "States" not in lines  # what a screen has none of is left out
    assert any("done" in line and "drop" in line for line in lines)
    narrow = help_page("Keys", [("Keys", [("d", "done"), ("x", "drop")])], "End.", 50).plain.splitlines()
    assert not any("done" in line and "drop" in line for line in narrow)
