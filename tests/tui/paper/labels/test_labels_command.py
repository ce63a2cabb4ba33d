"""The command that prints labels: what goes where, what is refused, and what stays untouched."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.tui.conftest import Call
from tests.tui.farms import TINY, TODAY, tell, write_tiny
from tests.tui.paper.labels.paper import codes, pages, words

ROOT = Path(__file__).parents[4]


def test_all_lots_are_printed_as_text_where_none_is_named(call: Call, tiny: Path):
    status, out, err = call("labels", tiny, "--on", TODAY)
    assert (status, err) == (0, "")
    assert [block.splitlines()[2] for block in out.strip().split("\n\n")] == ["Z1", "Z2", "Z3", "M1"]


def test_named_batches_and_copies(call: Call, tiny: Path):
    out = call("labels", tiny, "--batch", "Z3", "M1", "--batch", "Z3", "--copies", 2, "--on", TODAY)[1]
    assert [block.splitlines()[2] for block in out.strip().split("\n\n")] == ["Z3", "Z3", "M1", "M1"]


def test_a_pdf_is_written_and_told(call: Call, tiny: Path, tmp_path: Path):
    path = tmp_path / "labels.pdf"
    status, out, err = call("labels", tiny, "--pdf", path, "--copies", 7, "--start-at", 20, "--on", TODAY)
    assert (status, err) == (0, "")
    assert str(path) in out
    assert "28 labels on 2 pages of a4-3x8" in out
    assert len(pages(path.read_bytes())) == 2
    assert "bankside fig 'Pale'" in words(path.read_bytes())


@pytest.mark.parametrize(("code", "kind"), [("qr", "QRCode"), ("code128", "Code128")])
def test_the_code_and_the_sheet_are_those_asked_for(call: Call, tiny: Path, tmp_path: Path, code: str, kind: str):
    path = tmp_path / "labels.pdf"
    words_ = ("--pdf", path, "--sheet", "strip-100x20", "--code", code, "--batch", "M1", "--on", TODAY)
    assert call("labels", tiny, *words_)[0] == 0
    assert pages(path.read_bytes()) == [pytest.approx((100, 20))]
    assert [found[:2] for found in codes(path.read_bytes())] == [(kind, "M1")]


def test_a_lot_whose_id_has_a_slash_or_other_letters(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path, TINY.replace('"Z1"', '"řeka/1"'), history=False)
    path = tmp_path / "labels.pdf"
    status, _, err = call("labels", farm, "--batch", "řeka/1", "--pdf", path, "--code", "code128", "--on", TODAY)
    assert status == 0
    assert "řeka/1" in err
    assert [found[:2] for found in codes(path.read_bytes())] == [("QRCode", "řeka/1")]


def test_a_name_that_became_doubtful_is_no_longer_printed_as_a_cultivar(call: Call, tiny: Path):
    assert "Pale" in call("labels", tiny, "--on", TODAY)[1]
    tell(tiny, "doubt", TODAY, lot="Z3")
    out = call("labels", tiny, "--on", TODAY)[1]
    assert "bankside fig, name not certain" in out
    assert "Pale" not in out


def test_json_gives_each_label_once(call: Call, tiny: Path):
    told = json.loads(call("labels", tiny, "--json", "--copies", 3, "--batch", "Z3", "--on", TODAY)[1])
    assert told == {
        "labels": [
            {
                "lot": "Z3", "species": "Fictus ripensis", "common": "bankside fig", "cultivar": "Pale",
                "name_doubtful": False, "method": "seed", "act": "soak", "date": "2027-01-04", "source": "",
                "origin": "propagated", "form": "", "grade": "", "place": "", "made_of": "",
            }
        ]
    }  # fmt: skip


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (("--batch", "Z33"), '"Z3"'),
        (("--sheet", "a4-3x9", "--pdf", "a.pdf"), "a4-3x8"),
        (("--start-at", "25", "--pdf", "a.pdf"), "24"),
        (("--start-at", "0", "--pdf", "a.pdf"), "must be 1 or more"),
        (("--copies", "-1"), "must be 1 or more"),
        (("--copies", "9999"), "too many"),
        (("--code", "runes", "--pdf", "a.pdf"), "code128"),
        (("--code", "qr"), "--pdf"),
        (("--sheet", "a4-3x8"), "--pdf"),
        (("--pdf", "nowhere/a.pdf"), "nowhere/a.pdf cannot be written"),
        (("--pdf", "."), "folder"),
        (("--pdf", ""), "the name of a file is missing"),
    ],
)
def test_what_cannot_be_met_exits_with_2_and_writes_nothing(call: Call, tiny: Path, given: tuple[str, ...], told: str):
    status, out, err = call("labels", tiny, *given, "--on", TODAY)
    assert (status, out) == (2, "")
    assert told in err
    assert "Traceback" not in err
    assert list(Path().iterdir()) == []


def test_the_farm_file_is_never_taken_for_the_pdf(call: Call, tiny: Path):
    before = tiny.read_bytes()
    status, _, err = call("labels", tiny, "--pdf", tiny, "--on", TODAY)
    assert status == 2
    assert "not a PDF" in err
    assert tiny.read_bytes() == before


def test_a_farm_without_lots_is_told(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path, TINY.split("[[batch]]")[0], history=False)
    assert call("labels", farm, "--on", TODAY)[:2] == (0, "No lots.\n")
    status, _, err = call("labels", farm, "--pdf", "a.pdf", "--on", TODAY)
    assert status == 2
    assert "no lot" in err


def test_the_sheets_are_listed_with_their_measures(call: Call):
    status, out, _ = call("labels", "--sheet", "list")
    assert status == 0
    assert "5 x 13, each 38.1 x 21.2 mm" in out
    assert max(map(len, out.splitlines())) <= 80


def test_plain_commands_do_not_load_the_pdf_library(tiny: Path):
    script = (
        "import json, sys\nfrom tui.command import main\n"
        "for words in json.loads(sys.argv[1]):\n    main(words)\n"
        "    print(words[0], sorted({'reportlab', 'PIL', 'textual'} & set(sys.modules)), file=sys.stderr)"
    )
    calls = [
        [name, str(tiny), *more, "--on", str(TODAY)] for name, *more in (["labels"], ["week"], ["labels", "--json"])
    ]
    done = subprocess.run(
        [sys.executable, "-c", script, json.dumps(calls)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stderr.splitlines() == ["labels []", "week []", "labels []"]
