"""A method of the farm's own: what it is like, what it takes, and what each of its steps is for."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.tui.conftest import Call

HEAD = """
[farm]
name = "Home Farm"
[site]
latitude = 45.0
longitude = 5.0
timezone = "Europe/Paris"
[[batch]]
id = "M1"
species = "Malus domestica"
cultivar = "Testling"
method = "cleft graft"
count = 20
start = 2026-12-01
"""
GRAFT = """
[[protocol]]
species = "Malus domestica"
method = "Cleft graft"
{nature}
[[protocol.step]]
do = "order"
after = []
opens = ["1 Dec"]
closes = ["31 Jan"]
[[protocol.step]]
do = "arrive"
opens = ["1 Feb"]
closes = ["31 Mar"]
[[protocol.step]]
do = "{scions}"
after = []
opens = ["1 Jan"]
closes = ["1 Mar"]
{role}
[[protocol.step]]
do = "graft"
after = ["{scions}", "arrive"]
opens = ["1 Mar"]
closes = ["30 Apr"]
[[protocol.step]]
do = "lift"
opens = ["1 Nov"]
closes = ["15 Dec"]
"""
LIKE = 'like = "bench graft"'


def farm_of(tmp_path: Path, nature: str = LIKE, scions: str = "collect scions", role: str = "") -> Path:
    farm = tmp_path / "farm.toml"
    farm.write_text(HEAD + GRAFT.format(nature=nature, scions=scions, role=role), encoding="utf-8")
    return farm


@pytest.mark.parametrize("nature", [LIKE, 'takes = "scions"\nonto = "rootstocks"\nform = "rootstock"'])
@pytest.mark.parametrize(("scions", "role"), [("collect scions", ""), ("cut wands", 'role = "collect"')])
def test_a_graft_of_the_farms_own_orders_rootstocks_and_scions(
    call: Call, tmp_path: Path, nature: str, scions: str, role: str
):
    farm = farm_of(tmp_path, nature, scions, role)
    assert call("check", farm, "--on", "2027-01-05")[0] == 0
    status, out, _ = call("orders", farm, "--json", "--on", "2027-01-05")
    assert status == 0
    assert {(line["item"], line["count"]) for line in json.loads(out)["orders"]} == {("rootstocks", 20), ("scions", 20)}


def test_what_arrives_for_it_is_rootstock_and_what_is_grafted_a_graft(call: Call, tmp_path: Path):
    farm = farm_of(tmp_path)
    held = []
    for step, day, count in (("order", "2026-12-20", 20), ("arrive", "2027-02-10", 18), ("graft", "2027-03-20", 18)):
        if step == "graft":
            call("done", farm, "M1", "collect scions", "--count", "18", "--on", "2027-02-20")
        assert call("done", farm, "M1", step, "--count", str(count), "--on", day)[0] == 0
        lines = json.loads(call("stock", farm, "--json", "--on", day)[1])["lots"]
        held.append([(line["form"], line["on_hand"], line["going"]) for line in lines])
    assert held == [[], [("rootstock", 18, 0)], [("graft", 0, 18)]]


def test_a_new_method_that_says_nothing_of_itself_is_asked_at_its_line(call: Call, tmp_path: Path):
    farm = farm_of(tmp_path, nature="")
    status, out, err = call("check", farm, "--on", "2027-01-05")
    line = farm.read_text(encoding="utf-8").split("\n").index('method = "Cleft graft"') + 1
    told = out + err
    assert status == 1
    assert f'farm.toml:{line}: method "cleft graft" is new: say which one it is like' in told
    assert 'add like = "bench graft"' in told


@pytest.mark.parametrize(
    ("nature", "role", "said"),
    [
        ('like = "bench grafd"', "", 'did you mean "bench graft"?'),
        ('takes = "scion"', "", 'did you mean "scions"?'),
        (LIKE, 'role = "colect"', 'did you mean "collect"?'),
        (LIKE + '\nmultiplies = "no"', "", "multiplies is true or false"),
    ],
)
def test_a_slip_in_what_a_method_or_a_step_is_has_its_remedy(
    call: Call, tmp_path: Path, nature: str, role: str, said: str
):
    status, out, err = call("check", farm_of(tmp_path, nature, role=role), "--on", "2027-01-05")
    assert status == 1
    assert said in out + err


def test_more_may_come_where_the_farm_says_that_its_method_multiplies(call: Call, tmp_path: Path):
    farm = farm_of(tmp_path)
    call("done", farm, "M1", "arrive", "--count", "20", "--on", "2027-02-10")
    call("done", farm, "M1", "collect scions", "--count", "20", "--on", "2027-02-20")
    graft = ("done", farm, "M1", "graft", "--count", "30", "--on", "2027-03-20")
    assert call(*graft)[0] == 2
    farm_of(tmp_path, LIKE + "\nmultiplies = true")
    assert call(*graft)[0] == 0
