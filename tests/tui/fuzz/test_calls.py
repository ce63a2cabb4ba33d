"""The command called with anything: it ends with 0, 1 or 2, in words, and the farm file is as it was."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.tui.conftest import Call
from tests.tui.farms import write_tiny
from tests.tui.fuzz.inputs import TEXTS, budget, call_is_good
from tui.command import command_of
from tui.commands import NAMES

WORDS = ("Z1", "Z2", "M1", "soak", "sow", "bankside fig", "hazel", "seed", "pot", "bare root",
         "seed beds", "10", "all", "1",
         "leaf drop", "bud swell", "first=3", "2027-03-01", "2 Mar", "none", "P1", "FAIR", "50%",
         "0.9", "bench-1")  # fmt: skip
CALLED = tuple(name for name in NAMES if name not in ("open", "demo"))


def any_call(chance: random.Random, farm: Path) -> tuple[str, ...]:
    name = chance.choice(CALLED)
    options = [option.split()[-1] for option, _ in command_of(name).every_option]

    def word() -> str:
        return chance.choice(TEXTS if chance.random() < 0.3 else WORDS)

    words = [word() for _ in range(chance.randrange(6))]
    if chance.random() < 0.9:
        words.insert(0, str(farm))
    for option in chance.sample(options, min(len(options), chance.randrange(4))):
        words += [option, word()] if chance.random() < 0.8 else [option]
    return (name, *words)


@pytest.mark.parametrize("part", range(8))
def test_no_call_breaks_the_command(part: int, tmp_path: Path, call: Call) -> None:
    path = write_tiny(tmp_path)
    before = path.read_bytes()
    for n in range(part, budget(160), 8):
        words = any_call(random.Random(n), path)
        try:
            call_is_good(call, words)
        except BaseException as fault:
            raise AssertionError(f"call {n} breaks it: {words}: {fault!r}") from fault
        assert path.read_bytes() == before
