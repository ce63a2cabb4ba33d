"""The week screen where something is amiss: odd names, odd farms, a broken file, a full disk, another device."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from rich.cells import cell_len

from engine.journal import store
from tests.sampled import sampled
from tests.tui.farms import FROST, MONTANA, PLACES, RIPENSIS, SITE, STANDING, TINY, TODAY, batch, tell, write_tiny
from tests.tui.screens.week.board import COLD, LOOKS, MISSED, SOAK
from tests.tui.shed import Shed, bindings, opened
from tui.facts import Facts
from tui.forms.choice import ChoiceScreen
from tui.forms.form import FormScreen
from tui.forms.page import PageScreen
from tui.screens.week.screen import WeekScreen

MARKUP = ["[/]a[1] \\[ [[ $[", "[@click=app.quit]go", "[red]x[/b]"]
"""Words that would break, do something or lose some of themselves, were they taken for markup."""


def named(name: str) -> str:
    """The tiny farm with a name of the grower's own in every place that takes one (as TOML writes it)."""
    quoted = '"' + name.replace("\\", "\\\\").replace('"', '\\"') + '"'
    bare = TINY.replace('id = "Z3"\n', f'id = {quoted[:-1]}3"\n').replace('"Pale"', quoted)
    bare = bare.replace('"bankside fig"', quoted).replace('"sweep the floor"', quoted).replace('"stock beds"', quoted)
    bare = bare.replace('"Stains the hands: wear gloves."', quoted).replace('"Hollow Lane"', quoted)
    return bare.replace('id = "Z1"\n', f'id = "Z1"\nnote = {quoted}\n')


@pytest.mark.parametrize("name", sampled(MARKUP, 3))
async def test_markup_in_the_growers_names_is_shown_as_it_is_written(tmp_path: Path, name: str):
    farm = write_tiny(tmp_path, named(name), history=False)
    tell(farm, "note", TODAY, batch="Z1", text=f"note {name}")
    async with opened(farm, size=(120, 40)) as shed:
        for key in shed.keys:
            await shed.go(key)
            assert isinstance(shed.app.screen, WeekScreen)
        assert shed.text.count(name) >= 5
        await shed.go(SOAK)
        assert f"note {name}" in shed.app.screen.query_one(Facts).told.replace("\n", " ")
        for act, kind in (("done", FormScreen), ("hold", FormScreen), ("drop", ChoiceScreen), ("note", FormScreen)):
            await shed.do(act)
            shed.on_top(kind)
            assert name in shed.text
            await shed.press("escape")
        await shed.do("details")
        shed.on_top(PageScreen)
        assert name in shed.text
        await shed.press("escape")
        await shed.do("find")
        shed.screen.query_one("#find").value = name  # type: ignore[attr-defined]
        await shed.pilot.pause()
        assert name in shed.foot


@pytest.mark.parametrize("name", sampled(MARKUP, 3))
async def test_markup_in_what_is_typed_is_recorded_and_said_as_it_is_typed(tiny: Path, name: str):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.do("note")
        await shed.fill(text=name)
        await shed.save()
        assert name in shed.foot
        await shed.do("hold")
        await shed.fill(reason=name)
        await shed.save()
        await shed.do("done")
        await shed.fill(count=name)
        await shed.save()
        assert name in shed.refusal
        assert [entry.data.get("text") or entry.data.get("reason") for entry in shed.entries()] == [name, name]


@pytest.mark.parametrize(
    "name",
    sampled(["栗の木の苗床の長い名前です", "fig 🌱", "x" * 200, "e\u0301", "\u200b", "tab\tbed", "two\nlines"], 3),
)
async def test_names_of_any_width_keep_to_the_screen(tmp_path: Path, name: str):
    text = TINY.replace('"Pale"', f"'''{name}'''").replace('"bankside fig"', f"'''{name}'''")
    async with opened(write_tiny(tmp_path, text, history=False), size=(80, 24)) as shed:
        for key in shed.keys:
            await shed.go(key)
            assert len(shed.text.splitlines()) <= 24
            assert max(cell_len(line) for line in shed.text.splitlines()) <= 80
        await shed.go(SOAK)
        assert any("Z1" in line and "100" in line for line in shed.text.splitlines())


async def test_an_empty_farm_has_an_empty_board_and_every_key_is_safe(tmp_path: Path):
    async with opened(write_tiny(tmp_path, SITE, history=False), size=(80, 24)) as shed:
        assert shed.keys == []
        assert shed.board.row is None
        for binding in bindings():
            if binding.id not in ("quit", "find"):
                await shed.do(binding.id or "")
                if not isinstance(shed.app.screen, WeekScreen):
                    await shed.press("escape")
        for key in ("down", "up", "pagedown", "pageup", "home", "end", "enter"):
            await shed.press(key)
        assert shed.entries() == []


async def test_a_frost_free_farm_has_its_week_and_no_frost(tmp_path: Path):
    text = TINY.replace(FROST, "")
    async with opened(write_tiny(tmp_path, text, history=False)) as shed:
        assert SOAK in shed.keys
        assert "first frost" not in shed.text
        assert "last frost" not in shed.text


async def test_300_tasks_are_a_board_like_any_other(tmp_path: Path):
    lots = "".join(batch(f"L{n}", more=f'cultivar = "number {n}"') for n in range(300))
    text = SITE + FROST + PLACES + STANDING + lots + RIPENSIS
    async with opened(write_tiny(tmp_path, text, history=False)) as shed:
        soaks = [key for key in shed.keys if " soak " in key]
        assert len(soaks) == 300
        await shed.press("end", "home", "pagedown")
        await shed.go("act L299 soak potting shed")
        assert "L299" in shed.text
        await shed.do("done")
        await shed.save()
        assert shed.row("act L299 soak potting shed").state == "done"
        await shed.do("find")
        shed.screen.query_one("#find").value = "number 77"  # type: ignore[attr-defined]
        await shed.pilot.pause()
        assert [key for key in shed.keys if key.startswith("act")] == [
            "act L77 soak potting shed", "act L77 stratify cold cold store"
        ]  # fmt: skip


async def test_a_lot_that_nothing_fits_stands_on_the_board_with_the_reason(tmp_path: Path):
    # 95 days of cold from 10 March at the earliest end on 13 June, when sowing has closed.
    text = TINY.replace("lasts_days = [30, 90]", "lasts_days = [95, 100]").replace(
        'opens = ["1 Dec"]', 'opens = ["10 Mar"]'
    )
    async with opened(write_tiny(tmp_path, text, history=False), size=(80, 24)) as shed:
        assert MISSED in shed.keys
        [trouble] = [key for key in shed.keys if "Z1" in key]
        await shed.go(trouble)
        assert "13 Jun" in shed.text
        for act in ("done", "hold", "look_nothing", "note", "drop", "details"):
            await shed.do(act)
            assert isinstance(shed.app.screen, WeekScreen)
        assert shed.entries() == []


# -- the disk


async def test_a_farm_file_broken_while_it_is_open_is_said_and_the_board_stands(tiny: Path):
    async with opened(tiny) as shed:
        before = shed.keys
        whole = tiny.read_text(encoding="utf-8")
        tiny.write_text(whole + "\n[[batch]\n", encoding="utf-8")
        shed.app._watch()
        await shed.pilot.pause()
        assert "check" in shed.foot
        assert shed.keys == before
        tiny.write_text(whole + batch("Z7"), encoding="utf-8")
        shed.app._watch()
        await shed.pilot.pause()
        assert "act Z7 soak potting shed" in shed.keys


async def test_a_farm_file_that_is_gone_is_said_and_the_board_stands(tiny: Path):
    async with opened(tiny) as shed:
        before = shed.keys
        tiny.unlink()
        shed.app._watch()
        await shed.pilot.pause()
        assert "check" in shed.foot
        assert shed.keys == before


async def test_what_another_device_recorded_shows_up_and_the_cursor_stays(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(COLD)
        tell(tiny, "done", TODAY, device="office", batch="Z1", step="soak", count=91)
        shed.app._watch()
        await shed.pilot.pause()
        assert (shed.row(SOAK).state, shed.row(SOAK).tasks[0].count) == ("done", 91)
        assert shed.board.row is not None
        assert shed.board.row.key == COLD
        assert shed.row(COLD).state == "open"


async def test_entries_that_are_gone_from_the_disk_are_said_once(tiny: Path):
    """As on a disk that was drawn out, or by a sync that went wrong."""
    async with opened(tiny) as shed:
        folder, entries = store.journal_folder(tiny), len(shed.app.house.entries)
        folder.rename(folder.with_suffix(".aside"))
        await shed.go(SOAK)
        await shed.do("note")
        await shed.fill(text="still here")
        await shed.save()
        shed.app._watch()
        told = " ".join(note.message for note in shed.app._notifications)
        assert told.count(f"{entries} entries that could be read before cannot be read in {folder}") == 1
        (noted,) = shed.entries()
        assert noted.data["text"] == "still here"


async def test_the_disk_is_watched_without_being_asked(tiny: Path):
    async with opened(tiny) as shed:
        tell(tiny, "drop", TODAY, device="office", batch="M1")
        await shed.until(lambda: MISSED not in shed.keys, "the lot that the other device dropped is on the board")


async def test_what_arrives_before_a_screen_is_drawn_or_as_it_goes_harms_nothing(tiny: Path):
    async with opened(tiny) as shed:
        tell(tiny, "drop", TODAY, device="office", batch="M1")
        shed.app.action_go("needs")
        assert not shed.app.screen.query("#head")  # it is composed a moment later
        shed.app._watch()
        await shed.pilot.pause()
        assert "M1" not in {plan.lot.id for plan in shed.app.plans()}
        tell(tiny, "drop", TODAY, device="office", batch="Z1")
        await shed.app.screen.remove_children()
        shed.app._watch()
        assert "Z1" not in {plan.lot.id for plan in shed.app.plans()}


async def test_a_form_stays_open_while_another_devices_line_arrives(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.do("note")
        await shed.fill(text="half written")
        tell(tiny, "drop", TODAY, device="office", batch="M1")
        shed.app._watch()
        await shed.pilot.pause()
        await shed.save()
        assert [entry.data["text"] for entry in shed.entries()] == ["half written"]
        assert MISSED not in shed.keys


async def test_a_damaged_line_of_the_journal_is_said_at_the_start(tiny: Path):
    file = store.journal_folder(tiny) / "office.jsonl"
    file.write_bytes(b'{"v":1,"id":"office-1"\n')
    async with opened(tiny) as shed:
        assert "check" in shed.foot
        assert SOAK in shed.keys


@pytest.fixture
def full_disk(tiny: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    def write(file: int, data: bytes) -> int:
        raise OSError(28, os.strerror(28))

    with monkeypatch.context() as patched:
        patched.setattr(store.os, "write", write)
        yield tiny


async def test_a_full_disk_is_said_and_nothing_changes(full_disk: Path):
    async with opened(full_disk) as shed:
        await unwritable(shed)


async def test_a_journal_that_cannot_be_written_is_said_and_nothing_changes(tiny: Path):
    (store.journal_folder(tiny) / "bench.jsonl").mkdir()
    async with opened(tiny) as shed:
        await unwritable(shed)


async def unwritable(shed: Shed) -> None:
    before, keys = shed.app.house.entries, shed.keys
    await shed.go(LOOKS)
    await shed.do("look_nothing")
    assert "written" in shed.foot
    await shed.go(SOAK)
    await shed.do("done")
    await shed.save()
    assert isinstance(shed.app.screen, FormScreen)  # what was typed is not lost
    assert "written" in shed.refusal
    await shed.press("escape")
    assert (shed.app.house.entries, shed.keys, shed.row(SOAK).state) == (before, keys, "open")


async def test_a_lot_that_left_the_farm_file_is_said_when_it_is_recorded(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(MISSED)
        await shed.do("note")
        await shed.fill(text="late")
        text = "".join((SITE, FROST, PLACES, batch("Z1"), RIPENSIS, MONTANA))
        tiny.write_text(text, encoding="utf-8")
        shed.app._watch()
        await shed.save()
        assert "M1" in shed.refusal
        assert shed.entries() == []


async def test_a_week_far_ahead_can_be_shown(tiny: Path):
    async with opened(tiny) as shed:
        shed.screen.day = date(2090, 4, 3)
        shed.screen.derive()
        await shed.pilot.pause()
        assert "Apr 90" in shed.text
