"""What the README says is so: its picture, its commands, its two first lines."""

from __future__ import annotations

import re
import shlex
import tomllib
from collections.abc import Callable
from datetime import date
from pathlib import Path
from textwrap import dedent

import pytest

from engine.farm.reading import read_document
from engine.protocols.reading import _STEP
from tests.tui.conftest import Call
from tui.commands import NAMES

TOP = Path(__file__).parent.parent.parent
README = (TOP / "README.md").read_text(encoding="utf-8")
CALLS = [line.strip() for line in README.splitlines() if line.startswith("    widger ")]


def test_its_pictures_stand_under_the_first_paragraph_and_are_there() -> None:
    """That they are fresh is asked where the screens are open (tests/tui/screens/test_snapshots.py)."""
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert [Path(picture).stem for picture in pictures] == ["week", "cold"]
    assert all((TOP / picture).read_text(encoding="utf-8").startswith("<svg ") for picture in pictures)
    assert README.index(pictures[-1]) < README.index("\n## ")


def test_the_job_stands_first_in_one_paragraph() -> None:
    title, job = README.split("\n\n")[:2]
    assert title == "# Widger"
    assert job.startswith("Widger tells a small grower")
    assert len(job.splitlines()) >= 4


def test_the_first_line_that_runs_the_tests_is_the_whole_command() -> None:
    """`.ci/run` takes the first line of the README that holds `-m tests`."""
    first = next(line for line in README.splitlines() if "-m tests" in line)
    assert first.startswith("    python3 -m venv .venv && ")
    assert first.endswith(" && .venv/bin/python -m tests")


def test_every_command_in_the_readme_is_one() -> None:
    named = set(re.findall(r"`?widger ([a-z]+)", README)) - {"farm"}
    assert named <= set(NAMES), named - set(NAMES)


@pytest.mark.parametrize("line", CALLS)
def test_every_call_in_the_readme_works_on_the_demo(line: str, demo: Callable[[date], Path], call: Call) -> None:
    """The columns of explanation are cut off; the farm is the demo on a day on which each call makes sense."""
    words = shlex.split(re.split(r"\s{3,}", line)[0])[1:]
    farm = demo(date(2027, 4, 6))
    words = [str(farm) if word == "farm.toml" else word for word in words]
    if "--on" not in words:
        words += ["--on", "2027-04-06"]
    status, out, err = call(*words)
    assert (status, err) == (0, ""), err
    assert out.strip() or words[0] == "labels"


def test_the_planting_in_the_readme_is_read_without_fault_and_asks_for_its_plants() -> None:
    lines = README[README.index("    [[planting]]\n") :].split("\n\n")[0]
    text = '[site]\nlatitude = 45.0\nlongitude = 5.0\ntimezone = "Europe/Paris"\n'
    text += 'last_frost = "05-08"\nfirst_frost = "10-03"\n' + dedent(lines)
    reading = read_document(tomllib.loads(text), text, "farm.toml")
    assert reading.problems == ()
    assert reading.farm is not None
    [planting] = reading.farm.plantings
    assert {(need.species, need.count) for need in planting.needs()} == {
        ("Malus domestica", 4), ("Corylus avellana", 4), ("Crataegus monogyna", 30),
    }  # fmt: skip


def test_the_protocol_in_the_readme_is_read_without_fault() -> None:
    begin = README.index('    [[protocol]]\n    species = "Cydonia oblonga"')
    lines = README[begin:].split("\n\n")[0]
    text = '[site]\nlatitude = 45.0\nlongitude = 5.0\ntimezone = "Europe/Paris"\n'
    text += 'last_frost = "05-08"\nfirst_frost = "10-03"\n' + dedent(lines)
    text += '\n[[batch]]\nid = "Q"\nspecies = "Cydonia oblonga"\nmethod = "seed"\nroute = "my own quinces"\n'
    text += "count = 300\nstart = 2027-09-01\n"
    reading = read_document(tomllib.loads(text), text, "farm.toml")
    assert reading.problems == ()
    assert reading.farm is not None
    [batch] = reading.farm.batches
    assert [step.do for step in batch.protocol.steps] == [
        "collect", "clean", "stratify cold", "sow", "check take", "lift",
    ]  # fmt: skip
    used = {key for step in tomllib.loads(dedent(lines))["protocol"][0]["step"] for key in step}
    refining = {"before", "batches_within"}  # of the library's own; a range says the second better
    assert used == {"do", *_STEP} - refining
