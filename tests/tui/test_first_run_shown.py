"""What a first run shows: the whole of a step on a small screen, and examples of the farm's own half of the earth."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Input

from tests.tui.shed import screen_text
from tests.tui.test_first_run import answer
from tui.first_run import FirstRun
from tui.first_run_steps import STEPS
from tui.newfarm import NewFarm, write_new

ON = date(2026, 11, 10)


async def test_on_60_by_18_each_step_is_seen_whole(tmp_path: Path):
    given: list[dict[str, str]] = [{} for _ in STEPS]
    given[0], given[1] = {"where": "52.31, -2.94"}, {"last": "4 May", "first": "12 Oct"}
    given[-1] = {"b1": "400 hazel seed, held cold"}
    app = FirstRun(tmp_path / "farm.toml", ON)
    async with app.run_test(size=(60, 18)) as pilot:
        for step, fields in zip(STEPS, given, strict=True):
            await pilot.pause()
            assert app.query_one("#steps").max_scroll_y == 0, (step.title, screen_text(app))
            for name, text in fields.items():
                app.query_one(f"#{name}", Input).value = text
            await pilot.pause()
            await pilot.pause()
            shown = screen_text(app)
            assert app.query_one("#steps").max_scroll_y == 0, (step.title, shown)
            for words in (step.title, "Enter next", *fields.values()):
                assert words in shown, (step.title, words, shown)
            if app.at + 1 < len(STEPS):
                await answer(pilot, **fields)


async def test_a_farm_south_of_the_equator_is_shown_frost_dates_of_its_own_half_of_the_earth(tmp_path: Path):
    app = FirstRun(tmp_path / "farm.toml", ON)
    async with app.run_test(size=(80, 24)) as pilot:
        await answer(pilot, where="-41.29, 174.78")
        shown = screen_text(app)
        spring = next(line for line in shown.splitlines() if "last spring frost" in line)
        autumn = next(line for line in shown.splitlines() if "first autumn frost" in line)
        assert re.findall(r"\d+ ([A-Z][a-z]{2})", spring)[:1] == ["Oct"]
        assert re.findall(r"\d+ ([A-Z][a-z]{2})", autumn)[:1] == ["Apr"]
        assert not re.search(r"\d+ (Sep|Oct)", autumn)
        app.query_one("#last", Input).value = "8 Oct"
        app.query_one("#first", Input).value = "20 Apr"
        await pilot.pause()
        assert "last frost" in screen_text(app)
        assert "winter at latitude" not in screen_text(app)


@pytest.mark.parametrize(("latitude", "ready"), [(52.0, "ready = 2028-04-15"), (-41.0, "ready = 2028-10-15")])
def test_the_examples_in_a_new_file_are_of_the_farms_own_spring(tmp_path: Path, latitude: float, ready: str):
    path = tmp_path / "farm.toml"
    write_new(path, NewFarm(latitude=latitude, longitude=10.0), ON)
    assert f"# One table for each lot. start: nothing before this day; or {ready} (all done by then)." in (
        path.read_text(encoding="utf-8")
    )


@pytest.mark.parametrize("named", [True, False])
async def test_a_file_that_was_named_and_is_not_there_is_told_for_its_name_may_be_a_slip(tmp_path: Path, named: bool):
    app = FirstRun(tmp_path / "hill.toml", ON, named)
    async with app.run_test(size=(80, 24)) as pilot:
        assert ("There is no hill.toml yet" in screen_text(app)) is named
        await answer(pilot, where="52.31, -2.94")
        assert app.at == 1
        assert "hill.toml" not in screen_text(app)
