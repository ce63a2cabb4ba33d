"""`widger planting` and `widger walked`: the JSON of the design, the light by side and year, entries, refusals."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.almanac.sun import day_length
from tui.command import main

FARM = """[farm]
name = "Belt"
[site]
latitude = LAT
longitude = LON
timezone = "ZONE"
[site.last_frost]
"50%" = "LAST"
[site.first_frost]
"50%" = "FIRST"
[[planting]]
name = "belt"
by = 2026-12-01
[[planting.position]]
id = "T"
species = "Juglans regia"
at_m = [0.0, 10.0]
layer = "tall"
understudies = [
  {species = "Corylus avellana", at_m = [0.0, 14.0], id = "N"},
  {species = "Corylus avellana", at_m = [0.0, 6.0], id = "S"},
]
[[planting.position]]
id = "FAR"
species = "Corylus avellana"
at_m = [500.0, 0.0]
"""
NORTH = {"LAT": "52.31", "LON": "-2.94", "ZONE": "Europe/London", "LAST": "05-04", "FIRST": "10-12"}
SOUTH = {"LAT": "-43.5", "LON": "172.6", "ZONE": "Pacific/Auckland", "LAST": "10-20", "FIRST": "04-28"}


def written(tmp_path: Path, site: dict[str, str]) -> Path:
    text = FARM
    for name, value in site.items():
        text = text.replace(name, value, 1)
    path = tmp_path / "farm.toml"
    path.write_text(text, encoding="utf-8")
    return path


def told(capsys: pytest.CaptureFixture[str], *words: str) -> dict:
    assert main([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def positions(capsys: pytest.CaptureFixture[str], path: Path, on: str = "2027-06-01") -> dict[str, dict]:
    [planting] = told(capsys, "planting", str(path), "belt", "--on", on)["plantings"]
    return {each["id"]: each for each in planting["positions"]}


@pytest.mark.parametrize(("site", "pole", "equator"), [(NORTH, "N", "S"), (SOUTH, "S", "N")], ids=["north", "south"])
def test_the_pole_ward_side_has_less_light_than_the_other(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], site: dict[str, str], pole: str, equator: str
) -> None:
    found = positions(capsys, written(tmp_path, site))
    assert set(found) == {"T", "N", "S", "FAR"}
    for each in found.values():
        assert set(each["light_hours"]) == {"1", "5", "10", "20"}
    light = {name: each["light_hours"] for name, each in found.items()}
    day = day_length(float(site["LAT"]), float(site["LON"]), site["ZONE"], _longest(site)) / 60
    assert light["FAR"] == {age: pytest.approx(day, abs=0.03) for age in ("1", "5", "10", "20")}
    assert light[pole]["20"] < light[pole]["1"]
    assert light[pole]["20"] < light[equator]["20"]
    assert light[pole]["10"] < light[equator]["10"]
    assert light["T"]["20"] > light[pole]["20"]


def _longest(site: dict[str, str]) -> int:
    from datetime import date

    return date(2026, 6 if float(site["LAT"]) > 0 else 12, 21).toordinal()


def test_a_walk_is_an_entry_and_shows_in_the_state(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = written(tmp_path, NORTH)
    assert {each["state"] for each in positions(capsys, path).values()} == {"wanted"}
    entry = told(capsys, "walked", str(path), "belt", "t", "bearing", "--on", "2031-08-01")
    assert entry["kind"] == "walked"
    assert (entry["planting"], entry["position"], entry["state"]) == ("belt", "T", "bearing")
    told(capsys, "walked", str(path), "belt", "N", "dead", "--cause", "girdled", "--on", "2031-08-01")
    told(capsys, "walked", str(path), "belt", "S", "alive", "--on", "2031-08-01")
    found = positions(capsys, path, "2031-09-01")
    assert [found[name]["state"] for name in ("T", "N", "S", "FAR")] == ["bearing", "dead", "alive", "wanted"]
    assert found["N"]["cause"] == "girdled"
    assert set(found["N"]["bears_by"].values()) == {0}
    assert found["T"]["bears_by"]["2032"] > 0.9
    assert found["T"]["planted"] == "2026-12-01"
    assert positions(capsys, path, "2030-01-01")["T"]["state"] == "wanted"  # that day nobody knew
    assert main(["undo", str(path), "--on", "2031-09-01"]) == 0
    capsys.readouterr()
    assert positions(capsys, path, "2031-09-01")["S"]["state"] == "wanted"


def test_what_cannot_be_is_refused_with_its_reason(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = str(written(tmp_path, NORTH))
    for words, reason in (
        (("walked", path, "belt", "X", "alive"), "no position of belt"),
        (("walked", path, "blt", "T", "alive"), 'did you mean "belt"'),
        (("walked", path, "belt", "T", "bearin"), 'did you mean "bearing"'),
        (("walked", path, "belt", "T", "dead", "--cause", "girdld"), 'did you mean "girdled"'),
        (("walked", path, "belt", "T", "alive", "--cause", "frost"), "only a dead plant"),
        (("take-over", path, "belt", "N"), "is wanted"),
        (("planting", path, "hedge"), "no planting is called"),
    ):
        assert main([*words, "--on", "2027-06-01"]) == 2
        assert reason in capsys.readouterr().err


def test_the_sheet_names_every_plant_and_what_the_signs_mean(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = written(tmp_path, NORTH)
    assert main(["planting", str(path), "--on", "2027-06-01"]) == 0
    text = capsys.readouterr().out
    for word in ("BELT", "T ", "N ", "S ", "FAR", "English walnut", "understudy", "bears in", "dead"):
        assert word in text
    assert "4 plants in 2 places: 4 wanted" in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80
