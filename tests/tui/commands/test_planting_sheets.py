"""What is printed of a planting: what works here, the sheet of the walk, the plan to scale, labels of positions."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

from pypdf import PdfReader

from tests.tui.conftest import Call


def test_what_works_here_and_the_sheet_of_the_walk(call: Call, demo_of: Callable[[date], Path]):
    on = date(2027, 3, 1)
    words = ("--on", "2027-03-01")
    told = json.loads(call("planting", demo_of(on), "--works", *words, "--json")[1])["works"]
    hazel = next(each for each in told if each["species"] == "Corylus avellana" and each["by"] is None)
    assert hazel["lived"]["of"] >= 6
    assert hazel["lived"]["range"][0] < hazel["lived"]["share"] < hazel["lived"]["range"][1]
    sheet = call("planting", demo_of(on), "--works", *words)[1]
    assert "too few" in sheet
    assert max(map(len, sheet.splitlines())) <= 74
    boxes = call("planting", demo_of(on), "the brook orchard", "--sheet", *words)[1]
    assert boxes.count("[ ] alive") + boxes.count("dead already") == 34
    assert max(map(len, boxes.splitlines())) <= 80


def test_a_planting_is_drawn_to_scale_for_the_wall(call: Call, demo_of: Callable[[date], Path], tmp_path: Path):
    on = date(2027, 3, 1)
    svg, pdf, labels = (tmp_path / name for name in ("o.svg", "o.pdf", "l.pdf"))
    words = ("planting", demo_of(on), "the brook orchard", "--on", "2027-03-01")
    assert call(*words, "--svg", svg, "--pdf", pdf, "--labels", labels)[0] == 0
    drawn = ElementTree.parse(svg).getroot()
    space = "{http://www.w3.org/2000/svg}"
    circles = {
        (float(c.get("cx", 0)), float(c.get("cy", 0))): float(c.get("r", 0)) for c in drawn.iter(f"{space}circle")
    }
    told = json.loads(call(*words, "--json")[1])["plantings"][0]["positions"]
    living = [each for each in told if each["state"] != "dead"]
    assert len(circles) == len(living)
    west = min(x for x, _ in circles) - min(each["at_m"][0] for each in living)
    south = max(y for _, y in circles) + min(each["at_m"][1] for each in living)
    for each in living:  # to scale, east to the right and north up
        spot = each["at_m"][0] + west, south - each["at_m"][1]
        assert any(abs(x - spot[0]) < 0.02 and abs(y - spot[1]) < 0.02 for x, y in circles), each["id"]
    texts = {"".join(text.itertext()).split()[-1] for text in drawn.iter(f"{space}text")}
    assert {each["id"] for each in told} <= texts
    pages = [page.extract_text() for page in PdfReader(pdf).pages]
    assert "P.2" in pages[0]
    assert "[ ] alive" in pages[1]
    assert "the brook orchard P.2" in " ".join(" ".join(p.extract_text() for p in PdfReader(labels).pages).split())
    assert call("planting", demo_of(on), "--svg", tmp_path / "x.svg", "--year", "2030")[0] == 0
    (tmp_path / "no.svg").write_text("a letter", encoding="utf-8")
    assert call(*words, "--svg", tmp_path / "no.svg")[0] == 2
    status, _, err = call(*words, "--svg", tmp_path)
    assert status == 2
    assert "is a folder" in err
