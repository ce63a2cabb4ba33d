"""The command: its exit status, where it says what, and which farm it means."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from rich.cells import cell_len

from engine.views.week import week_view
from tests.sampled import sampled, slow
from tests.tui.conftest import Call
from tests.tui.farms import TINY, TODAY, open_house, tell, write_tiny
from tui.commands import NAMES

MONTHS = [date(2026 + (m > 12), (m - 1) % 12 + 1, 9) for m in range(9, 21)]


def test_a_good_farm_exits_with_0_and_says_nothing_on_standard_error(call: Call, tiny: Path):
    for command in ("week", "plan", "dates", "check"):
        status, out, err = call(command, tiny, "--on", TODAY)
        assert (status, err) == (0, ""), command
        assert out.strip()


def test_a_farm_with_problems_exits_with_1_and_still_shows_the_rest(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path, TINY.replace("count = 80", "count = -8"), history=False)
    status, out, err = call("week", farm, "--on", TODAY)
    assert status == 1
    assert "soak" in out
    assert str(farm) in err
    assert "count" in err
    assert str(farm) not in out


def test_the_version_is_that_of_the_project(call: Call):
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    status, out, err = call("--version")
    assert (status, out, err) == (0, f"widger {project['version']}\n", "")


@pytest.mark.parametrize("command", ["week", "plan", "dates", "check", "undo", "open"])
@pytest.mark.parametrize("farm", ["nowhere.toml", "broken.toml"])
def test_a_file_that_cannot_be_used_exits_with_2(call: Call, command: str, farm: str):
    Path("broken.toml").write_text("[farm\nname = 1\n", encoding="utf-8")
    status, out, err = call(command, farm)
    assert status == 2
    if command != "check":
        assert out == ""
    assert farm in out + err


@pytest.mark.parametrize(
    "words",
    [
        ("week", "--on", "yesterday"),
        ("week", "--on", "2027-02-30"),
        ("week", "--on", "0001-01-01"),
        ("week", "--on", "9999-12-31"),
        ("demo", "--write-only", "--on", "9999-12-31"),
        ("later", "Z1", "soak", "9999-12-31"),
        ("dates", "--year", "0"),
        ("dates", "--year", "9999"),
        ("dates", "--year", "12345"),
        ("week", "--sideways"),
        ("week", "farm.toml", "foo"),
        ("check", "farm.toml", "junk"),
        ("stock", "farm.toml", "S2"),
        ("done", "Z1"),
        ("done", "a", "b", "c", "d"),
        ("done", "Z1", "soak", "--count", "many"),
        ("later", "Z1", "soak", "soon"),
        ("dates", "--year", "MMXX"),
    ],
)
def test_a_call_that_cannot_be_understood_exits_with_2_and_writes_nothing(call: Call, tiny: Path, words, monkeypatch):
    monkeypatch.setenv("WIDGER_FARM", str(tiny))
    status, out, err = call(*words)
    assert (status, out) == (2, "")
    assert err
    assert not (tiny.parent / "hollow.records" / "bench.jsonl").exists()


def test_a_misspelt_command_is_told_with_the_near_one(call: Call):
    for wrong, right in (("wek", "week"), ("chekc", "check"), ("pln", "plan"), ("undoo", "undo")):
        status, out, err = call(wrong)
        assert (status, out) == (2, "")
        assert f'"{right}"' in err


def test_the_farm_is_the_one_given_else_the_one_of_the_setting_else_the_one_that_lies_here(
    call: Call, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    farms = {}
    for name in ("given", "named", "here"):
        (tmp_path / name).mkdir()
        text = TINY.replace("Hollow Lane", f"Farm {name}")
        farms[name] = write_tiny(tmp_path / name, text, history=False).rename(tmp_path / name / "farm.toml")
    monkeypatch.chdir(tmp_path / "here")
    assert "Farm here" in call("week", "--on", TODAY)[1]
    monkeypatch.setenv("WIDGER_FARM", str(farms["named"]))
    assert "Farm named" in call("week", "--on", TODAY)[1]
    assert "Farm given" in call("week", farms["given"], "--on", TODAY)[1]
    assert call("note", "Z1", "to the named", "--on", TODAY)[0] == 0
    assert (tmp_path / "named" / "farm.records").exists()
    assert not (tmp_path / "here" / "farm.records").exists()


@pytest.mark.parametrize("command", ["week", "open", "check"])
def test_where_no_farm_is_named_or_lies_here_new_is_offered(call: Call, command: str):
    status, out, err = call(command)
    assert (status, out) == (2, "")
    assert "widger new" in err


def test_the_screens_need_a_terminal(call: Call, tiny: Path, monkeypatch: pytest.MonkeyPatch):
    class NoTerminal:
        def isatty(self) -> bool:
            return False

    monkeypatch.setattr(sys, "stdin", NoTerminal())
    status, out, err = call(tiny, "--on", TODAY)
    assert (status, out) == (2, "")
    assert "widger week" in err


def test_a_day_alone_opens_the_screens_on_it(call: Call, tiny: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("WIDGER_FARM", str(tiny))
    status, _, err = call("--on", "2027-03-02")
    assert status == 2
    assert "the screens need a terminal" in err


def test_on_stands_for_today(call: Call, tiny: Path):
    winter, spring = call("week", tiny, "--on", "2027-01-18")[1], call("week", tiny, "--on", "2027-04-01")[1]
    assert "18 Jan" in winter.splitlines()[0]
    assert "sow" not in winter
    assert "sow" in spring


@pytest.mark.parametrize("day", sampled(MONTHS, 5), ids=str)
def test_what_is_printed_of_the_demo_fits_80_columns_and_has_no_escape_codes(
    call: Call, demo_of: Callable[[date], Path], day: date
):
    farm = demo_of(day)
    for words in (("week",), ("plan",), ("plan", "--batch", f"T{day.year % 100 - (day.month < 9)}"), ("dates",)):
        status, out, err = call(words[0], farm, *words[1:], "--on", day)
        assert (status, err) == (0, "")
        assert "\x1b" not in out
        assert [line for line in out.splitlines() if cell_len(line) > 80] == []


@pytest.mark.parametrize("days", [MONTHS[::5], pytest.param(MONTHS, marks=slow)], ids=len)
def test_a_caution_stands_once_in_each_place_of_the_printed_week(
    call: Call, demo_of: Callable[[date], Path], days: list[date]
):
    told = 0
    for day in days:
        for place in call("week", demo_of(day), "--on", day)[1].split("OF THESE PLANTS")[0].split("\n\n"):
            text = " ".join(place.split())
            cautions = [each.split(" [", 1)[0] for each in text.split(" ! ")[1:]]
            assert len(cautions) == len(set(cautions)), place
            told += len(cautions)
    assert told > 2 * len(days)


def test_radicles_seen_are_told_in_the_printed_week(call: Call, tiny: Path):
    tell(tiny, "look", date(2027, 1, 25), batch="Z2", step="stratify cold", finding="radicles")
    out = call("week", tiny, "--on", "2027-01-26")[1]
    assert "radicles seen 25 Jan before sow opens" in " ".join(out.split())


def test_a_lots_label_is_never_cut_off_in_the_printed_week(call: Call, demo_of: Callable[[date], Path]):
    for day in MONTHS[::5]:
        house = open_house(demo_of(day))
        week = week_view(house.day(day))
        boxed = [line for line in call("week", house.path, "--on", day)[1].splitlines() if line.startswith("[")]
        boxed = [line for line in boxed if not line.startswith("[ ] send ")]  # a parcel is no lot
        tasks = [task for _, tasks in week.places() for task in tasks]
        assert len(boxed) == len(tasks)
        for line, task in zip(boxed, tasks, strict=True):
            assert not task.lot or task.lot in line.split(), line


def test_new_writes_a_farm_that_has_no_problems_and_something_to_do(call: Call):
    status, out, _ = call("new", "first.toml", "--on", "2026-11-10")
    assert status == 0
    assert "first.toml" in out
    assert call("check", "first.toml", "--on", "2026-11-10")[0] == 0
    assert "elder" in call("week", "first.toml", "--on", "2026-11-10")[1]


def test_new_never_overwrites(call: Call, tiny: Path):
    before = tiny.read_bytes()
    status, out, err = call("new", tiny)
    assert (status, out) == (2, "")
    assert str(tiny) in err
    assert tiny.read_bytes() == before


def test_new_without_a_name_writes_farm_toml_once(call: Call):
    assert call("new", "--name", 'The "Old" Yard')[0] == 0
    assert 'The \\"Old\\" Yard' in Path("farm.toml").read_text(encoding="utf-8")
    assert call("new")[0] == 2


def test_new_into_a_folder_that_is_not_there_is_told(call: Call):
    status, _, err = call("new", "nowhere/farm.toml")
    assert status == 2
    assert "nowhere" in err


def test_demo_write_only_writes_a_copy_and_prints_where(call: Call, tmp_path: Path):
    status, out, err = call("demo", "--write-only", "--folder", tmp_path / "scratch", "--on", TODAY)
    assert (status, err) == (0, "")
    path = Path(out.strip())
    assert path.parent == tmp_path / "scratch"
    assert call("check", path, "--on", TODAY)[0] == 0


def test_every_command_tells_its_words(call: Call):
    for command in NAMES:
        status, out, _ = call(command, "--help")
        assert status == 0
        assert f"widger {command}" in out


def test_a_reader_that_goes_away_is_no_fault(tiny: Path):
    child = subprocess.Popen(
        [sys.executable, "-m", "tui.start", "dates", str(tiny), "--json"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert child.stdout is not None
    assert child.stderr is not None
    child.stdout.read(10)
    child.stdout.close()
    complaint = child.stderr.read()
    child.stderr.close()
    assert (child.wait(20), complaint) == (0, b"")


CIRCLE = """
[[protocol]]
species = "Fictus nova"
method = "seed"
whole = true
[[protocol.step]]
do = "soak"
after = ["sow"]
[[protocol.step]]
do = "sow"
[[batch]]
id = "N1"
species = "Fictus nova"
method = "seed"
count = 10
start = 2027-01-01
"""


def test_a_batch_whose_steps_wait_in_a_circle_is_not_called_unknown(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path, TINY + CIRCLE, history=False)
    status, out, err = call("plan", farm, "--batch", "N1", "--on", TODAY)
    assert (status, out) == (2, "")
    assert "N1 cannot be dated" in err
    assert call("check", farm, "--on", TODAY)[0] == 1


def test_a_lot_that_was_given_up_has_no_plan_and_says_so(call: Call, tiny: Path):
    assert call("drop", tiny, "Z1", "--on", TODAY)[0] == 0
    status, out, err = call("plan", tiny, "--batch", "Z1", "--on", TODAY)
    assert (status, out) == (2, "")
    assert "Z1 was dropped" in err


def test_a_week_that_begins_on_sunday_has_the_number_of_most_of_its_days(call: Call, tmp_path: Path):
    """ISO 8601: 4 January lies in week 1; in 2027 that is a Monday, and Sunday 3 January still in week 53 of 2026."""
    sundays = TINY.replace("[farm]", '[farm]\nweek_starts = "sunday"')
    farm = write_tiny(tmp_path, sundays, history=False)
    assert "week 1, Sun 3 Jan to Sat 9 Jan 2027" in call("week", farm, "--on", "2027-01-05")[1]


def test_frost_that_is_a_day_off_is_in_1_day(call: Call, tiny: Path):
    assert "last frost 4 May (50 % chance), in 1 day\n" in call("week", tiny, "--on", "2027-05-03")[1]
