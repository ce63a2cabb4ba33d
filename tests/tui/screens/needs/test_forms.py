"""What the keys of the needs screen record: a new need, a change, one that is withdrawn."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Static

from tests.tui.screens.cold.test_screen import written
from tests.tui.screens.needs.office import FARM, TODAY, to_office, write
from tests.tui.shed import Shed, in_turn, opened
from tui.forms.form import FormScreen
from tui.screens.needs.form import NeedForm
from tui.screens.needs.screen import NeedsScreen
from tui.typed_numbers import sureness_of


@pytest.fixture(name="home")
def _home(tmp_path: Path) -> Path:
    return write(tmp_path, *FARM)


async def test_b_begins_a_new_need_and_the_cursor_is_on_it(home: Path):
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        await office.press("b", *"arbor", "enter", "enter")
        form = shed.on_top(NeedForm)
        assert form.focused is not None
        assert form.focused.id == "count"
        await office.fill(count="25", by="12 Mar", sure="80", form="bare root", grade="first", who="Rowan")
        assert form.value("id") == "arbor-ficta-27"
        await office.press("enter", "enter", "enter", "enter", "enter", "enter")  # from how many to the id
        assert shed.entries() == []
        await office.press("enter")
        await office.settle()
        [(kind, data)] = written(home)
        assert kind == "need"
        assert data == {
            "need": "arbor-ficta-27", "species": "Arbor ficta", "form": "bare root", "grade": "first", "count": 25,
            "by": "2027-03-12", "sure": 0.8, "who": "Rowan",
        }  # fmt: skip
        assert office.here == "need arbor-ficta-27"
        assert office.states["arbor-ficta-27"] == "short 25"
        assert "wanted, 25 Arbor ficta" in office.foot


async def what_is_refused_of_a_new_need_is_said_in_the_form(shed: Shed) -> None:
    office = await to_office(shed)
    await office.press("b")
    await office.fill(species="arbor", count="25")
    await shed.refuses([
        ({"species": ""}, "which plant?"),
        ({"species": "qqqq"}, 'no plant is called "qqqq"'),
        ({"count": "many"}, "must be 0 or more"),
        ({"count": "0"}, "from 1 to"),
        ({"by": "2027-01-09"}, "has passed"),
        ({"by": "soon"}, "is not a day"),
        ({"sure": "very"}, "is not a certainty"),
        ({"sure": "100"}, "certainty 100 is not between 0 and 100"),
        ({"sure": "1"}, "certainty 1 is not between 0 and 100"),
        ({"id": "big"}, '"BIG" has already been used'),
    ])  # fmt: skip
    await office.press("escape")
    assert shed.entries() == []


async def up_and_down_choose_a_name_and_then_go_from_field_to_field(shed: Shed) -> None:
    office = await to_office(shed)
    await office.press("b", *"haz", "down")
    form = shed.on_top(NeedForm)
    assert "▸ American hazel" in str(form.query_one("#matches", Static).render())
    await office.press("enter")
    assert form.value("species") == "American hazel"
    await office.press("down")
    assert form.focused is not None
    assert form.focused.id == "count"
    await office.press("up")
    assert form.focused.id == "cultivar"


@pytest.mark.parametrize(("text", "share"), [("90", 0.9), ("99.5 %", 0.995), ("0.8", 0.8), ("87,5", 0.875)])
def test_how_surely_is_read_in_per_cent_or_as_a_share(text: str, share: float):
    assert sureness_of(text) == share


async def test_e_changes_a_need(home: Path):
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        await office.go("need BIG")
        await office.press("e")
        shed.on_top(FormScreen)
        await office.fill(count="50", by="", grade="first", who="Hale & Sons")
        await shed.save()
        await office.settle()
        assert written(home) == [
            ("amend", {"need": "BIG", "count": 50, "by": None, "grade": "first", "who": "Hale & Sons"})
        ]
        assert office.here == "need BIG"
        assert office.groups["whenever"] == ["BIG"]


async def test_x_withdraws_a_need_with_a_reason_and_u_brings_it_back(home: Path):
    async with opened(home, TODAY) as shed:
        office = await to_office(shed)
        await office.go("need BIG")
        await office.press("x", *"ill", "enter")
        await office.settle()
        assert written(home) == [("withdraw", {"need": "BIG", "reason": "ill"})]
        assert "BIG" not in office.states
        await office.press("u")
        await office.settle()
        assert "BIG" in office.states


async def what_a_planting_asks_for_is_not_changed_here(shed: Shed) -> None:
    office = await to_office(shed)
    await office.go("need hedge 1")
    for key in ("e", "x"):
        office.screen.tell("")
        await office.press(key)
        shed.on_top(NeedsScreen)
        assert "change the planting in the farm file" in office.foot


async def test_what_the_forms_of_needs_say_and_refuse(home: Path):
    async with opened(home, TODAY) as shed:
        await in_turn(
            shed,
            what_is_refused_of_a_new_need_is_said_in_the_form,
            up_and_down_choose_a_name_and_then_go_from_field_to_field,
            what_a_planting_asks_for_is_not_changed_here,
        )
