"""Two devices on one farm: each is told what the other did since, what both took, and whose clock is wrong."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from engine.journal.entry import Entry, instant, to_line
from engine.journal.store import journal_folder
from tests.engine.records.farms import STOCK
from tests.tui.conftest import Call
from tests.tui.farms import TINY
from tests.tui.shed import opened
from tui import door
from tui.news_seen import read_seen, write_seen

NOW = datetime(2027, 3, 11, 9, 30, tzinfo=UTC)
DAY = NOW.date()
POTS = {"lot": "P1", "form": "1 L pot", "grade": "", "place": "standing ground"}


@pytest.fixture
def farm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The tiny farm with 50 pots of P1, on a device called bench."""
    monkeypatch.setattr(door, "instant", lambda: NOW)
    path = tmp_path / "hollow.toml"
    path.write_text(TINY + STOCK, encoding="utf-8")
    return path


def write(path: Path, device: str, *told: tuple[datetime, str, dict[str, object]]) -> None:
    folder = journal_folder(path)
    folder.mkdir(exist_ok=True)
    with (folder / f"{device}.jsonl").open("ab") as file:
        for at, kind, data in told:
            file.write(to_line(Entry(f"{device}-{file.tell():06x}", at.isoformat(), min(at, NOW).date(), kind, data)))


def sold(minutes: int, count: int, to: str) -> tuple[datetime, str, dict[str, object]]:
    return NOW - timedelta(minutes=minutes), "sell", {**POTS, "count": count, "to": to}


def test_what_the_other_did_since_is_counted_and_told_once(farm: Path, call: Call):
    write(farm, "lamp", sold(60, 1, "Ann"), sold(50, 1, "Bo"))
    write(farm, "bench", sold(40, 1, "Cy"))
    write_seen(farm, "bench", {"lamp": 1, "bench": 1}, NOW - timedelta(days=2))
    status, out, err = call("devices", farm, "--on", DAY)
    assert (status, err) == (0, "")
    assert "since Tuesday: 1 entry" in out  # 9 March 2027 is a Tuesday
    assert "this device" in out
    told = json.loads(call("devices", farm, "--on", DAY, "--json")[1])
    assert [(each["device"], each["entries"], each["new"]) for each in told["devices"]] == [
        ("bench", 1, 0),
        ("lamp", 2, 1),
    ]
    assert (told["clocks"], told["both"]) == ([], [])


def test_a_device_that_was_never_here_has_no_news(farm: Path, call: Call):
    write(farm, "lamp", sold(60, 1, "Ann"))
    told = json.loads(call("devices", farm, "--json")[1])
    assert (told["since"], told["devices"][0]["new"]) == (None, 0)
    (journal_folder(farm) / "bench.seen").write_text('{"at": [], "entries": 3}', encoding="utf-8")
    assert read_seen(farm, "bench") == ({}, None)


def test_two_that_took_the_same_plants_are_told_with_what_would_settle_it(farm: Path, call: Call):
    write(farm, "lamp", sold(60, 45, "the fair"))
    write(farm, "bench", sold(30, 10, "Hale"))
    status, out, err = call("devices", farm, "--on", DAY)
    assert status == 1
    assert "bench.jsonl:1: 2027-03-11 sell P1: 10 of P1 wanted, only 5 in 1 L pots" in err  # its file and its line
    assert "P1 was taken on two devices" in out
    assert "45 in 1 L pots sold to the fair" in out
    assert "10 in 1 L pots sold to Hale" in out
    assert "widger undo" in out
    (both,) = json.loads(call("devices", farm, "--json")[1])["both"]
    assert (both["lot"], both["entry"]["count"], [each["count"] for each in both["others"]]) == ("P1", 10, [45])
    entry = both["entry"]["id"]
    assert call("undo", farm, entry)[0] == 0
    assert json.loads(call("devices", farm, "--json")[1])["both"] == []


def test_what_another_device_made_of_one_name_is_told_with_its_entry(farm: Path, call: Call):
    """Each gave an id that the other could not know of: neither entry is lost unsaid."""
    came = {"species": "Corylus avellana", "form": "pot", "place": "seed beds", "count": 20, "origin": "bought"}
    write(farm, "lamp", (NOW - timedelta(minutes=60), "receive", {"lot": "L9", **came}))
    write(farm, "bench", (NOW - timedelta(minutes=50), "receive", {"lot": "L9", **came, "species": "Fictus ripensis"}))
    write(farm, "bench", (NOW - timedelta(minutes=40), "note", {"batch": "Z7", "text": "of what is not there"}))
    status, out, err = call("devices", farm, "--on", DAY)
    out = " ".join(out.split())
    assert status == 1
    assert "2 entries do not fit, and count for nothing" in out
    assert "bench: L9: 20 pots came to seed beds, bought (11 Mar)" in out
    assert "lot L9 is Corylus avellana, a different plant" in out
    assert 'no batch is called "Z7"' in out
    found = json.loads(call("devices", farm, "--json")[1])["unfit"]
    assert [each["entry"]["kind"] for each in found] == ["receive", "note"]
    assert f"widger undo {farm} {found[0]['entry']['id']}" in err
    assert call("undo", farm, found[0]["entry"]["id"])[0] == 0
    assert [each["entry"]["kind"] for each in json.loads(call("devices", farm, "--json")[1])["unfit"]] == ["note"]


def test_a_file_of_which_some_is_gone_is_told(farm: Path, call: Call):
    write(farm, "lamp", sold(60, 1, "Ann"), sold(50, 1, "Ann"))
    write_seen(farm, "bench", {"lamp": 5, "office": 1}, NOW)
    out = " ".join(call("devices", farm, "--on", DAY)[1].split())
    assert "of lamp 5 entries were known here, and 2 are there: look for a copy of its file" in out
    assert "of office 1 entry was known here, and 0 are there" in out
    assert json.loads(call("devices", farm, "--json")[1])["gone"][0] == {"device": "lamp", "known": 5, "there": 2}


def test_a_clock_that_is_wrong_is_told(farm: Path, call: Call):
    write(farm, "lamp", (NOW + timedelta(days=3), "note", {"batch": "Z1", "text": "from a clock that is ahead"}))
    assert "the clock of lamp is 3 days ahead" in call("devices", farm, "--on", DAY)[1]
    (clock,) = json.loads(call("devices", farm, "--json")[1])["clocks"]
    assert (clock["device"], clock["hours_ahead"], clock["behind"]) == ("lamp", 72.0, None)


def test_a_clock_that_was_behind_is_told(farm: Path, call: Call):
    """What is written after another's entry by a clock that says earlier is dated a microsecond after it."""
    write(farm, "lamp", sold(60, 1, "Ann"))
    write(
        farm, "bench", (NOW - timedelta(minutes=60) + timedelta(microseconds=1), "note", {"batch": "Z1", "text": "x"})
    )
    assert "the clock of bench was behind that of lamp" in call("devices", farm, "--on", DAY)[1]
    assert (
        door.now((NOW + timedelta(minutes=5)).isoformat()) == (NOW + timedelta(minutes=5, microseconds=1)).isoformat()
    )


def test_after_the_last_year_of_all_entries_still_follow_one_another():
    """Where an instant is no longer told to the microsecond, and where there is none left."""
    last = "9999-12-31T23:00:00+00:00"
    for _ in range(3):
        last, before = door.now(last), last
        assert instant(last) > instant(before)
    end = "9999-12-31T23:59:59.999999+00:00"
    assert datetime.fromisoformat(door.now(end)) <= datetime.fromisoformat(end)


async def test_the_screens_open_with_what_the_others_did_and_tell_it_once(farm: Path):
    write(farm, "lamp", sold(60, 1, "Ann"))
    async with opened(farm, DAY) as shed:
        assert "from lamp" not in shed.text  # it has not been here before
    assert read_seen(farm, "bench")[0] == {"lamp": 1}
    write(farm, "lamp", sold(50, 1, "Bo"), sold(45, 1, "Cy"))
    async with opened(farm, DAY) as shed:
        assert "from lamp, since today: 2 entries" in shed.text
    async with opened(farm, DAY) as shed:
        assert "from lamp" not in shed.text
