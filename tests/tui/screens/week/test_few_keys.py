"""What is recorded most often takes few keys: a look one, done two, a part six, later and hold two, a batch fifteen."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.tui.farms import TODAY
from tests.tui.screens.week.board import LOOK_Z2, LOOKS, SOAK, data
from tests.tui.shed import opened
from tui.forms.form import FormScreen
from tui.screens.week.screen import WeekScreen


async def test_done_is_two_keys_where_all_is_as_filled_in(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("d")
        assert "Enter save    Tab next    Esc cancel" in shed.text
        await shed.press("enter")
        assert data(shed) == [("done", {"batch": "Z1", "step": "soak", "count": 100})]
        assert isinstance(shed.app.screen, WeekScreen)


@pytest.mark.parametrize("keys", ["d 4 0 r enter", "d 4 0 tab r enter"])
async def test_a_part_done_is_at_most_six_keys_and_the_rest_waits(tiny: Path, keys: str):
    assert len(keys.split()) <= 6
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press(*keys.split())
        assert data(shed) == [
            ("done", {"batch": "Z1", "step": "soak", "count": 40, "left": 60, "part": "Z1/1"}),
        ]
        assert {lot.id: lot.count for lot in shed.app.house.records.lots if lot.id.startswith("Z1")} == {
            "Z1": 60,
            "Z1/1": 40,
        }


async def test_tab_goes_on_to_the_next_field(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("d", "tab", "tab", *"yesterday", "enter")
        [entry] = shed.entries()
        assert (entry.on.isoformat(), entry.data["count"]) == ("2027-01-17", 100)


async def test_enter_stops_at_what_is_still_asked_and_the_cursor_goes_to_what_was_refused(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("d", "r", "enter")
        assert "how many went in? write a number" in shed.refusal
        shed.on_top(FormScreen)
        assert shed.entries() == []
        await shed.press("escape")
        await shed.go(SOAK)
        await shed.press("d", *"many", "tab", "tab", "tab", "enter")
        form = shed.on_top(FormScreen)
        assert "how many went in: must be 0 or more" in shed.refusal
        assert form.focused is form.query_one("#count")


async def test_later_is_two_keys(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("l", "enter")
        assert data(shed) == [("later", {"batch": "Z1", "step": "soak", "to": "2027-01-25"})]
        assert shed.plan("Z1").lot.later["soak"].isoformat() == "2027-01-25"
        assert TODAY.isoformat() == "2027-01-18"


async def test_hold_is_two_keys_once_a_reason_was_given(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("h", *"sand", "enter")
        await shed.press("h")  # it goes on
        await shed.press("h", "enter")
        assert data(shed)[-1] == ("hold", {"batch": "Z1", "step": "soak", "reason": "sand"})


async def test_a_bit_of_time_leaves_only_what_fits(demo: Callable[[date], Path]):
    on = date(2027, 2, 15)
    async with opened(demo(on), on) as shed:
        everything = set(shed.keys)
        await shed.press("b", "enter")
        await shed.pilot.pause()
        assert "of 40 minutes" in shed.foot
        assert set(shed.keys) < everything
        assert "spare time" in shed.foot
        await shed.press("escape")
        assert set(shed.keys) == everything


async def test_a_look_is_one_key(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(LOOKS)
        await shed.press("enter")
        await shed.go(LOOK_Z2)
        await shed.press("r")
        [(kind, told)] = data(shed)
        assert (kind, told["batch"], told["finding"]) == ("look", "Z2", "radicles")


async def test_a_new_batch_of_a_known_plant_is_at_most_fifteen_keys(tiny: Path):
    keys = ["4", "b", *"haz", "enter", "enter", *"400", "ctrl+s"]
    assert len(keys) <= 15
    async with opened(tiny) as shed:
        await shed.press(*keys)
        [(kind, told)] = data(shed)
        assert (kind, told["species"], told["count"]) == ("batch", "Corylus avellana", 400)
