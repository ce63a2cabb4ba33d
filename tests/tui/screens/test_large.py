"""What is made beside the screen where there are many lots is what is shown at once where there are few."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from threading import Event

import pytest
from textual.widgets import Input

from engine.acts import propagation
from engine.acts.action import Action, Refused
from engine.acts.marks_seen import saw
from engine.journal.store import journal_folder, read_journal
from engine.schedule.placing import Placement
from engine.schedule.plan import Day
from engine.views.ways import Preview, ways_view
from engine.views.week import week_view
from tests.sampled import sampled
from tests.tui.farms import tell
from tests.tui.shed import Shed, opened
from tui import farm_app, screen
from tui.farmhouse import Farmhouse, enter
from tui.forms import undo as undoing
from tui.forms.correct import show_entries
from tui.screen import WAITS
from tui.screens.batches.form import BatchForm
from tui.screens.site import file_lines

TODAY = date(2027, 3, 29)
KEYS = {"2": "Stock", "4": "Batches", "6": "Year", "7": "Site"}


def shown(shed: Shed) -> tuple[list[str], str, str]:
    """The lines of the screen in front, the one under the cursor, and what is told of it."""
    front = shed.app.screen
    assert isinstance(front, screen.FarmScreen)
    return [row.key for row in front.list.rows], front.list.rows[front.list.cursor].key, str(front.facts())


def dates(day: Day) -> list[tuple[str, Placement, Placement]]:
    """The dates of every lot."""
    return [(plan.lot.id, plan.meant, plan.now) for plan in day.plans]


@pytest.mark.parametrize("key", sampled(KEYS, 2))
async def test_a_screen_of_many_lots_shows_what_it_shows_of_few(
    key: str, demo: Callable[[date], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = demo(TODAY)
    async with opened(path, TODAY) as shed:
        await shed.press(key)
        await shed.app.workers.wait_for_complete()
        await shed.pilot.pause()
        assert KEYS[key] in shed.text
        few = shown(shed)
    monkeypatch.setattr(farm_app, "MANY", 0)
    async with opened(path, TODAY) as shed:
        await shed.press(key)
        await shed.until(lambda: WAITS not in shed.text, "it is shown")
        await shed.app.workers.wait_for_complete()
        await shed.pilot.pause()
        assert shown(shed) == few
        assert not shed.app.faults


async def test_a_mark_seen_dates_many_lots_anew_beside_the_board(
    demo: Callable[[date], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_app, "MANY", 0)
    async with opened(demo(TODAY), TODAY) as shed:
        before, board = shed.app.day(), shown(shed)
        shed.app.record(lambda n, _: saw(n.farm, n.almanac, "bud swell", date(2027, 3, 1), TODAY))
        assert shed.app.behind()
        assert shed.app.day() is before  # the board stays as it was, and its keys with it
        shed.screen.derive()
        assert shown(shed) == board
        await shed.until(lambda: not shed.app.behind(), "all is dated anew")
        await shed.app.workers.wait_for_complete()
        await shed.pilot.pause()
        anew = enter(shed.path, TODAY)
        assert isinstance(anew, Farmhouse)
        assert dates(shed.app.day()) == dates(anew.day(TODAY)) != dates(before)
        assert shed.screen.week is not None
        told, wanted = (
            [(t.lot, t.step, t.aim, t.latest, t.state) for t in week.tasks]
            for week in (shed.screen.week, week_view(anew.day(TODAY)))
        )
        assert told == wanted
        assert not shed.app.faults


async def test_the_keys_for_the_weeks_count_though_a_week_is_still_made(
    demo: Callable[[date], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_app, "MANY", 0)
    async with opened(demo(TODAY), TODAY) as shed:
        for _ in range(3):
            shed.screen.action_week(1)
        shed.screen.action_week(-1)
        there = TODAY + timedelta(14)
        await shed.until(lambda: shed.screen.week and shed.screen.week.start == there, "two weeks on")
        assert shed.screen.week.tasks == week_view(shed.app.day(), there).tasks
        shed.screen.action_this_week()
        assert shed.screen.week.start == TODAY  # it was made before
        assert not shed.app.faults


async def test_a_week_of_which_much_is_made_anew_is_made_beside_the_board(
    demo: Callable[[date], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_app, "MANY", 0)
    async with opened(demo(TODAY), TODAY) as shed:
        before = shed.screen.week
        assert before is not None
        lot = next(task.lot for task in before.tasks if task.plan is not None)
        shed.app.record(lambda n, _: propagation.note(propagation.find_lot(n.records, lot), "dry", TODAY))
        shed.screen.derive()
        assert shed.screen.week is before  # it stands until the other is made
        await shed.until(lambda: shed.screen.week is not before, "it is made")
        assert shed.screen.week is not None
        assert shed.screen.week.tasks == week_view(shed.app.day()).tasks
        assert not shed.app.faults


async def test_the_file_is_read_beside_the_form_that_asks_for_its_frost_dates(
    demo: Callable[[date], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    go, real = Event(), file_lines.written
    monkeypatch.setattr(farm_app, "MANY", 0)
    monkeypatch.setattr(file_lines, "MANY", 0)
    monkeypatch.setattr(file_lines, "written", lambda *words, **more: (go.wait(60), real(*words, **more))[1])
    async with opened(demo(TODAY), TODAY) as shed:
        file_lines.ask_frost(shed.screen)
        await shed.until(lambda: "still being read" in shed.text, "the form is there")
        await shed.fill(last="1 May")
        assert "still being read" in shed.text
        await shed.save()
        assert "still being read" in shed.refusal
        go.set()
        await shed.until(lambda: "bud swell" in shed.text, "what would move is told")
        assert not shed.refusal
        await shed.save()
        await shed.until(lambda: "05-01" in shed.text, "the lines are shown")
        assert not shed.app.faults


async def test_what_was_recorded_is_mended_beside_the_screen_where_the_journal_is_long(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_app, "AT_ONCE", 0)
    go, real = Event(), farm_app.record_all
    monkeypatch.setattr(farm_app, "record_all", lambda *words: (go.wait(60), real(*words))[1])
    async with opened(tiny, TODAY) as shed:
        app = shed.app
        go.set()
        note = app.record(lambda n, _: propagation.note(propagation.find_lot(n.records, "Z1"), "dry", TODAY))
        show_entries(shed.screen, "Z1")
        await shed.until(lambda: "dry" in shed.text, "the entries are listed")
        go.clear()
        await shed.press("enter")
        await shed.fill(of_text="wet")
        await shed.save()
        await shed.until(lambda: "working it out again" in shed.text)
        with pytest.raises(Refused, match="recorded last"):
            app.record(lambda n, _: propagation.note(propagation.find_lot(n.records, "Z1"), "dry", TODAY))
        await shed.press("x")
        assert "recorded last" in shed.refusal
        go.set()
        await shed.until(lambda: "wet" in shed.refusal, "it is corrected")
        lot = app.house.records.lot("Z1")
        assert lot is not None
        assert lot.notes[-1][1] == "wet"
        await shed.until(lambda: "was" in shed.text, "the list shows it")
        await shed.press("x")
        await shed.until(lambda: "undone:" in shed.refusal, "it is undone")
        assert note.id not in {entry.id for entry in app.house.standing}
        await shed.press("escape")
        app.record(lambda n, _: propagation.note(propagation.find_lot(n.records, "Z1"), "again", TODAY))
        assert app.house.entries == read_journal(journal_folder(tiny))[0]
        assert not app.faults


async def test_what_lies_far_back_is_undone_and_redone_beside_the_screen(tiny: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(farm_app, "AT_ONCE", -1)
    async with opened(tiny, TODAY) as shed:
        app = shed.app
        app.record(lambda n, _: propagation.note(propagation.find_lot(n.records, "Z1"), "dry", TODAY))
        app.made_on = dict.fromkeys((entry.id for entry in app.house.entries), app.here())
        for key, told in (("u", "undone: "), ("U", "redone: "), ("U", "there is nothing to redo"), ("u", "undone: ")):
            await shed.press(key)
            await shed.until(lambda told=told: told in shed.foot, told)
        assert [entry.kind for entry in shed.entries()] == ["note", "undo", "undo", "undo"]
        lot = app.house.records.lot("Z1")
        assert lot is not None
        assert not lot.notes
        monkeypatch.setattr(undoing, "take_back", refuse)
        app.record(lambda n, _: propagation.note(propagation.find_lot(n.records, "Z1"), "wet", TODAY))
        app.made_on[app.house.entries[-1].id] = app.here()
        await shed.press("u")
        await shed.until(lambda: "it rests on more" in shed.foot, "it is refused")
        assert shed.entries()[-1].kind == "note"
        assert not app.faults


def refuse(*_: object) -> Action:
    raise Refused("it rests on more")


async def test_what_may_not_be_mended_is_refused_beside_the_screen_too(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_app, "AT_ONCE", 0)
    async with opened(tiny, TODAY) as shed:
        shed.app.record(lambda n, _: propagation.note(propagation.find_lot(n.records, "Z1"), "dry", TODAY))
        show_entries(shed.screen, "Z1")
        await shed.until(lambda: "dry" in shed.text, "the entries are listed")
        before = shed.entries()
        await shed.press("enter")
        await shed.save()
        await shed.until(lambda: "nothing changes" in shed.refusal)
        await shed.press("escape")
        show_entries(shed.screen, "Z9")
        await shed.until(lambda: "nothing was recorded yet" in shed.text)
        await shed.press("x", "escape")
        assert shed.entries() == before
        assert not shed.app.faults


def told(way: Preview) -> tuple[object, ...]:
    """What a way says of itself; its chain and almanac are compared by themselves."""
    return way.title, way.first, way.ready, way.likely, way.sure, way.hours, way.says()


async def test_the_ways_of_a_new_batch_are_dated_beside_the_form(
    demo: Callable[[date], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_app, "MANY", 0)
    async with opened(demo(TODAY), TODAY) as shed:
        form = BatchForm(shed.screen)
        await shed.app.push_screen(form)
        form.query_one("#species", Input).value = "grape"
        await shed.pilot.pause()
        form.query_one("#count", Input).value = "40"
        await shed.until(lambda: form.asked and form.asked[2] == 40, "the ways are dated")
        assert form.species is not None
        found = [told(row.way) for row in form.ways.rows]
        assert found == [told(way) for way in ways_view(shed.app.day(), form.species, "", 40, TODAY, None)]
        assert form.value("id")
        form.action_save()
        assert shed.entries()[-1].data["count"] == 40
        assert not shed.app.faults


async def test_what_another_device_recorded_is_taken_up_beside_the_screen(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(farm_app, "AT_ONCE", 0)
    async with opened(tiny, date(2027, 3, 11)) as shed:
        tell(tiny, "note", date(2027, 3, 11), device="office", batch="Z1", text="from the office")
        shed.app._watch()
        shed.app._watch()  # it is being read: once is enough
        await shed.do("note")
        await shed.fill(text="from the shed")
        await shed.save()
        await shed.until(lambda: len(shed.app.house.entries) == 6, "what both recorded is there")
        assert shed.app.house.entries == read_journal(journal_folder(tiny))[0]
        assert not shed.app.faults
