"""`widger batch` and `widger change`: what they record, what they print, what they refuse."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from engine.journal.store import journal_folder
from tests.tui.commands.test_record import steps, written
from tests.tui.conftest import Call
from tests.tui.farms import TODAY, open_house

ADD = ("N1", "hazel", "seed", "300", "--route", "autumn sown under mesh")


def test_batch_adds_one_that_the_plan_and_the_week_then_show(call: Call, tiny: Path):
    status, out, err = call("batch", tiny, *ADD, "--start", "2027-08-01", "--on", TODAY)
    assert (status, err) == (0, "")
    assert "N1: new batch, 300 Corylus avellana, seed" in out
    assert written(tiny) == ["batch"]
    assert steps(call, tiny, "N1")["collect"]["aim"] >= "2027-08-01"
    assert "hazel" in call("plan", tiny, "--batch", "N1", "--on", TODAY)[1]
    assert call("check", tiny, "--on", TODAY)[0] == 0


def test_its_json_is_the_entry_as_it_was_written(call: Call, tiny: Path):
    route = ("--route", "Autumn sown under mesh", "--cultivar", "Local", "--note", "from the lane")
    told = json.loads(call("batch", tiny, *ADD, "--ready", "2029-03-01", *route, "--on", TODAY, "--json")[1])
    assert (told["kind"], told["on"]) == ("batch", TODAY.isoformat())
    assert told["batch"] == "N1"
    lot = open_house(tiny).records.lot("N1")
    assert lot is not None
    assert (lot.batch.protocol.route, lot.batch.cultivar) == ("autumn sown under mesh", "Local")
    assert (lot.batch.start, lot.batch.ready, lot.batch.note) == (None, date(2029, 3, 1), "from the lane")


def test_a_batch_without_a_day_starts_today_and_says_so(call: Call, tiny: Path):
    _, out, err = call("batch", tiny, *ADD, "--on", TODAY)
    assert err == ""
    lot = open_house(tiny).records.lot("N1")
    assert lot is not None
    assert (lot.batch.start, lot.batch.ready) == (TODAY, None)
    assert "from 18 Jan 27" in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("N1", "hazle", "seed", "300", "--start", "2027-08-01"), "hazel"),
        (("N1", "hazel", "sead", "300", "--start", "2027-08-01"), "seed"),
        (("N1", "hazel", "seed", "300", "--start", "2027-08-01", "--route", "held colt"), "held cold"),
        (("Z1", "hazel", "seed", "300", "--start", "2027-08-01"), "already"),
        (("N1", "hazel", "seed", "0", "--start", "2027-08-01"), "from 1 to"),
        (("N1", "hazel", "seed", "many", "--start", "2027-08-01"), "must be 0 or more"),
        (("N1", "hazel", "seed", "300", "--start", "soon"), "is not a date"),
        (("N1", "hazel", "seed", "300", "--start", "2027-08-01"), "say which: autumn sown under mesh, or held cold"),
        (("N1", "hazel"), "ID SPECIES METHOD COUNT"),
    ],
)
def test_a_batch_that_cannot_be_is_refused(call: Call, tiny: Path, words: tuple[str, ...], told: str):
    status, out, err = call("batch", tiny, *words, "--on", TODAY)
    assert (status, out) == (2, "")
    assert told in err
    assert written(tiny) == []


def test_change_alters_count_and_dates_and_none_takes_a_date_away(call: Call, tiny: Path):
    call("batch", tiny, *ADD, "--start", "2027-08-01", "--on", TODAY)
    assert (
        call("change", tiny, "N1", "--count", "250", "--ready", "2029-06-01", "--start", "none", "--on", TODAY)[0] == 0
    )
    lot = open_house(tiny).records.lot("N1")
    assert lot is not None
    assert (lot.count, lot.batch.start, lot.batch.ready) == (250, None, date(2029, 6, 1))


def test_change_alters_method_places_and_where_it_came_from(call: Call, tiny: Path):
    words = ("--places", "cold store=cold frame", "--from", "Hale Orchards", "--came", "2026-11-01", "--on", TODAY)
    status, out, err = call("change", tiny, "Z1", *words)
    assert (status, err) == (0, "")
    assert "Z1: now at cold frame instead of cold store" in out
    lot = open_house(tiny).records.lot("Z1")
    assert lot is not None
    assert (lot.batch.source, lot.batch.came) == ("Hale Orchards", date(2026, 11, 1))
    assert "cold frame" in call("plan", tiny, "--batch", "Z1", "--on", TODAY)[1]
    call("change", tiny, "Z1", "--places", "none", "--from", "none", "--on", TODAY)
    assert "cold frame" not in call("plan", tiny, "--batch", "Z1", "--on", TODAY)[1]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("Z1", "--method", "T-bud"), "--general"),
        (("Z1", "--places", "cold store"), "write seed beds=seed frame"),
        (("Z1", "--places", "barn=cold frame"), 'Z1 never stands in "barn"'),
        (("Z2", "--count", "9"), "it has started: soak was done on 2027-01-04"),
        (("Z11", "--count", "9"), "Z1"),
        (("Z1",), "say what changes"),
        (("Z1", "--count", "-3"), "must be 0 or more"),
        (("Z1", "--start", "none"), "a start or a ready date"),
    ],
)
def test_a_change_that_cannot_be_is_refused(call: Call, tiny: Path, words: tuple[str, ...], told: str):
    status, out, err = call("change", tiny, *words, "--on", TODAY)
    assert (status, out) == (2, "")
    assert told in err
    assert written(tiny) == []


def test_a_batch_that_another_device_has_told_of_is_undone_only_after_what_was_told(
    call: Call, tiny: Path, monkeypatch
):
    call("batch", tiny, *ADD, "--start", "2027-08-01", "--on", TODAY)
    monkeypatch.setenv("WIDGER_DEVICE", "office")
    call("note", tiny, "N1", "good nuts", "--on", TODAY)
    monkeypatch.setenv("WIDGER_DEVICE", "bench")
    status, out, err = call("undo", tiny)
    assert (status, out) == (2, "")
    assert "depend on it" in err
    assert 'no batch is called "N1"' in err
    assert "N1" in call("plan", tiny, "--on", TODAY)[1]
    for device in ("office", "bench"):
        monkeypatch.setenv("WIDGER_DEVICE", device)
        assert call("undo", tiny)[0] == 0
    status, out, err = call("plan", tiny, "--on", TODAY)
    assert (status, err) == (0, "")
    assert "N1" not in out


def test_a_batch_that_no_site_can_date_is_told_of_the_journal_not_of_a_line_of_the_file(call: Call, tmp_path: Path):
    from tests.tui.farms import SITE, write_tiny

    bare = write_tiny(tmp_path, SITE, history=False)  # no frost here, which the grafting windows rest on
    assert (
        call("batch", bare, "N1", "Malus domestica", "bench graft", "9", "--start", "2027-01-01", "--on", TODAY)[0] == 0
    )
    house = open_house(bare)
    assert [p.line for p in house.problems(TODAY)] == [0] * len(house.problems(TODAY))
    assert journal_folder(bare).exists()


def test_a_method_that_the_library_lacks_for_a_plant_is_asked_about(call: Call, tiny: Path):
    """Hazel is grafted and layered, and never budded by T-bud in the library (common practice)."""
    words = ("N1", "hazel", "T-bud", "40", "--start", "2027-06-01", "--on", TODAY)
    status, out, err = call("batch", tiny, *words)
    assert (status, out) == (2, "")
    assert "neither the library nor your file has T-bud for hazel" in err
    assert "mound layer" in err
    assert "add --general to follow the general method" in err
    assert written(tiny) == []
    assert call("batch", tiny, *words, "--general")[0] == 0
    lot = open_house(tiny).records.lot("N1")
    assert lot is not None
    assert lot.batch.method == "T-bud"
    told = " ".join(call("check", tiny, "--on", TODAY)[1].split())
    assert "has T-bud for hazel: raised by the general method (it has seed, " in told


def test_a_correction_to_a_method_that_the_library_lacks_is_asked_about_too(call: Call, tiny: Path):
    words = ("N1", "hazel", "mound layer", "40", "--start", "2027-06-01", "--on", TODAY)
    made = json.loads(call("batch", tiny, *words, "--json")[1])["id"]
    status, _, err = call("correct", tiny, made, "--method", "T-bud")
    assert status == 2
    assert "has T-bud for hazel" in err
    assert "widger correct --general follows the general method" in err
    assert call("correct", tiny, made, "--count", "50")[0] == 0  # of what is not asked about nothing is asked
    assert call("correct", tiny, made, "--method", "T-bud", "--general")[0] == 0
    assert call("correct", tiny, made, "--count", "60")[0] == 0
    lot = open_house(tiny).records.lot("N1")
    assert lot is not None
    assert (lot.batch.method, lot.batch.count) == ("T-bud", 60)
    assert call("correct", tiny, made, "--species", "elder")[0] == 2
