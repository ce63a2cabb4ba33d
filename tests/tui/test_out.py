"""What goes out: whatever a name holds, whatever the output can show, and whether or not it takes it."""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.journal.store import journal_folder, read_journal
from tests.sampled import sampled
from tests.sources import ROOT
from tests.tui.conftest import Call
from tests.tui.farms import TODAY, tell
from tests.tui.shed import opened, screen_text
from tui.command import main
from tui.out import as_json, cell, from_cell, harmless, plainer, prepare

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="/dev/full and closed descriptors are of POSIX systems")
WILD = "\x1b[2J\x9b31m\x07\u202ebud\r"
"""Clears a screen, colours, rings, and turns letters about."""


def widger(*words: object, shell: str = "", encoding: str = "utf-8") -> subprocess.CompletedProcess[str]:
    """The command as it is called, its output bent by a shell."""
    call = [sys.executable, "-m", "tui.start", *map(str, words)]
    env = {**os.environ, "PYTHONIOENCODING": encoding, "WIDGER_DEVICE": "bench"}
    if shell:
        call = ["sh", "-c", f'exec "$@" {shell}', "sh", *call]
    return subprocess.run(call, cwd=ROOT, env=env, capture_output=True, encoding=encoding, errors="strict")


def printed(*words: object, encoding: str) -> tuple[int, str, str]:
    """The command as it begins and prints to such an output, in this process: its status and both texts."""
    streams = [io.TextIOWrapper(io.BytesIO(), encoding=encoding) for _ in range(2)]
    with redirect_stdout(streams[0]), redirect_stderr(streams[1]):
        prepare()
        status = main([str(word) for word in words])
    out, told = (stream.buffer.getvalue().decode(encoding) for stream in streams)  # type: ignore[attr-defined]
    return status, out, told


def recorded(farm: Path) -> int:
    return len([e for e in read_journal(journal_folder(farm))[0] if e.id.startswith("bench-")])


@POSIX
@pytest.mark.parametrize("shell", sampled([">/dev/full", ">&-", ">&- 2>&-", ">/dev/full 2>/dev/full"], 3))
@pytest.mark.parametrize(
    "words", [("note", "Z1", "dry → damp"), ("outage", "cold store", "3", "12"), ("done", "Z1", "soak")]
)
def test_what_is_recorded_is_good_whatever_becomes_of_the_output(tiny: Path, shell: str, words: tuple[str, ...]):
    told = widger(words[0], tiny, *words[1:], "--on", TODAY, shell=shell)
    assert (told.returncode, recorded(tiny)) == (0, 1)
    assert ("it is recorded" in told.stderr) == ("2>" not in shell)
    assert "Traceback" not in told.stderr


@POSIX
@pytest.mark.parametrize("shell", [">&-", ">/dev/full"])
def test_a_sheet_that_cannot_be_written_is_told(tiny: Path, shell: str):
    told = widger("week", tiny, "--on", TODAY, shell=shell)
    assert (told.returncode, told.stdout) == (2, "")
    assert told.stderr.startswith("widger: nothing more can be written to the output: ")
    assert told.stderr.count("\n") == 1


@pytest.mark.parametrize("encoding", sampled(["ascii", "cp1252", "cp437"], 3))
def test_every_sheet_prints_in_a_poor_encoding(demo: Callable[[date], Path], encoding: str):
    farm = demo(date(2027, 3, 1))
    sheets = [("year",), ("room",), ("cold",), ("week",), ("stock",), ("plan",), ("needs",), ("dates",), ("rows",)]
    for words in sheets:
        told = printed(*words, farm, "--on", "2027-03-01", encoding=encoding)
        assert told[::2] == (0, ""), words
        assert "?" not in told[1], words
    told = widger("outage", farm, "cold store", 3, 12, "--on", "2027-03-01", encoding=encoding)
    assert (told.returncode, told.stderr) == (0, "")
    assert "12" in told.stdout


def test_json_in_a_poor_encoding_reads_back_the_same(tiny: Path):
    tell(tiny, "note", TODAY, batch="Z1", text="сарай")
    told = widger("note", tiny, "Z1", "сарай → büro", "--json", "--on", TODAY, encoding="ascii")
    assert json.loads(told.stdout)["text"] == "сарай → büro"


def test_names_and_notes_reach_no_terminal_as_commands(call: Call, tiny: Path):
    tell(tiny, "note", TODAY, batch="Z1", text=WILD)
    tell(tiny, "receive", TODAY, lot=f"L{WILD}", species="Fictus ripensis", cultivar=f"={WILD}", form="liner",
         place="seed beds", count=4)  # fmt: skip
    tell(tiny, "receive", TODAY, lot="L2", species="Fictus ripensis", form="liner", place="seed beds", count=4,
         **{"from": WILD})  # fmt: skip
    for words in (("stock",), ("trace",), ("labels",), ("week",), ("stock", "--csv"), ("stock", "--json"), ("check",)):
        more = ["L2"] if words[0] == "trace" else []
        _, out, err = call(words[0], tiny, *more, *words[1:], "--on", TODAY)
        assert harmless(out + err) == out + err, words
        assert out
    lots = json.loads(call("stock", tiny, "--json", "--on", TODAY)[1])["lots"]
    assert f"={WILD}" in [lot["cultivar"] for lot in lots]


async def test_no_name_steers_the_terminal_from_a_screen(tiny: Path):
    tell(tiny, "receive", TODAY, lot="L1", species="Fictus ripensis", cultivar=f"Wild{WILD}", form="liner",
         place="seed beds", count=4)  # fmt: skip
    async with opened(tiny) as shed:
        await shed.press("2")
        told = screen_text(shed.app)
        assert "Wild" in told
        assert harmless(told) == told


@given(st.text(st.characters(codec=None)))
def test_what_goes_out_is_harmless_and_of_one_width(text: str):
    once = harmless(text)
    assert harmless(once) == once
    assert not any(c < " " and c not in "\t\n" for c in once)
    once.encode()
    plainer(once).encode("ascii")
    assert from_cell(cell(text)) == once
    assert not cell(text).lstrip().startswith(("=", "+", "-", "@"))
    assert json.loads(as_json({"note": text})) == {"note": text}
    assert harmless(as_json({"note": text})) == as_json({"note": text})


def test_a_spreadsheet_takes_no_name_for_a_formula(call: Call, tiny: Path):
    tell(tiny, "receive", TODAY, lot="@L1", species="Fictus ripensis", cultivar="=cmd()", form="-liner",
         place="+seed beds", count=4)  # fmt: skip
    _, out, _ = call("stock", tiny, "--csv", "--on", TODAY)
    row = next(row for row in csv.reader(io.StringIO(out)) if row[0] == "'@L1")
    assert [row[2], row[3], row[5]] == ["'=cmd()", "'-liner", "'+seed beds"]
