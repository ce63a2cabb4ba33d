"""`widger species NAME FARM`: the grower's own share stands beside the book's, with what it rests on."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path
from typing import Any

from tests.tui.conftest import Call
from tests.tui.farms import FROST, SITE, tell, write_tiny

ELDER = (
    '[[batch]]\nid = "E26"\nspecies = "Sambucus nigra"\nmethod = "hardwood cutting"\ncount = 100\nstart = 2026-01-01\n'
)
ON = ("--on", "2027-01-18")


def farm(folder: Path, sticks: int | None = None) -> Path:
    path = write_tiny(folder, f'[farm]\nname = "Hollow Lane"\n{SITE}{FROST}{ELDER}', history=False)
    if sticks is not None:
        tell(path, "done", date(2026, 3, 10), batch="E26", step="stick", count=100)
        tell(path, "done", date(2026, 11, 10), batch="E26", step="lift", count=sticks)
    return path


def way(call: Call, path: Path) -> dict[str, Any]:
    status, out, err = call("species", "Sambucus nigra", path, *ON, "--json")
    assert (status, err) == (0, "")
    (elder,) = json.loads(out)["species"]
    return next(p for p in elder["protocols"] if p["method"] == "hardwood cutting")


def test_after_a_poor_batch_both_shares_are_told(call: Call, tmp_path: Path):
    path = farm(tmp_path, 20)
    told = way(call, path)
    assert told["your_batches"] == 1
    assert told["your_share"] < told["share"]
    status, out, _ = call("species", "Sambucus nigra", path, *ON)
    assert status == 0
    assert "comes through, yours" in out
    yours, book = (f"{told[key] * 100:.0f}" for key in ("your_share", "share"))
    assert f"yours {yours} % from 1 batch; library {book}" in out
    assert "your stick: " in out
    assert max(map(len, out.splitlines())) <= 80


def test_without_results_only_the_books_share_is_told(call: Call, tmp_path: Path):
    path = farm(tmp_path)
    told = way(call, path)
    assert (told["your_share"], told["your_batches"]) == (told["share"], 0)
    out = call("species", "Sambucus nigra", path, *ON)[1]
    assert "yours" not in out
    assert "comes through" in out


def test_no_best_time_is_told_that_ends_after_the_window_has_closed(call: Call, tmp_path: Path):
    """Blackcurrant is cut until four weeks after leaf drop: it is not best until spring; other kinds may be."""
    told = " ".join(call("species", "Ribes nigrum", farm(tmp_path), *ON)[1].split())
    assert re.search(r"closes leaf drop \+ 4 weeks", told)
    assert not re.search(r"closes leaf drop \+ 4 weeks[^;]*; best until bud swell", told)
    assert "best until" in " ".join(call("species", "Sambucus nigra", farm(tmp_path), *ON)[1].split())
