"""Farm files spoilt in every way: each fault is told with the right line and a remedy, and every view stands."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from engine.farm.reading import read_farm
from engine.reading.problems import REMEDY
from tests.engine.farm.test_any_document import FULL
from tests.sampled import sampled
from tests.tui.conftest import Call
from tests.tui.fuzz.inputs import FARMS, TEXTS, VALUES, VIEWS, budget, holds_together, quoted, spoilt, value, write

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


def block(lines: list[str], n: int) -> range:
    """The lines, from 1, of the whole table around line n (from 0): its parts with it."""
    heads = [k for k, line in enumerate(lines) if line.startswith("[")]
    whole = [k for k in heads if "." not in lines[k].split("]")[0]]
    first = max((k for k in whole if k <= n), default=0)
    return range(first + 1, min((k for k in whole if k > first), default=len(lines)) + 1)


@pytest.mark.parametrize("part", range(4))
def test_one_fault_is_told_at_its_line_with_a_remedy_of_its_own(part: int, tmp_path: Path) -> None:
    """What is wrong with a key is told at its line, what a table lacks at the table's; anything else elsewhere."""
    path = tmp_path / "one.toml"
    good = FARMS[part]
    write(path, good)
    assert read_farm(path).problems == ()
    lines = good.split("\n")
    keyed = [n for n, line in enumerate(lines) if " = " in line]
    for n in range(part, budget(120), 4):
        chance = random.Random(n)
        at = chance.choice(keyed)
        key, _, old = lines[at].partition(" = ")
        new = chance.choice((f"{key} = {value(chance)}", f"{quoted(chance.choice(TEXTS))} = {old}", f"spacing = {old}"))
        write(path, "\n".join((*lines[:at], new, *lines[at + 1 :])))
        own = range(at + 1, at + 2 + new.count("\n"))
        for problem in read_farm(path).problems:
            told = f"fault {n}: {lines[at]!r} made {new!r}: {problem}"
            assert problem.hint.strip() not in ("", REMEDY), told
            names_it = re.match(rf'"?{re.escape(key.strip(chr(34)))}\b', problem.message) is not None
            if names_it and new.startswith(f"{key} = "):
                assert problem.line in own, told
            else:
                assert problem.line in own or problem.line in block(lines, at) or key == "units", told


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
