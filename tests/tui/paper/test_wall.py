"""The sheet for the wall, read back by parsers that had no part in writing it."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from engine.schedule.plan import Day
from engine.views.week import Week, week_view
from tests.tui.conftest import Call
from tests.tui.farms import open_house
from tests.tui.paper.labels.paper import ink
from tui.farmhouse import Farmhouse
from tui.paper.wall import MARGIN, PAPERS, SIZES, wall_pdf, wall_pieces

SPRING = date(2027, 4, 6)
MM = 72 / 25.4


@pytest.fixture
def spring(demo_of: Callable[[date], Path]) -> tuple[Farmhouse, list[Week]]:
    house = open_house(demo_of(SPRING))
    plans = house.plans(SPRING)
    return house, [week_view(Day(house.nursery, plans, SPRING), SPRING + timedelta(7 * n)) for n in range(3)]


@pytest.mark.parametrize("paper", PAPERS)
def test_every_task_has_a_box_and_stands_within_the_page(spring: tuple[Farmhouse, list[Week]], paper: str):
    house, weeks = spring
    printed = wall_pdf(house.farm, weeks, paper)
    reader = PdfReader(BytesIO(printed.data))
    assert len(reader.pages) == printed.pages
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == pytest.approx(PAPERS[paper], abs=0.01)
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    acts = [task for task in weeks[0].tasks if task.kind == "act"]
    assert acts
    for task in acts:
        assert f"{task.step}: {task.count} {task.plant}, {task.lot}" in text
    drawings = b" ".join(page.get_contents().get_data() for page in reader.pages)  # type: ignore[union-attr]
    boxes = len(re.findall(rb"\bre\b", drawings))
    assert boxes == sum(piece.box for piece in wall_pieces(house.farm, weeks))
    width, height = PAPERS[paper]
    for letter in ink(printed.data):
        assert letter.left * MM >= MARGIN - 3
        assert letter.right * MM <= width - MARGIN + 3
        assert letter.top * MM >= MARGIN - 3
        assert letter.bottom * MM <= height - MARGIN / 2 + 6


def test_each_week_begins_a_page_and_each_caution_is_told_once(spring: tuple[Farmhouse, list[Week]]):
    house, weeks = spring
    pieces = wall_pieces(house.farm, weeks)
    titles = [piece for piece in pieces if piece.size == "title"]
    assert [piece.new_page for piece in titles] == [False, True, True]
    cautions = [piece.text for piece in pieces if piece.text.startswith("! ")]
    assert len(cautions) > 3
    assert len(cautions) == len(set(cautions))
    firsts = [piece.text for piece in pieces[: pieces.index(titles[1])]]
    later = [piece for piece in pieces[pieces.index(titles[1]) :] if piece.box and ": " in piece.text]
    again = [
        piece for piece in later if piece.text in firsts and not piece.text.split(":")[0].endswith(("look", "looks"))
    ]
    assert all(piece.right.startswith("by ") or piece.right.endswith("late") for piece in again)  # only where it ends
    assert SIZES["task"] >= 14  # read from two steps away (common practice)


def test_the_command_writes_it(demo: Callable[[date], Path], call: Call, tmp_path: Path):
    farm, sheet = demo(SPRING), tmp_path / "wall.pdf"
    words = ("week", farm, "--on", "2027-04-06", "--pdf", sheet, "--paper", "letter")
    status, out, _ = call(*words, "--weeks", "3")
    assert status == 0
    assert str(sheet) in out
    assert len(PdfReader(sheet).pages) >= 3
    status, _, err = call(*words, "--weeks", "9")
    assert (status, "--weeks goes up to 4" in err) == (2, True)
