"""Mending the past from the keys: a wrong day, a wrong count, an entry taken back and had again."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from textual.widgets import OptionList

from tests.tui.farms import TODAY, tell
from tests.tui.screens.week.board import SOAK
from tests.tui.shed import Shed, opened, screen_text
from tui.forms.choice import ChoiceScreen
from tui.forms.correct import EntriesScreen
from tui.forms.form import FormScreen
from tui.forms.page import LotPage
from tui.screens.week.screen import WeekScreen


async def soaked(shed: Shed) -> None:
    """Z1 soaked today, by the keys."""
    await shed.go(SOAK)
    await shed.do("done")
    await shed.fill(count="90")
    await shed.save()


def listed(shed: Shed) -> list[str]:
    options = shed.on_top(EntriesScreen).query_one(OptionList)
    return [str(options.get_option_at_index(n).prompt) for n in range(options.option_count)]


async def test_a_wrong_day_is_one_key_and_the_new_day(tiny: Path):
    async with opened(tiny) as shed:
        await soaked(shed)
        await shed.go(SOAK)
        await shed.press("e", "enter", *"12 Jan", "enter")
        assert shed.plan("Z1").lot.done["soak"].day == date(2027, 1, 12)
        assert listed(shed) == ["12 Jan 27  Z1: soak done, 90; was 18 Jan 27"]
        await shed.press("escape")
        assert shed.foot.startswith("corrected: Z1: soak done, 90 (12 Jan)")
        assert [e.kind for e in shed.entries()] == ["done", "correct"]


async def test_a_count_is_corrected_from_the_page_of_the_lot_and_one_undo_takes_the_correction_back(tiny: Path):
    async with opened(tiny) as shed:
        await soaked(shed)
        await shed.go(SOAK)
        await shed.press("enter")
        shed.on_top(LotPage)
        assert "e correct or undo" in shed.text
        await shed.press("e", "enter")
        await shed.fill(of_count="97")
        await shed.save()
        await shed.press("escape")
        assert shed.plan("Z1").lot.count == 97
        await shed.press("u")
        assert shed.plan("Z1").lot.count == 90


async def test_what_cannot_be_is_refused_in_the_form_and_told_why(tiny: Path):
    async with opened(tiny) as shed:
        await soaked(shed)
        await shed.go(SOAK)
        await shed.press("e", "enter", *"9 Mar", "enter")
        assert "still to come" in shed.refusal
        shed.on_top(FormScreen)
        assert len(shed.entries()) == 1


async def test_x_takes_an_entry_of_any_device_back_and_has_it_again(tiny: Path):
    tell(tiny, "done", TODAY, device="office", batch="Z1", step="soak", count=77)
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("e", "x")
        assert "soak" not in shed.plan("Z1").lot.done
        assert listed(shed) == ["18 Jan 27  Z1: soak done, 77, undone"]
        await shed.press("enter")
        assert "it was undone (x redoes it)" in shed.refusal
        await shed.press("x")
        assert shed.plan("Z1").lot.count == 77
        await shed.press("escape")
        assert shed.foot.startswith("redone: Z1: soak done, 77")


async def test_of_a_lot_of_which_nothing_was_recorded_the_key_says_so(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("e")
        assert shed.foot.startswith("nothing was recorded of Z1 yet")


async def test_u_says_what_it_takes_back_and_capital_u_has_it_again(tiny: Path):
    async with opened(tiny) as shed:
        await soaked(shed)
        await shed.press("u")
        assert shed.foot.startswith("undone: Z1: soak done, 90 (18 Jan); U redoes it")
        await shed.press("U")
        assert shed.foot.startswith("redone: Z1: soak done, 90 (18 Jan)")
        assert shed.plan("Z1").lot.count == 90
        await shed.press("U")
        assert shed.foot.startswith("there is nothing to redo")


async def test_undo_asks_before_it_takes_back_what_was_made_on_another_screen(tiny: Path):
    async with opened(tiny) as shed:
        await soaked(shed)
        await shed.press("4")
        await shed.press("u")
        assert "undo Z1: soak done, 90 (18 Jan)" in screen_text(shed.app)
        assert "it was recorded at the week" in screen_text(shed.app)
        await shed.press("enter")  # to keep it stands first
        assert shed.plan("Z1").lot.count == 90
        await shed.press("u", "down", "enter")
        assert "soak" not in shed.plan("Z1").lot.done


async def test_undo_asks_before_it_takes_back_what_was_made_before_widger_was_opened(tiny: Path):
    tell(tiny, "note", TODAY, device="bench", batch="Z1", text="by the back door")
    async with opened(tiny) as shed:
        await shed.press("u")
        assert "it was recorded earlier, 2027-01-18 17:00" in shed.text
        shed.on_top(ChoiceScreen)
        await shed.press("escape")
        assert isinstance(shed.app.screen, WeekScreen)
        assert len(shed.plan("Z1").lot.notes) == 1
