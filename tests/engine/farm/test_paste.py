"""Lines to paste into a farm file: pasted where they say, the file reads as it was tried, and nothing else changes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
import tomli

from engine.farm.paste import Change, NotSo, Paste, Written, pastes, tried, written
from engine.farm.reading import Reading, read_document

HEAD = '[farm]\nname = "Hollow"\n\n[site]  # here\nlatitude = 45.0\nlongitude = 5.0\ntimezone = "Europe/Paris"\n'
TABLES = HEAD + (
    'coldest = -12\n\n[site.last_frost]\n"50%" = "04-24"\n"10%" = "05-06"\n\n[site.first_frost]\n"50%" = "10-14"\n'
    '"10%" = "10-01"\n\n[site.marks]\n"Leaf Drop" = "first frost + 2 weeks"  # ours\n\n'
    '[[place]]\nname = "cold store"\n'
)
MANY_LINES = TABLES + (
    "\n[site.temperature]\nmean_max = [\n" + "    4.5, # a ] here\n" * 12 + "]\nmean_min = [" + "1, " * 11 + "1]\n"
)
ON_ONE_LINE = HEAD + (
    'last_frost = "24 Apr"\nfirst_frost = "14 Oct"\nmarks = {"leaf drop" = "first frost + 2 weeks"}\n'
    f"temperature = {{mean_max = {[4] * 12}, mean_min = {[1] * 12}}}\n"
    '\n[[place]]\nname = "cold store"\n'
)
LONE = HEAD + 'last_frost = "24 Apr"\nfirst_frost = "14 Oct"\n\n[[place]]\nname = "cold store"\n'
LAST = {"90%": "04-10", "50%": "04-26", "10%": "05-09"}
FILES = {"tables": TABLES, "many lines": MANY_LINES, "on one line": ON_ONE_LINE, "lone": LONE}
CASES: tuple[tuple[str, Sequence[Change]], ...] = (
    ("frost dates", [(("site", "last_frost"), LAST), (("site", "first_frost"), {"50%": "10-12"})]),
    ("no frost", [(("site", "last_frost"), None), (("site", "first_frost"), None)]),
    ("a mark", [(("site", "marks", "bud swell"), {"latest": ["last frost - 3 weeks", "day length rises to 11 h"]})]),
    ("marks", [(("site", "marks", "bud swell"), "last frost"), (("site", "marks", "rooks nest"), "15 Mar")]),
    (
        "temperatures",
        [(("site", "temperature", key), [n + 0.5 for n in range(12)]) for key in ("mean_max", "mean_min")],
    ),
    ("the place", [(("site", "latitude"), 46.5), (("site", "elevation_m"), "1200 ft"), (("site", "coldest"), "-4 F")]),
    ("the coldest night no longer", [(("site", "coldest"), None)]),
)


def reading(text: str) -> Reading:
    found = read_document(tomli.loads(text), text, "hollow.toml")
    assert found.problems == ()
    return found


def file_of(text: str, one_of_each: bool = False) -> Written:
    return written(read_document(tomli.loads(text), text, "hollow.toml"), "hollow.toml", one_of_each)


def follow(text: str, lines: Sequence[Paste]) -> str:
    """The text as one who follows what is said beside the lines would leave it."""
    rows = text.rstrip("\n").split("\n")
    at = {each: int(found[1]) - 1 for each in lines if (found := re.search(r"lines? (\d+)", each.where))}
    for each in sorted(at, key=lambda each: -at[each]):
        first, new = at[each], each.text.split("\n")
        several = re.search(r"lines \d+ to (\d+)", each.where)
        last = int(several[1]) if several else first + 1
        table = first + 1
        while table < len(rows) and rows[table].strip() and not rows[table].startswith("["):
            table += 1
        if each.where.startswith("under ["):
            rows[first + 1 : first + 1] = new
        elif "take out" in each.where:
            rows[first : table if "table" in each.where else last] = []
        else:
            rows[first : table if "in place of [" in each.where else last] = new
    for each in lines:
        if each not in at:
            assert each.where == "at the end of the file"
            rows += ["", each.text]
    return "\n".join(rows) + "\n"


@pytest.mark.parametrize(
    "text", [TABLES, LONE, TABLES.replace("[site]  # here", "[site]")], ids=["tables", "lone", "bare"]
)
@pytest.mark.parametrize("changes", [changes for _, changes in CASES], ids=[name for name, _ in CASES])
def test_pasted_where_they_say_the_file_reads_as_it_was_tried(text: str, changes: Sequence[Change]):
    assert reading(text).farm is not None
    before = file_of(text)
    farm = tried(before, changes)
    lines = pastes(before, changes)
    assert tried(before, changes) == farm  # one change is tried after another
    after = follow(text, lines)
    assert reading(after).farm == farm
    assert pastes(file_of(after), changes) == ()
    assert tomli.loads(after)["place"] == tomli.loads(text)["place"]


def test_what_stands_so_already_is_no_line():
    assert pastes(file_of(LONE), [(("site", "latitude"), 45.0), (("site", "temperature", "mean_max"), None)]) == ()


def test_each_says_its_place_in_the_file():
    lines = pastes(
        file_of(TABLES), [(("site", "last_frost"), LAST), (("site", "latitude"), 46), (("site", "region"), "FR"),
                 (("site", "marks", "bud swell"), "last frost"), (("site", "temperature", "record"), "t.csv")]
    )  # fmt: skip
    assert [(each.where, each.text) for each in lines] == [
        ("from line 10, in place of [site.last_frost]",
         '[site.last_frost]\n"90%" = "04-10"\n"50%" = "04-26"\n"10%" = "05-09"'),
        ("line 5, in place of what stands there", "latitude = 46"),
        ("under [site], line 4", 'region = "FR"'),
        ("under [site.marks], line 18", '"bud swell" = "last frost"'),
        ("at the end of the file", '[site.temperature]\nrecord = "t.csv"'),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("path", "value", "told", "hint"),
    [
        (("site", "last_frost"), {"50%": "soon"}, "is not a month-day", "8 May"),
        (("site", "last_frost"), {"50%": "09-24"}, "the other hemisphere's dates", "negative"),
        (("site", "first_frost"), None, "last_frost needs first_frost beside it", "both"),
        (("site", "latitude"), 91, "latitude = 91 is out of range", "-90 to 90"),
        (("site", "coldest"), "cold", "does not say its unit", "-4 F"),
        (("site", "timezone"), "Europe/Pariss", "is not known", "Europe/Paris"),
        (("site", "marks", "bud swell"), "last forst - 5 weeks", 'no mark is called "last forst"', "last frost"),
        (("site", "marks", "bud swell"), "bud swell + 1 week; 3", "", ""),
        (("site", "temperature", "mean_max"), [1.0] * 12, "mean_max needs mean_min beside it", "mean_min"),
        (("site", "temperature", "mean_max"), [1.0] * 11, "mean_max is twelve numbers, not 11", "climate table"),
    ],
)
def test_what_the_reader_refuses_is_refused_with_its_remedy(path: Any, value: Any, told: str, hint: str):
    with pytest.raises(NotSo) as caught:
        tried(file_of(TABLES), [(path, value)])
    assert told in str(caught.value)
    assert hint in caught.value.hint


def test_a_fault_that_the_file_has_already_stands_in_nobodys_way():
    text = TABLES + 'colour = "red"\n'
    before = file_of(text)
    assert len(before.reading.problems) == 1
    assert tried(before, [(("site", "latitude"), 46)]).site.latitude == 46


def test_the_lines_of_the_demo_farm_are_found_in_its_text():
    text = (Path(__file__).parents[3] / "demo_farm.toml").read_text(encoding="utf-8")
    [line] = pastes(file_of(text), [(("site", "last_frost"), LAST)])
    number = int(re.findall(r"line (\d+)", line.where)[0])
    assert text.split("\n")[number - 1].startswith("[site.last_frost]")


def test_of_batches_that_are_alike_one_is_enough_to_try_a_site_on():
    lots = "".join(
        f'[[batch]]\nid = "B{n}"\nspecies = "{species}"\nmethod = "{method}"\ncount = {n + 1}\n'
        f"start = 2026-11-{n + 1:02}\n"
        for n, (species, method) in enumerate([("elder", "hardwood cutting"), ("fig", "hardwood cutting")] * 3)
    )
    whole, few = file_of(TABLES + lots), file_of(TABLES + lots, one_of_each=True)
    changes = [(("site", "last_frost"), LAST)]
    assert [batch.id for batch in tried(few, changes).batches] == ["B0", "B1"]
    assert pastes(few, changes) == pastes(whole, changes)
    assert tried(few, changes).site == tried(whole, changes).site
    colder = [(("site", "coldest"), -40)]  # of every tender plant one is told
    told = []
    for there in (whole, few):
        with pytest.raises(NotSo) as caught:
            tried(there, colder)
        told.append((str(caught.value), caught.value.hint))
    assert told[0] == told[1]
