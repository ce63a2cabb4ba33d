"""Every form: what is refused is said in it, the cursor is on the field that it is about, and nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeAlias

import pytest
from textual.widgets import Input, Label

from tests.engine.records.farms import STOCK
from tests.sampled import sampled
from tests.tui.farms import TINY, write_tiny
from tests.tui.screens.week.board import SOAK
from tests.tui.shed import Shed, opened
from tui.forms.correct import correct_form
from tui.forms.count import ask_count
from tui.forms.form import FormScreen
from tui.forms.saw import ask_day
from tui.screen import FarmScreen
from tui.screens.batches.screen import BatchesScreen
from tui.screens.needs.screen import NeedsScreen
from tui.screens.site import changing
from tui.screens.stock.screen import StockScreen
from tui.screens.tonight.recording import ask_hazard
from tui.screens.week import recording
from tui.screens.week.screen import WeekScreen
from tui.screens.week.spare import ask_spare

NEED = '[[need]]\nid = "HALE"\nspecies = "Fictus ripensis"\ncount = 12\nby = 2027-03-12\n'
P1 = "P1|1 L pot||standing ground"
Case: TypeAlias = tuple[dict[str, str], str, str]
"""What is typed, what is said of it, and the field on which the cursor then stands."""
STOCK_FORMS: dict[str, Sequence[Case]] = {
    "receive": [
        ({"species": "bankside fig", "count": "many", "source": "Ash"}, "must be 0 or more", "count"),
        ({"species": "bankside fig", "count": "0", "source": "Ash"}, "count", "count"),
        ({"species": "bankside fig", "count": "4", "place": "nowhere", "source": "Ash"}, "nowhere", "place"),
        ({"species": "bankside fig", "count": "4", "source": "Ash", "on": "2027-06-01"}, "still to come", "on"),
    ],
    "move": [({"count": "51", "to": "north bed"}, "50 in 1 L pots", "count"), ({"to": "nowhere"}, "nowhere", "to"),
             ({"to": ""}, "", "to"), ({"to": "north bed", "on": "soon"}, "is not a day", "on")],
    "pot_up": [({"count": "0"}, "", "count"), ({"to": "nowhere"}, "nowhere", "to")],
    "grade": [({"grades": "many"}, "not a grade with its count", "grades"), ({"grades": "first=900"}, "50", "grades")],
    "sell": [({"count": "51", "to": "Ash"}, "50 in 1 L", "count"), ({"to": "Ash", "need": "NONE"}, "NONE", "need")],
    "plant_out": [({"count": "0", "to": "the hedge"}, "", "count")],
    "lose": [({"count": "999", "cause": "mice"}, "50 in 1 L pots", "count")],
    "count": [({"count": "-4"}, "must be 0 or more", "count"), ({"on": "2028-01-01"}, "still to come", "on")],
}  # fmt: skip
BATCH: Sequence[Case] = [
    ({"count": "0"}, "from 1 to", "count"), ({"count": "a few"}, "must be 0 or more", "count"),
    ({"start": "soon"}, "is not a day", "start"), ({"start": ""}, "a start or a ready date", "start"),
    ({"ready": "2026-11-01"}, "is before start", "ready"), ({"method": "T-bud"}, "has T-bud", "method"),
    ({"places": "potting shed"}, "places: give 3", "places"),
    ({"places": "potting shed, celar, seed beds"}, "celar", "places"),
    ({"rootstock": "Quince A"}, "takes no rootstock", "rootstock"), ({"came": "soon"}, "is not a day", "came"),
]  # fmt: skip
NEEDS: Sequence[Case] = [
    ({"count": "0"}, "from 1 to", "count"), ({"by": "soon"}, "is not a day", "by"),
    ({"sure": "very"}, "say a share", "sure"), ({"sure": "100"}, "not between 0 and 100", "sure"),
]  # fmt: skip
PLACE: Sequence[Case] = [
    ({"name": "yard", "loss": "200"}, "200", "loss"), ({"name": "yard", "room": "many"}, "room", "room"),
    ({"name": "cold stroe"}, "cold store", "name"), ({"name": "yard", "cover": "perhaps"}, "yes or no", "cover"),
]  # fmt: skip
COUNTED: Sequence[Case] = [
    ({"count": "many"}, "must be 0 or more", "count"), ({"count": "3", "on": "2027-06-01"}, "still to come", "on"),
]  # fmt: skip
MENDED: Sequence[Case] = [
    ({"of_count": "many"}, "must be 0 or more", "of_count"), ({"on": "2027-06-01"}, "still to come", "on"),
]  # fmt: skip


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    return write_tiny(tmp_path, TINY + STOCK + NEED)


async def refused(shed: Shed, open_form: Callable[[], object], cases: Sequence[Case]) -> None:
    """Each case, typed into the form as it opens: what is said, and where the cursor then stands."""
    before = len(shed.entries())
    open_form()
    await shed.pilot.pause()
    form = shed.on_top(FormScreen)
    filled = {field.id or "": field.value for field in form.query(Input)}
    for given, told, field in cases:
        form.query_one(".refusal", Label).update("")
        form.query_one("#form").scroll_home(animate=False)
        form.query(Input).exclude(f"#{field}").first(Input).focus() if len(filled) > 1 else form.set_focus(None)
        await shed.fill(**{**filled, **given})
        await shed.save()
        assert shed.app.screen is form, given
        assert told in shed.refusal, (given, shed.refusal)
        assert len(shed.refusal) > 5, given
        assert isinstance(shed.app.focused, Input), given
        assert shed.app.focused.id == field, (given, shed.refusal)
        fault, seen = form.query_one(".refusal"), form.query_one("#form")
        assert seen.content_region.contains_region(fault.region), (given, shed.refusal)
        assert seen.content_region.contains_region(shed.app.focused.region), (given, field)
        assert len(shed.entries()) == before, given
    form.dismiss(False)
    await shed.pilot.pause()


async def on(shed: Shed, screen: type[FarmScreen], number: str, row: str) -> FarmScreen:
    await shed.press(number)
    await shed.pilot.pause()
    found = next(each for each in shed.app.screen_stack if isinstance(each, screen))
    assert isinstance(found, FarmScreen)
    found.list.go_to(row)
    await shed.pilot.pause()
    return found


async def test_forms_of_the_stock(farm: Path):
    async with opened(farm) as shed:
        screen = await on(shed, StockScreen, "2", P1)
        for name, cases in STOCK_FORMS.items():
            await refused(shed, lambda name=name: screen.action_record(name), cases)


async def test_forms_of_the_batches_and_of_what_was_recorded(farm: Path):
    async with opened(farm) as shed:
        screen = await on(shed, BatchesScreen, "4", "lot Z1")
        await refused(shed, screen.action_edit, BATCH)
        done = next(entry for entry in shed.app.house.entries if entry.kind == "done")
        await refused(shed, lambda: shed.app.push_screen(correct_form(screen, done, lambda _: None)), MENDED)


async def test_forms_of_the_needs_and_of_the_week(farm: Path):
    async with opened(farm) as shed:
        screen = await on(shed, NeedsScreen, "5", "need HALE")
        await refused(shed, screen.action_edit, NEEDS)
        week = await on(shed, WeekScreen, "1", "")
        await refused(shed, lambda: ask_count(week, "Z2", "bankside fig"), COUNTED)


@pytest.mark.parametrize("size", sampled([(60, 18), (80, 24)], 2), ids=str)
async def test_on_a_small_screen_the_fault_and_its_field_are_in_view(farm: Path, size: tuple[int, int]):
    async with opened(farm, size=size) as shed:
        screen = await on(shed, BatchesScreen, "4", "lot Z1")
        await refused(shed, screen.action_edit, BATCH)
        stock = await on(shed, StockScreen, "2", P1)
        for name in ("receive", "sell", "move"):
            await refused(shed, lambda name=name: stock.action_record(name), STOCK_FORMS[name])
        await refused(shed, lambda: changing.ask_place(stock, None), PLACE)


async def test_forms_of_one_field_keep_the_cursor_on_what_was_refused(farm: Path):
    async with opened(farm) as shed:
        week = await on(shed, WeekScreen, "1", SOAK)
        assert isinstance(week, WeekScreen)
        forms: Sequence[tuple[Callable[[], object], Sequence[Case]]] = [
            (lambda: recording.hold(week), [({"reason": ""}, "a reason", "reason")]),
            (lambda: recording.later(week), [({"to": "soon"}, "is not a day", "to"), ({"to": "2020-01-01"}, "", "to")]),
            (lambda: recording.note(week), [({"text": ""}, "empty", "text")]),
            (lambda: ask_spare(week), [({"minutes": "a few"}, "must be 1 or more", "minutes")]),
            (lambda: ask_day(week, "bud swell"), [({"on": "2028-01-01"}, "still to come", "on")]),
            (lambda: ask_hazard(week.app, lambda _: None), [({"coming": "hail"}, "hail", "coming")]),
            (lambda: changing.ask_hours(week), [({"hours": "often"}, "is not a month", "hours")]),
        ]
        for open_form, cases in forms:
            await refused(shed, open_form, cases)


async def test_enter_goes_on_as_tab_does_while_more_is_asked(farm: Path):
    async with opened(farm) as shed:
        screen = await on(shed, StockScreen, "2", P1)
        screen.action_record("receive")
        await shed.pilot.pause()
        form = shed.on_top(FormScreen)
        names = [field.id for field in form.query(Input)]
        for key in ("enter", "tab"):
            form.query(Input).first().focus()
            await shed.pilot.pause()
            for name in names[:-2]:
                assert shed.app.focused is not None
                assert shed.app.focused.id == name
                await shed.press(key)
        assert all(form.query_one(f"#{name}", Input).value == "" for name in ("count", "source"))
