"""A long farm file is read by the standard library's reader, and says what is wrong with it as a short one does."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.farm import reading
from engine.farm.reading import read_farm
from tests.tui.farms import TINY

SPOILT = ("x = ", "x = 1\nx = 2\n", "d = 2027-02-30\n", f"n = {'9' * 5_000}\n", f"l = {'[' * 5_000}\n", "[farm\n")


@pytest.mark.parametrize("spoilt", ["", *SPOILT])
def test_it_is_read_as_any_other(spoilt: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = tmp_path / "farm.toml"
    path.write_text(TINY + spoilt, encoding="utf-8")
    short = read_farm(path)
    monkeypatch.setattr(reading, "_LONG", 0)
    long = read_farm(path)
    assert long.problems == short.problems
    assert bool(long.problems) == bool(spoilt)
    if long.farm is not None and short.farm is not None:
        assert long.farm.batches == short.farm.batches
