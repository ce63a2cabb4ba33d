"""What is changed of a task to come: another way, held, put off, another chance, dropped."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.farms import MONTANA, TINY, TODAY, tell, write_tiny
from tests.tui.screens.week.board import COLD, LOOK_Z2, LOOKS, MISSED, SOAK, SWEEP, data, values
from tests.tui.shed import opened
from tui.forms.choice import ChoiceScreen
from tui.forms.form import FormScreen
from tui.screens.week.screen import WeekScreen


async def test_i_takes_another_way_for_what_was_missed(tmp_path: Path):
    """Seed of the scree fig missed its collecting in November; its layers are pegged down from April."""
    layers = MONTANA[MONTANA.index("[[protocol]]") :].replace('"seed"', '"simple layer"')
    layers = layers.replace("30 Nov", "1 May").replace("1 Nov", "1 Apr").replace('"collect"', '"peg down"')
    path = write_tiny(tmp_path, TINY + layers.replace('do = "sow"', 'do = "sever"'))
    async with opened(path) as shed:
        await shed.go(SOAK)
        await shed.press("i")
        assert "i: only where a window was missed" in shed.foot
        assert shed.entries() == []
        await shed.go(MISSED)
        assert "or simple layer: peg down 1 Apr" in " ".join(shed.text.split())
        await shed.press("i", "down", "enter")
        assert [kind for kind, _ in data(shed)] == ["batch", "drop"]
        assert MISSED not in shed.keys
        await shed.press("u")
        assert MISSED in shed.keys


async def test_h_holds_with_a_reason_and_again_goes_on(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("h")
        await shed.save()
        assert shed.refusal  # no reason was given
        await shed.press(*"sand", "enter")
        assert data(shed) == [("hold", {"batch": "Z1", "step": "soak", "reason": "sand"})]
        assert shed.row(SOAK).state == "held"
        await shed.press("h")
        assert data(shed)[1] == ("release", {"batch": "Z1", "step": "soak"})
        assert shed.row(SOAK).state == "open"


async def test_l_puts_off_within_the_window_and_says_in_the_form_why_not_beyond(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("l")
        assert values(shed.on_top(FormScreen)) == {"to": "2027-01-25"}
        await shed.fill(to="21 Mar")
        await shed.save()
        assert "20 Mar" in shed.refusal
        assert shed.entries() == []
        await shed.fill(to="15 Feb")
        await shed.save()
        assert data(shed) == [("later", {"batch": "Z1", "step": "soak", "to": "2027-02-15"})]
        assert SOAK not in shed.keys


async def test_a_accepts_the_next_chance_of_what_was_missed_and_of_nothing_else(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.do("accept")
        assert "missed" in shed.foot
        assert shed.entries() == []
        await shed.go(MISSED)
        await shed.press("a")
        assert data(shed) == [("accept", {"batch": "M1"})]
        assert MISSED not in shed.keys


async def test_x_keeps_unless_something_else_is_chosen(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("x")
        shed.on_top(ChoiceScreen)
        await shed.press("enter")
        assert isinstance(shed.app.screen, WeekScreen)
        await shed.press("x", "escape")
        assert (shed.entries(), shed.row(SOAK).state) == ([], "open")


@pytest.mark.parametrize(
    ("down", "entry", "gone"),
    [
        (1, {"batch": "Z1", "step": "soak"}, [SOAK]),
        (2, {"batch": "Z1"}, [SOAK, COLD]),
    ],
)
async def test_x_drops_the_step_or_the_lot(tiny: Path, down: int, entry: dict[str, str], gone: list[str]):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("x", *["down"] * down, "enter")
        assert data(shed) == [("drop", entry)]
        assert [key for key in (SOAK, COLD) if key not in shed.keys] == gone


async def test_x_on_the_last_step_that_is_left_leaves_every_screen_standing(tiny: Path):
    tell(tiny, "drop", TODAY, batch="M1", step="sow")
    async with opened(tiny) as shed:
        await shed.go(MISSED)
        await shed.press("x", "down", "enter")
        assert not [key for key in shed.keys if " M1 " in key]
        for screen in "234567":
            await shed.press(screen)
            await shed.pilot.pause()
        assert "M1" in shed.plan("M1").lot.id


FOR_TASKS = (
    (SOAK, "a", "a: only where a window was missed; this is soak of Z1, "),
    (SOAK, "i", "i: only where a window was missed; this is soak of Z1, "),
    (LOOK_Z2, "a", "a: only where a window was missed; this is a look"),
    (LOOK_Z2, "x", "x: only for a task still to do; this is a look"),
    (LOOK_Z2, "h", "h: only for a task still to do; this is a look"),
    (LOOK_Z2, "l", "l: only for a task still to do; this is a look"),
    (SWEEP, "x", "x: only for a task still to do; standing work comes round: d records it"),
)


async def test_a_key_says_for_which_tasks_it_is(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(LOOKS)
        await shed.press("enter")
        for line, key, told in FOR_TASKS:
            shed.screen.tell("")
            await shed.go(line)
            await shed.press(key)
            assert told in shed.foot
            shed.on_top(WeekScreen)
        assert shed.entries() == []
