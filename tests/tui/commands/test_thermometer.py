"""`widger thermometer`, and what a record beside the farm file does to the other commands."""

import json
import tomllib
from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.reference.clemson import record_text
from tests.tui.conftest import Call

FARM = """\
[farm]
name = "Red Clay"
units = "us"
[site]
latitude = 34.66
longitude = -82.82
timezone = "America/New_York"
[site.last_frost]
"90%" = "03-17"
"50%" = "3 Apr"
[site.first_frost]
"50%" = "3 Nov"
"90%" = "11-21"
[site.temperature]
mean_max = [51.6, 55.8, 63.3, 71.8, 79.5, 86.7, 90.0, 88.7, 82.6, 72.7, 63.7, 53.8]
mean_min = [31.3, 35.2, 42.3, 50.0, 57.0, 63.9, 66.7, 65.7, 60.1, 50.9, 42.6, 33.1]
record = "thermometer.csv"
"""


@pytest.fixture
def clay(tmp_path: Path) -> Path:
    (tmp_path / "thermometer.csv").write_text(record_text(), encoding="utf-8")
    farm = tmp_path / "clay.toml"
    farm.write_text(FARM, encoding="utf-8")
    return farm


@pytest.fixture
def late(clay: Path) -> Path:
    """The same with the record of the last ten years alone, which is soon read."""
    head, *lines = record_text().splitlines()
    kept = [line for line in lines if line >= "2010"]
    (clay.parent / "thermometer.csv").write_text("\n".join([head, *kept]), encoding="utf-8")
    return clay


def test_it_says_what_the_record_says_and_writes_nothing(clay: Path, call: Call):
    before = {path: path.read_bytes() for path in clay.parent.iterdir() if path.is_file()}
    status, out, err = call("thermometer", clay, "--on", "2020-03-01", "--json")
    assert (status, err) == (0, "")
    data = json.loads(out)
    # NOAA GHCN daily, Clemson University SC, 1930 to 2020; its 1981-2010 normals are 3 Apr and 3 Nov (50 % chance)
    assert data["frost"]["last"] == {"90%": "03-19", "50%": "04-04", "10%": "04-20"}
    assert data["frost"]["first"] == {"90%": "11-16", "50%": "11-01", "10%": "10-17"}
    assert data["years"] == 86
    assert [len(data[key]) for key in ("mean_max", "mean_min")] == [12, 12]
    assert data["mean_max"][6] == pytest.approx(90.0, abs=0.3)  # degrees F, as the farm has it
    assert 1 <= data["lead_days"] <= 10
    [refused] = data["refused"]
    assert "1936-07-18" in refused["why"]
    assert record_text().splitlines()[refused["line"] - 1].startswith("1936-07-18,-72")
    assert {"year": 1963, "missing": 30} in data["left_out"]
    assert {path: path.read_bytes() for path in clay.parent.iterdir() if path.is_file()} == before


def test_what_it_prints_can_be_pasted(clay: Path, call: Call):
    status, out, _ = call("thermometer", clay, "--on", "2020-03-01")
    assert status == 0
    lines = out.splitlines()
    first = next(n for n, line in enumerate(lines) if line.startswith("coldest = "))
    last = next(n for n, line in enumerate(lines) if line.startswith("record = "))
    pasted = tomllib.loads("[site]\n" + "\n".join(lines[first : last + 1]))
    head = FARM[: FARM.index("[site.last_frost]")]
    clay.write_text(head + "\n".join(lines[first : last + 1]) + "\n", encoding="utf-8")
    assert pasted["site"]["last_frost"]["50%"] == "04-04"
    assert call("check", clay, "--on", "2020-03-01")[0] == 0
    assert max(map(len, lines)) <= 100


def test_only_what_came_before_the_day_counts(late: Path, call: Call):
    def lead(on: str) -> int | None:
        return json.loads(call("thermometer", late, "--on", on, "--json")[1])["lead_days"]

    assert lead("2012-04-10") > 5  # March 2012 was the warmest on record
    assert lead("2012-01-15") is None
    assert lead("2027-03-01") is None  # the record ends in 2020


def test_a_short_record_has_a_lead_and_no_frost_dates(clay: Path, call: Call):
    lines = record_text().splitlines()
    late = [line for line in lines[1:] if line >= "2018"]
    (clay.parent / "thermometer.csv").write_text("\n".join([lines[0], *late]), encoding="utf-8")
    data = json.loads(call("thermometer", clay, "--on", "2020-03-01", "--json")[1])
    assert (data["frost"], data["mean_max"], data["mean_min"]) == (None, None, None)
    assert data["lead_days"] is not None
    assert "need 10" in call("thermometer", clay, "--on", "2020-03-01")[1]


def test_dates_and_plans_are_of_this_season_and_say_so(late: Path, call: Call):
    def swell(on: str) -> dict[str, str]:
        data = json.loads(call("dates", late, "--year", "2012", "--on", on, "--json")[1])
        return next(mark for mark in data["marks"] if mark["name"] == "bud swell")

    plain, early, late = swell("2012-01-20"), swell("2012-02-15"), swell("2012-06-01")
    assert "thermometer" not in plain["from"]
    assert early["date"] < plain["date"]
    assert early["from"].endswith("days ahead by your thermometer")
    days = (date.fromisoformat(plain["date"]) - date.fromisoformat(late["date"])).days
    assert late["from"].endswith(f", {days} days ahead by your thermometer")


def test_a_farm_without_a_record_is_told_how_to_name_one(clay: Path, call: Call):
    clay.write_text(FARM.replace('record = "thermometer.csv"\n', ""), encoding="utf-8")
    status, out, err = call("thermometer", clay)
    assert (status, out) == (2, "")
    assert 'write record = "thermometer.csv" under [site.temperature]' in err


@pytest.mark.parametrize("text", [None, "", "2027-03-01,1,8\n", b"\xff\xfe\x00"])
def test_a_record_that_cannot_be_read_is_told_at_its_line_of_the_farm_file(clay: Path, call: Call, text: str | bytes):
    path = clay.parent / "thermometer.csv"
    path.unlink()
    if text is not None:
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    status, out, _ = call("check", clay, "--json")
    [problem] = json.loads(out)["problems"]
    assert status == 1
    assert problem["line"] == FARM[: FARM.index("record =")].count("\n") + 1
    assert problem["message"].startswith("record: ")
    assert "the header date,min,max" in problem["hint"]
    assert call("week", clay)[0] == 1  # told, and the board stands


def test_lines_that_are_refused_are_told_by_check_and_are_no_fault_of_the_farm(clay: Path, call: Call):
    today = date(2020, 12, 1)
    lines = ["date,min,max", *(f"{today - timedelta(days=n)},40,{60 if n else 'warm'}" for n in range(3))]
    (clay.parent / "thermometer.csv").write_text("\n".join(lines), encoding="utf-8")
    status, out, _ = call("check", clay, "--on", "2020-12-02")
    assert status == 0
    assert "thermometer.csv: 1 line is refused; `widger thermometer` shows why" in out
