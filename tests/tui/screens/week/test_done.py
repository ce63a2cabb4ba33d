"""What `d` asks and records: a task done, whole or in part, and what its form refuses."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from tests.tui.screens.week.board import COLD, SOAK, data, values
from tests.tui.shed import Shed, in_turn, opened
from tui.forms.form import FormScreen
from tui.screens.week.screen import WeekScreen


async def test_d_asks_with_the_numbers_filled_in_and_enter_saves(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("d")
        form = shed.on_top(FormScreen)
        assert values(form) == {"count": "100", "left": "0", "on": "2027-01-18"}
        await shed.press("enter", "enter", "enter")
        assert isinstance(shed.app.screen, WeekScreen)
        assert data(shed) == [("done", {"batch": "Z1", "step": "soak", "count": 100})]
        assert shed.row(SOAK).state == "done"
        assert shed.row(COLD).state == "open"
        assert "soak" in shed.foot


async def test_the_board_is_dated_again_at_once_from_what_was_done(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(COLD)
        before = shed.row(COLD).tasks[0].plan
        assert before is not None
        await shed.do("done")
        assert "soak" in shed.text  # the form tells what is skipped
        await shed.fill(count="90")
        await shed.save()
        after = shed.plan("Z1")
        assert date.fromordinal(after.now.latest[after.index("sow") or 0] or 0) == date(2027, 4, 18)  # 90 days on
        assert (after.lot.count, after.passed_over) == (90, {"soak"})
        assert shed.row(COLD).state == "done"


async def test_a_number_typed_into_the_form_replaces_the_one_filled_in(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("d", "8", "7", "ctrl+s")
        assert data(shed) == [("done", {"batch": "Z1", "step": "soak", "count": 87})]


async def test_the_form_says_what_the_numbers_mean_while_they_are_typed(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("d")
        assert "100 are there" in shed.text
        assert "lost" not in shed.text
        await shed.fill(count="40")
        assert "100 are there: 40 go on, 60 lost" in shed.text
        await shed.fill(left="50")
        assert "100 are there: 40 go on, 50 still to do, 10 lost" in shed.text
        await shed.save()
        assert shed.foot.startswith("Z1: soak done, 40, 50 left")
        assert "10 lost" in shed.foot


async def test_lines_keep_their_places_after_an_entry_until_the_screen_is_left(tiny: Path):
    async with opened(tiny) as shed:
        for act in ("hold", "done"):  # what is held, and what is done, would stand further down
            await shed.go(SOAK)
            before, at = shed.keys, shed.board.cursor
            await shed.do(act)
            if act == "hold":
                await shed.fill(reason="no sand")
            await shed.save()
            assert shed.board.row is not None
            assert (shed.board.row.key, shed.board.cursor) == (SOAK, at)
            assert [key for key in shed.keys if key in before] == [key for key in before if key in shed.keys]
            if act == "hold":
                await shed.do("undo")
        assert shed.row(SOAK).state == "done"
        assert shed.foot.startswith("Z1: soak done")
        stood = shed.keys
        await shed.press("2", "1")
        assert shed.keys != stood
        assert shed.board.row is not None
        assert shed.board.row.key == SOAK  # the cursor goes with its line


async def test_more_cannot_come_through_than_is_there(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.do("done")
        await shed.fill(count="90")
        await shed.save()
        await shed.go(COLD)
        await shed.do("done")
        await shed.fill(count="900")
        await shed.save()
        assert "Z1 has 90: 900 cannot have come through stratify cold" in shed.refusal
        assert len(shed.entries()) == 1


async def escape_leaves_the_form_and_records_nothing(shed: Shed) -> None:
    await shed.go(SOAK)
    await shed.press("d", "5", "escape")
    assert isinstance(shed.app.screen, WeekScreen)
    assert (shed.entries(), shed.row(SOAK).state) == ([], "open")


async def test_a_part_done_leaves_the_rest_to_be_done_and_may_be_joined(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.do("done")
        await shed.fill(left="60")
        await shed.save()
        assert data(shed)[0][1] == {"batch": "Z1", "step": "soak", "count": 40, "left": 60, "part": "Z1/1"}
        assert (shed.row(SOAK).state, shed.row(SOAK).tasks[0].count) == ("open", 60)
        assert shed.row("act Z1/1 soak potting shed").state == "done"
        await shed.go(SOAK)
        await shed.do("done")
        form = shed.on_top(FormScreen)
        assert values(form)["join"] == "yes"
        await shed.fill(join="perhaps")
        await shed.save()
        assert shed.refusal
        await shed.fill(join="no")
        await shed.save()
        assert {lot.id: lot.count for lot in shed.app.house.records.lots if lot.batch.id == "Z1"} == {
            "Z1": 60, "Z1/1": 40
        }  # fmt: skip


NOT_TO_BE: tuple[tuple[dict[str, str], str], ...] = (
    ({"on": "2027-01-19"}, "still to come"),
    ({"on": "2 Feb"}, "still to come"),
    ({"on": "soon"}, "is not a day"),
    ({"on": "30 Feb"}, "is not a day"),
    ({"on": "-²"}, ""),
    ({"on": "-99999999999999"}, ""),
    ({"on": "9999-12-31"}, ""),
    ({"on": "0001-01-01"}, ""),
    ({"count": "9" * 5000}, ""),
    ({"count": "-1"}, ""),
    ({"count": ""}, ""),
    ({"count": "²"}, ""),
    ({"left": "100"}, "100 cannot be left"),
    ({"left": "a few"}, ""),
)


async def what_the_form_refuses_is_said_in_it_and_nothing_is_written(shed: Shed) -> None:
    await shed.go(SOAK)
    await shed.do("done")
    await shed.refuses(NOT_TO_BE)
    assert shed.row(SOAK).state == "open"


async def test_what_the_form_of_what_was_done_leaves_unwritten(tiny: Path):
    async with opened(tiny) as shed:
        await in_turn(
            shed,
            escape_leaves_the_form_and_records_nothing,
            what_the_form_refuses_is_said_in_it_and_nothing_is_written,
        )


async def test_a_day_may_be_said_as_growers_say_it(tiny: Path):
    said = {"": 18, "today": 18, "yesterday": 17, "-3": 15, "2 jan": 2, "2027-01-07": 7, "15 Jan": 15}
    async with opened(tiny) as shed:
        for n, (words, day) in enumerate({**said, "15 January 2027": 15}.items()):
            await shed.go(SOAK)
            await shed.do("done")
            await shed.fill(on=words)
            await shed.save()
            [made] = shed.entries()[2 * n :]  # those before it and their undoing stand too
            assert made.on == date(2027, 1, day), words
            await shed.do("undo")
            assert shed.row(SOAK).state == "open"
