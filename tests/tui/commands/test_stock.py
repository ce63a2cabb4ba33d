"""The commands on the stock: what they print, what they record, a table out and in again, and what they refuse."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from rich.cells import cell_len

from engine.journal.store import journal_folder, read_journal
from tests.engine.records.farms import STOCK
from tests.tui.conftest import Call
from tests.tui.farms import TINY, TODAY, write_tiny

ON = ("--on", TODAY)
KEYS = {"species", "cultivar", "form", "place", "on_hand", "going", "promised", "free", "lot", "grade", "doubtful"} | {
    "why_none_free"
}


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    return write_tiny(tmp_path, TINY + STOCK)


def lots(call: Call, farm: Path, *words: object) -> list[dict[str, object]]:
    status, out, err = call("stock", farm, "--json", *ON, *words)
    assert (status, err) == (0, "")
    told = json.loads(out)
    assert set(told) == {"lots"}
    return list(told["lots"])


def counts(call: Call, farm: Path) -> dict[tuple[object, ...], object]:
    return {(x["lot"], x["form"], x["grade"], x["place"]): x["on_hand"] for x in lots(call, farm)}


def good(call: Call, *words: object) -> str:
    status, out, err = call(*words, *ON)
    assert (status, err) == (0, ""), (words, err)
    return out


def refused(call: Call, *words: object) -> str:
    status, out, err = call(*words, *ON)
    assert (status, out) == (2, ""), words
    return err


def test_the_stock_as_json_has_a_record_for_each_lot_form_grade_and_place(call: Call, farm: Path):
    found = lots(call, farm)
    assert all(set(one) == KEYS for one in found)
    [p2] = [one for one in found if one["lot"] == "P2"]
    assert (p2["cultivar"], p2["on_hand"], p2["promised"], p2["free"]) == ("Pale", 30, 30, 0)
    assert p2["why_none_free"] == "all 30 promised for the hall"
    assert {one["lot"] for one in found} == {"P1", "P2", "Z2", "Z3"}


@pytest.mark.parametrize("by", ["species", "form", "place"])
def test_the_stock_prints_within_80_columns_with_needs_and_what_is_short(call: Call, farm: Path, by: str):
    out = good(call, "stock", farm, "--by", by)
    assert max(map(cell_len, out.splitlines())) <= 80
    for word in ("on hand", "promised", "free", "likely", "90 %", "P1", "HALL", "10 short"):
        assert word in out
    assert "P2: all 30 promised for the hall" in out.splitlines()


def test_on_counts_only_what_happened_up_to_the_day(call: Call, farm: Path):
    good(call, "sell", farm, "P1", 4)
    status, out, _ = call("stock", farm, "--json", "--on", "2027-01-17")
    assert status == 0
    assert next(one["on_hand"] for one in json.loads(out)["lots"] if one["lot"] == "P1") == 50
    assert counts(call, farm)["P1", "1 L pot", "", "standing ground"] == 46


def test_a_year_of_a_lot_by_the_commands(call: Call, farm: Path):
    good(call, "receive", farm, "L1", 40, "-s", "bankside fig", "-f", "liner", "-p", "north bed", "--from", "Hale")
    good(call, "move", farm, "L1", 30, "standing ground")
    good(call, "pot-up", farm, "L1", 20, "-i", "2 L pot", "-p", "standing ground")
    good(call, "grade", farm, "L1", "-f", "2 L pot", "first=12", "second=5")
    good(call, "sell", farm, "L1", "all", "-g", "first", "-t", "the hall")
    good(call, "give", farm, "L1", 1, "-g", "second", "-t", "a neighbour")
    good(call, "plant-out", farm, "L1", 2, "-g", "second", "-t", "the copse")
    good(call, "lose", farm, "L1", 1, "-g", "second", "-c", "slugs")
    good(call, "count", farm, "L1", 11, "-p", "north bed", "-r", "one more found")
    good(call, "split", farm, "L1", 4, "-p", "north bed")
    good(call, "doubt", farm, "L1/1")
    assert {key: n for key, n in counts(call, farm).items() if str(key[0]).startswith("L1")} == {
        ("L1", "liner", "", "north bed"): 7,
        ("L1", "liner", "", "standing ground"): 10,
        ("L1", "2 L pot", "", "standing ground"): 3,
        ("L1", "2 L pot", "second", "standing ground"): 1,
        ("L1/1", "liner", "", "north bed"): 4,
    }
    good(call, "verify", farm, "L1/1")
    good(call, "join", farm, "L1/1", "L1")
    assert counts(call, farm)["L1", "liner", "", "north bed"] == 11
    good(call, "undo", farm)
    assert counts(call, farm)["L1", "liner", "", "north bed"] == 7
    told = good(call, "trace", farm, "l1")
    for word in ("Hale", "the hall", "a neighbour", "the copse", "slugs", "LEDGER OF L1"):
        assert word in told
    inspection = " ".join(good(call, "inspection", farm, "--year", 2027).split())
    assert "bought, Hale" in inspection
    assert "the hall" in inspection
    assert "slugs" not in inspection


def test_words_may_stand_before_and_after_options(call: Call, farm: Path):
    good(call, "sell", farm, "-t", "Hale", "P1", 3)
    good(call, "sell", farm, "P1", "-t", "Hale", 3)
    assert counts(call, farm)["P1", "1 L pot", "", "standing ground"] == 44


def test_what_is_refused_says_what_is_there_and_writes_nothing(call: Call, farm: Path):
    before = read_journal(journal_folder(farm))[0]
    assert "only 50 in 1 L pots at standing ground" in refused(call, "sell", farm, "P1", 51)
    assert 'did you mean "standing ground"' in refused(call, "move", farm, "P2", 3, "standng ground")
    assert "no lot" in refused(call, "lose", farm, "P9", 3)
    assert "0 or more" in refused(call, "lose", farm, "P1", "some")
    assert "--species" in refused(call, "receive", farm, "L1", 3)
    assert "GRADE=COUNT" in refused(call, "grade", farm, "P1")
    assert "PLACE ROW" in refused(call, "row", farm)
    assert read_journal(journal_folder(farm))[0] == before


def test_the_rows_of_a_bed_print_from_their_fixed_end(call: Call, farm: Path):
    good(call, "row", farm, "north bed", "3", "P1:2.5:10", "P2:4:30")
    out = good(call, "rows", farm)
    assert max(map(cell_len, out.splitlines())) <= 80
    assert "NORTH BED, row 3, 6.5 m" in out
    assert "2.5 to     6.5 m  P2" in out
    assert "P1: 10 in the rows of north bed, 0 on record" in out
    [row] = json.loads(good(call, "rows", farm, "--json"))["rows"]
    assert [(x["lot"], x["from_m"], x["to_m"], x["count"]) for x in row["lots"]] == [
        ("P1", 0, 2.5, 10), ("P2", 2.5, 6.5, 30),
    ]  # fmt: skip


def test_a_row_of_an_american_farm_is_typed_and_printed_in_feet(call: Call, farm: Path):
    farm.write_text(farm.read_text(encoding="utf-8").replace("[farm]\n", '[farm]\nunits = "us"\n', 1), encoding="utf-8")
    good(call, "row", farm, "north bed", "3", "P1:10:10", "P2:3.048m:30")
    out = good(call, "rows", farm)
    assert "NORTH BED, row 3, 20 ft" in out
    assert "10.0 to    20.0 ft P2" in out
    [row] = json.loads(good(call, "rows", farm, "--json"))["rows"]
    assert [x["to_m"] for x in row["lots"]] == pytest.approx([3.048, 6.096])


def test_a_table_goes_out_and_comes_in_again_the_same(call: Call, farm: Path, tmp_path: Path):
    good(call, "doubt", farm, "P2")
    good(call, "grade", farm, "P1", "first=20")
    table = good(call, "stock", farm, "--csv")
    (tmp_path / "stock.csv").write_text(table, encoding="utf-8")
    other = tmp_path / "other"
    other.mkdir()
    fresh = write_tiny(other, TINY.replace('id = "Z', 'id = "Y') + STOCK.split("[[stock]]")[0], history=False)
    out = good(call, "receive", fresh, "--csv", tmp_path / "stock.csv")
    assert len(out.splitlines()) == len(table.splitlines())  # a line for each row, and one for the doubtful name
    assert counts(call, fresh) == counts(call, farm)
    again = good(call, "stock", fresh, "--csv")
    told = [
        {(r["lot"], r["form"], r["grade"], r["species"], r["cultivar"], r["place"], r["on_hand"], r["doubtful"])
         for r in csv.DictReader(io.StringIO(text))}
        for text in (table, again)
    ]  # fmt: skip
    assert told[0] == told[1]


def test_a_table_with_faults_is_told_whole_and_nothing_of_it_is_taken_in(call: Call, farm: Path, tmp_path: Path):
    table = tmp_path / "in.csv"
    table.write_text(
        "lot;species;form;place;on_hand\nA;Fictus ripensis;liner;north bed;7\nB;Fictus ripensi;liner;north bed;7\n"
        "C;Fictus montana;liner;nort bed;none\n",
        encoding="utf-8",
    )
    before = read_journal(journal_folder(farm))[0]
    err = refused(call, "receive", farm, "--csv", table)
    for told in ("row 3, species", "row 4, place", "row 4, on_hand", "did you mean", "nothing was recorded"):
        assert told in err
    assert read_journal(journal_folder(farm))[0] == before


def test_a_table_is_taken_in_by_one_append(call: Call, farm: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    from tui import farmhouse

    table = tmp_path / "in.csv"
    rows = "".join(f"A{n},Fictus montana,liner,north bed,{n + 1}\n" for n in range(300))
    table.write_text(f"lot,species,form,place,on_hand\n{rows}", encoding="utf-8")
    appended = []
    real = farmhouse.append
    monkeypatch.setattr(farmhouse, "append", lambda *given, **how: appended.append(real(*given, **how)) or appended[-1])
    good(call, "receive", farm, "--csv", table)
    assert [len(entries) for entries in appended] == [300]
    read = [entry.data["lot"] for entry in read_journal(journal_folder(farm))[0] if entry.kind == "receive"]
    assert read == [f"A{n}" for n in range(300)]


def test_a_table_taken_in_is_taken_back_by_one_undo(call: Call, farm: Path, tmp_path: Path):
    before = counts(call, farm)
    good(call, "sell", farm, "P1", 2)
    table = tmp_path / "in.csv"
    rows = "".join(f"A{n},Fictus montana,liner,north bed,{n + 1},{'yes' if n % 2 else ''}\n" for n in range(7))
    table.write_text(f"lot,species,form,place,on_hand,doubtful\n{rows}", encoding="utf-8")
    good(call, "receive", farm, "--csv", table)
    out = good(call, "undo", farm)
    assert out.startswith("undone: A0: 1 liner came to north bed")
    assert "and 9 more recorded with it" in out  # six more lots, and three names that are doubtful
    assert counts(call, farm)["P1", "1 L pot", "", "standing ground"] == 48
    assert not [key for key in counts(call, farm) if str(key[0]).startswith("A")]
    assert "undone: P1: 2 in 1 L pots sold" in good(call, "undo", farm)
    assert counts(call, farm) == before


def test_a_table_of_which_another_device_has_sold_something_is_not_taken_back(
    call: Call, farm: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    table = tmp_path / "in.csv"
    table.write_text(
        "lot,species,form,place,on_hand\nA,Fictus montana,liner,north bed,7\nB,Fictus montana,liner,north bed,7\n",
        encoding="utf-8",
    )
    good(call, "receive", farm, "--csv", table)
    monkeypatch.setenv("WIDGER_DEVICE", "office")
    good(call, "sell", farm, "B", 2)
    monkeypatch.setenv("WIDGER_DEVICE", "bench")
    before = counts(call, farm)
    assert 'no lot is called "B"' in refused(call, "undo", farm)
    assert counts(call, farm) == before


@pytest.mark.parametrize("text", ["", "\n", 'lot,species\n"A,b\n'])
def test_a_file_that_is_no_table_is_refused(call: Call, farm: Path, tmp_path: Path, text: str):
    table = tmp_path / "in.csv"
    table.write_text(text, encoding="utf-8")
    assert refused(call, "receive", farm, "--csv", table)
    assert refused(call, "receive", farm, "--csv", tmp_path / "nowhere.csv")


@pytest.mark.parametrize("command", ["trace", "inspection", "rows"])
def test_each_view_is_json_where_asked(call: Call, farm: Path, command: str):
    words = (command, farm, "P1") if command == "trace" else (command, farm)
    assert json.loads(good(call, *words, "--json"))
    assert "did you mean" in refused(call, "trace", farm, "P22")


def test_what_the_stock_plants_gave_prints_and_is_json(call: Call, tmp_path: Path):
    from tests.engine.views.test_stock_day import PLANTS

    farm = write_tiny(tmp_path, TINY + PLANTS)
    good(call, "done", farm, "M1", "collect", "--count", 31)
    told = good(call, "stock-plants", farm)
    assert max(map(cell_len, told.splitlines())) <= 80
    for word in ("SCREE FIG, seed: old figs, 4 at stock beds, planted 2020", "expected", "gave"):
        assert word in told
    [this_year] = [line.split() for line in told.splitlines() if line.split()[:1] == [str(TODAY.year)]]
    assert this_year == [str(TODAY.year), "36", "40", "31", "M1", "(so", "far)"]
    [plant] = json.loads(good(call, "stock-plants", farm, "--json"))["stock_plants"]
    assert plant["plants"] == [{"id": "old figs", "place": "stock beds", "count": 4, "planted": 2020}]
    assert plant["years"][0] == {
        "year": TODAY.year, "expected": 36.0, "asked": 40, "collected": 31, "lots": ["M1"]
    }  # fmt: skip
    assert plant["years"][1]["collected"] is None
    assert f"in {TODAY.year} they gave 31 seed of about 36 expected" in " ".join(
        good(call, "trace", farm, "M1").split()
    )


def test_a_farm_without_stock_plants_is_told_how_to_name_them(call: Call, farm: Path):
    assert "[[stock_plant]]" in good(call, "stock-plants", farm)


def test_what_was_ordered_is_told_to_have_come(call: Call, tmp_path: Path):
    from tests.engine.needs.test_orders_and_review import GRAFT, grafts

    site = TINY[: TINY.index("[[")]
    farm = write_tiny(tmp_path, site + GRAFT + grafts("A", 60, "2026-09-01"), history=False)
    on = ("--on", "2026-12-01")
    assert call("done", farm, "A", "order", "--on", "2026-10-01")[0] == 0
    status, out, err = call("came", farm, "A", *on)
    assert (status, out) == (2, "")
    assert "--item" in err
    status, out, err = call("came", farm, "A", "--item", "rootstocks", "--count", 52, "--from", "Vale Nursery", *on)
    assert (status, out) == (0, "A: arrive done, 52 of 60 ordered, from Vale Nursery (1 Dec)\n"), err
    assert call("came", farm, "A", "--item", "pots", "--json", *on)[0] == 0
    told = call("orders", farm, *on)[1]
    assert "arrived, 52 came, 8 short" in told
    assert "bought, Vale Nursery" in " ".join(call("trace", farm, "A", *on)[1].split())
    assert call("came", farm, "A", "--count", "some", *on)[0] == 2


def test_a_lot_that_missed_a_window_is_told_as_missed_with_no_plants_to_come(call: Call, tmp_path: Path):
    good(call, "demo", "--write-only", "--folder", tmp_path / "demo")
    status, out, _ = call("stock", tmp_path / "demo" / "quillmere.toml", "--on", "2028-06-20")
    assert status == 0
    missed = [line for line in out.splitlines() if line.endswith("missed")]
    assert missed
    assert all(line.split()[-3:] == ["-", "-", "missed"] for line in missed)


def test_what_is_going_is_counted_by_its_name_and_given_to_nobody_before(call: Call, farm: Path):
    """Sown seed may be moved, lost and split; it is sold when it has been counted alive."""
    assert good(call, "done", farm, "Z2", "sow", "--count", 80)
    for command in ("sell", "give", "plant-out", "pot-up"):
        told = refused(call, command, farm, "Z2", 10)
        assert "80 of Z2 were sown and are not counted yet" in told
        assert "count them first" in told
    assert "80 of Z2 were sown" in refused(call, "grade", farm, "Z2", "first=20")
    assert "widger split Z2 5" in refused(call, "move", farm, "Z2", 5, "potting shed")
    good(call, "split", farm, "Z2", 5)
    assert "5 " in good(call, "move", farm, "Z2/1", 5, "potting shed")
    assert "an accident of the place" in good(call, "lose", farm, "Z2", 3, "--cause", "mice", "--place", "seed beds")
    assert "80 " not in good(call, "split", farm, "Z2", 10, "--place", "seed beds")
    assert "were sown: 90 cannot be alive" in refused(call, "count", farm, "Z2", 90)
    assert "40" in good(call, "count", farm, "Z2", 40)
    assert counts(call, farm)["Z2", "seedling", "", "seed beds"] == 40
    assert "12" in good(call, "sell", farm, "Z2", 12, "--place", "seed beds")
