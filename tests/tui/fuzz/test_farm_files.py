"""Farm files spoilt in every way: each fault is told with the right line and a remedy, and every view stands."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from engine.farm.reading import read_farm
from tests.engine.farm.test_any_document import FULL
from tests.sampled import sampled
from tests.tui.conftest import Call
from tests.tui.fuzz.inputs import FARMS, VALUES, VIEWS, budget, holds_together, spoilt, write

DAYS = ("2027-03-01", "2026-11-05", "2027-07-20")


@pytest.mark.parametrize("part", range(8))
def test_no_spoilt_farm_breaks_a_view(part: int, tmp_path: Path, call: Call) -> None:
    path = tmp_path / "spoilt.toml"
    for n in range(part, budget(80), 8):
        chance = random.Random(n)
        text = spoilt(chance.choice(FARMS), chance)
        write(path, text)
        try:
            holds_together(path, chance.choice(DAYS), call, tuple(chance.sample(VIEWS, 2)))
        except BaseException as fault:
            raise AssertionError(f"farm {n} breaks it: {fault!r}\n{text}") from fault


@pytest.mark.parametrize("text", sampled((*VALUES, '""', '"x"', '"31 feb"'), 6))
def test_a_value_that_cannot_be_is_told_at_its_own_line(text: str, tmp_path: Path) -> None:
    lines = FULL.split("\n")
    path = tmp_path / "one.toml"
    for n, line in enumerate(lines):
        key, sign, _ = line.partition(" = ")
        if not sign:
            continue
        write(path, "\n".join((*lines[:n], f"{key} = {text}", *lines[n + 1 :])))
        found = read_farm(path)
        names = {key, key.strip('"')}
        own = [p for p in found.problems if any(p.message.startswith((name, f'"{name}"')) for name in names)]
        assert all(p.line == n + 1 for p in own[:1]), (line, text, [str(p) for p in found.problems])
        assert all(p.hint for p in found.problems), [str(p) for p in found.problems]
