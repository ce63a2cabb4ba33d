"""Lines are marked, and one key deals with them all: one page, one append, one undo."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from engine.journal.store import journal_folder, read_journal
from tests.tui.farms import TINY, TODAY, batch, tell, write_tiny
from tests.tui.screens.week.board import COLD, LOOKS, SOAK, SWEEP, data
from tests.tui.shed import Shed, in_turn, opened
from tui.forms.form import FormScreen
from tui.screens.week.screen import WeekScreen

MORE = TINY + batch("Z4", count=70)
LIFTED = """survive = 0.5
[[protocol.step]]
do = "lift"
place = "seed beds"
opens = ["1 Nov"]
closes = ["30 Nov"]
"""
SOAK_4 = SOAK.replace("Z1", "Z4")


async def marked(shed: Shed, *keys: str) -> None:
    for key in keys:
        await shed.go(key)
        await shed.press("space")


async def space_marks_a_line_and_goes_on_and_escape_unmarks_them(shed: Shed) -> None:
    await shed.go(SOAK)
    at = shed.board.cursor
    await shed.press("space")
    assert shed.board.cursor > at
    assert "[1 marked]" in shed.foot
    [line] = [line for line in shed.text.split("\n") if line.startswith("*")]
    assert "soak" in line
    await shed.go(SOAK)
    await shed.press("space")
    assert shed.board.marked == set()
    await marked(shed, SOAK, COLD)
    await shed.press("escape")
    assert shed.board.marked == set()
    assert "marked" not in shed.foot


async def test_what_is_marked_is_done_on_one_page_and_one_undo_takes_all_back(tmp_path: Path):
    tiny = write_tiny(tmp_path, MORE)
    async with opened(tiny) as shed:
        await marked(shed, SOAK, SOAK_4)
        await shed.press("d")
        assert "Done: Z1 soak, Z4 soak" in shed.text
        await shed.press("tab", *"65", "enter")
        assert data(shed) == [
            ("done", {"batch": "Z1", "step": "soak", "count": 100}),
            ("done", {"batch": "Z4", "step": "soak", "count": 65}),
        ]
        assert len({entry.at for entry in shed.entries()}) == 1
        assert shed.foot.startswith("Z1: soak done, 100 (18 Jan), and 1 more; one undo reverses them all")
        assert shed.board.marked == set()
        await shed.press("u")
        assert [shed.plan(lot).lot.done for lot in ("Z1", "Z4")] == [{}, {}]


async def test_of_two_acts_of_one_lot_the_second_goes_on_with_what_the_first_left(tiny: Path):
    async with opened(tiny) as shed:
        await marked(shed, SOAK, COLD)
        await shed.press("d", *"90", "enter")
        assert [entry.data["count"] for entry in shed.entries()] == [90, 90]


async def test_what_is_refused_of_one_is_recorded_of_none_and_the_marks_stay(tmp_path: Path):
    tiny = write_tiny(tmp_path, MORE)
    async with opened(tiny) as shed:
        await marked(shed, SOAK, SOAK_4)
        await shed.press("d")
        tell(tiny, "done", TODAY, device="office", batch="Z4", step="soak", count=7)
        await shed.save()
        assert "soak of Z4 was already done" in shed.refusal
        assert shed.entries() == []
        await shed.press("escape")
        assert len(shed.board.marked) == 2


async def test_a_count_that_nothing_may_stand_in_for_is_asked_for_each_lot(tmp_path: Path):
    tiny = write_tiny(tmp_path, MORE.replace("survive = 0.5\n", LIFTED, 1))
    for lot in ("Z1", "Z4"):
        tell(tiny, "done", date(2027, 4, 5), batch=lot, step="sow", count=60)
    async with opened(tiny, date(2027, 11, 3)) as shed:
        keys = [key for key in shed.keys if " lift " in key and key.split()[1] in ("Z1", "Z4")]
        assert len(keys) == 2
        await marked(shed, *keys)
        await shed.press("d", *"41", "enter")
        form = shed.on_top(FormScreen)
        assert form.focused is not None
        assert form.focused.id == "n1"  # enter goes to what is still asked
        await shed.press("enter")
        assert ": alive? write a number" in shed.refusal
        await shed.press(*"38", "enter")
        assert sorted(entry.data["count"] for entry in shed.entries()) == [38, 41]


async def test_looks_standing_work_and_notes_are_recorded_for_all_that_are_marked(tiny: Path):
    async with opened(tiny) as shed:
        await marked(shed, LOOKS)  # the line of all looks of a place stands for each of them
        await shed.press("m")
        assert [(kind, told["batch"], told["finding"]) for kind, told in data(shed)] == [
            ("look", "Z2", "mould"),
            ("look", "Z3", "mould"),
        ]
        await shed.press("u")
        assert [look for lot in ("Z2", "Z3") for look in shed.plan(lot).lot.looks] == []
        await marked(shed, SWEEP)
        await shed.press("d")
        assert data(shed)[-1][0] == "worked"
        await marked(shed, SOAK, LOOKS)
        await shed.press("t", *"dry", "enter")
        notes = [(told["batch"], told["text"]) for kind, told in data(shed) if kind == "note"]
        assert sorted(notes) == [("Z1", "dry"), ("Z2", "dry"), ("Z3", "dry")]


async def test_later_and_hold_are_said_once_for_all_that_are_marked(tmp_path: Path):
    tiny = write_tiny(tmp_path, MORE)
    async with opened(tiny) as shed:
        await marked(shed, SOAK, SOAK_4)
        await shed.press("l", "enter")
        assert [shed.plan(lot).lot.later["soak"] for lot in ("Z1", "Z4")] == [date(2027, 1, 25)] * 2
        await shed.press("u")
        await marked(shed, SOAK, SOAK_4)
        await shed.press("h", *"sand", "enter")
        assert [shed.plan(lot).lot.held["soak"] for lot in ("Z1", "Z4")] == ["sand", "sand"]


async def what_does_not_go_for_all_is_refused_and_nothing_is_recorded(shed: Shed) -> None:
    await marked(shed, SOAK, LOOKS)
    await shed.press("d")
    assert "2 of the 3 marked are not" in shed.foot
    await shed.press("n")
    assert "1 of the 3 marked is not" in shed.foot
    await shed.press("x")
    assert "Esc unmarks them" in shed.foot
    assert isinstance(shed.app.screen, WeekScreen)
    assert shed.entries() == []


async def test_what_is_said_of_lines_that_are_marked(tiny: Path):
    async with opened(tiny) as shed:
        await in_turn(
            shed,
            space_marks_a_line_and_goes_on_and_escape_unmarks_them,
            what_does_not_go_for_all_is_refused_and_nothing_is_recorded,
        )


async def test_what_is_found_no_more_is_not_dealt_with(tiny: Path):
    async with opened(tiny) as shed:
        await marked(shed, SOAK, LOOKS)
        shed.screen.find("soak", keep=True)
        await shed.pilot.pause()
        assert shed.board.marked == {SOAK}
        await shed.press("d", "enter")
        assert len(read_journal(journal_folder(tiny))[0]) == 5
