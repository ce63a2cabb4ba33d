"""The rootstock of a batch, and whence and when its seed or wood came: read, told, and told where it cannot be."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from engine.farm.material import said_material
from engine.farm.model import Batch
from engine.farm.reading import read_farm
from tests.engine.farm.test_bad_farms import GOOD, line_of

PEAR = """
[[batch]]
id = "P27"
species = "pear"
cultivar = "Conference"
method = "bench graft"
count = 60
start = 2026-11-01
rootstock = "Quince A"
from = "Hale Orchards"
came = 2026-09-05
"""


def read(folder: Path, text: str) -> tuple[dict[str, Batch], list[tuple[int, str, str]]]:
    path = folder / "hollow.toml"
    path.write_text(text, encoding="utf-8")
    found = read_farm(path)
    batches = {batch.id: batch for batch in found.farm.batches} if found.farm else {}
    return batches, [(p.line, p.message, p.hint) for p in found.problems]


def test_a_batch_bears_its_rootstock_and_whence_and_when_its_wood_came(tmp_path: Path):
    batches, problems = read(tmp_path, GOOD + PEAR)
    assert not problems
    pear = batches["P27"]
    assert (pear.rootstock, pear.source, pear.came) == ("Quince A", "Hale Orchards", date(2026, 9, 5))
    elder = batches["elder-27"]
    assert (elder.rootstock, elder.source, elder.came) == ("", "", None)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ("", ""),
        ('rootstock = "Quince A"', "on Quince A"),
        ('from = "Hale Orchards"', "from Hale Orchards"),
        ("came = 2026-09-05", "came 5 Sep 26"),
        ('rootstock = "Quince A"\nfrom = "the lane"\ncame = 2026-09-05', "on Quince A; from the lane, 5 Sep 26"),
    ],
)
def test_it_is_said_in_one_line(tmp_path: Path, lines: str, said: str):
    batches, problems = read(tmp_path, GOOD + PEAR.partition("rootstock")[0] + lines)
    assert not problems
    assert said_material(batches["P27"]) == said


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("rootstock = 9", "rootstock is a text"),
        ('from = ""', "from is a text"),
        ("from = ['a']", "from is a text"),
        ('came = "soon"', "came is a date"),
        ("came = 0026-09-05", "came = "),
    ],
)
def test_what_cannot_be_read_is_told_with_its_line(tmp_path: Path, line: str, told: str):
    text = GOOD + PEAR.partition("rootstock")[0] + line + "\n"
    _, problems = read(tmp_path, text)
    assert [(number, told in message) for number, message, _ in problems] == [(line_of(text, line), True)]


def test_a_rootstock_of_what_is_grafted_on_nothing_is_told_and_the_batch_stays(tmp_path: Path):
    text = GOOD.replace("count = 240", 'count = 240\nrootstock = "Quince A"')
    batches, problems = read(tmp_path, text)
    assert problems == [
        (line_of(text, "rootstock"), "hardwood cutting takes no rootstock", "leave rootstock out, or graft it")
    ]
    assert "elder-27" in batches
