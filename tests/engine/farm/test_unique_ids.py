"""Ids of a farm file: each had once among all the kinds that share it, and told by its line."""

from __future__ import annotations

import pytest
import tomli

from engine.farm.reading import Reading, read_document
from tests.tui.farms import TINY, batch

STOCK = '[[stock]]\n{lot}species = "Fictus ripensis"\nform = "liner"\nplace = "seed beds"\ncount = {count}\n'
NEED = '[[need]]\n{id}species = "Fictus ripensis"\ncount = 5\nby = 2028-03-01\n'
PLANTING = '[[planting]]\nname = "belt"\nby = 2028-03-01\n[[planting.position]]\nspecies = "Fictus ripensis"\n'


def read(more: str) -> Reading:
    text = TINY + more
    return read_document(tomli.loads(text), text, "hollow.toml")


def stock(lot: str = "", count: int = 50) -> str:
    return STOCK.format(lot=f'lot = "{lot}"\n' if lot else "", count=count)


def need(name: str = "") -> str:
    return NEED.format(id=f'id = "{name}"\n' if name else "")


@pytest.mark.parametrize(
    ("more", "line", "message"),
    [
        (stock("Z1"), 'lot = "Z1"', 'one of the batches is called "Z1" too'),
        (stock(" z1 "), 'lot = " z1 "', 'one of the batches is called "z1" too'),
        (stock("É1") + stock("e1"), 'lot = "e1"', 'two lots in stock are called "e1"'),
        (batch("Z1 "), 'id = "Z1 "', 'two batches are called "Z1"'),
        (need("fair") + need("Fair "), 'id = "Fair "', 'two needs are called "Fair"'),
        (PLANTING + need("belt 1"), 'id = "belt 1"', 'the planting belt asks for plants under the id "belt 1"'),
        ('[[place]]\nname = "Cold store"\n', 'name = "Cold store"', 'two places are called "Cold store"'),
        (PLANTING + PLANTING, 'name = "belt"', 'two plantings are called "belt"'),
    ],
)
def test_an_id_that_is_had_twice_is_told_with_its_line_and_left_out(more: str, line: str, message: str):
    reading = read(more)
    [problem] = reading.problems
    assert (problem.message, problem.hint) == (message, "ids must be unique: change one")
    lines = (TINY + more).splitlines()
    assert problem.line == max(n for n, text in enumerate(lines, 1) if text == line)
    assert reading.farm is not None
    ids = [b.id for b in reading.farm.batches] + [o.lot for o in reading.farm.opening]
    assert len({each.casefold() for each in ids}) == len(ids)


def test_what_has_no_name_is_given_one_that_nothing_bears():
    reading = read(stock() + stock() + stock("S1") + batch("s2") + stock(count=7))
    assert reading.problems == ()
    assert reading.farm is not None
    assert [o.lot for o in reading.farm.opening] == ["S5", "S6", "S1", "S4"]
    needs = read(need() + need("n1") + need()).farm
    assert needs is not None
    assert [n.id for n in needs.needs] == ["N4", "n1", "N3"]
    plain = read(stock() + stock("L") + stock()).farm
    assert plain is not None
    assert [o.lot for o in plain.opening] == ["S1", "L", "S3"]
