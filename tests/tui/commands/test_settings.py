"""Places, prices and hours that are set without the farm file: by a command, as the file would say it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.acts.action import Refused
from engine.farm.places import MONTH_KEYS
from tests.tui.conftest import Call
from tests.tui.farms import TINY, TODAY, open_house, write_tiny
from tests.tui.screens.cold.test_screen import written
from tui.answers import hours_by_month, listed, price_of

ON = ("--on", TODAY)


def test_a_place_a_price_and_hours_are_set_and_undone(call: Call, tiny: Path):
    before = open_house(tiny).farm
    room = call("place", tiny, "sand bed", "--cover", "yes", "--room", "40 trays, 1,200 litres", "--loss", "5%", *ON)
    told = "place sand bed: under cover, room for 40 trays, 1,200 litres, 5 % of lots lost whole a year"
    assert room[1] == f"{told} (18 Jan)\n"
    assert call("price", tiny, "rootstock", "105 a hundred", *ON)[1] == "rootstock costs 105 a hundred (18 Jan)\n"
    status, out, err = call("hours", tiny, "Jan 6, apr 20", *ON, "--json")
    assert (status, err, json.loads(out)["now"]["apr"]) == (0, "", 20)
    farm = open_house(tiny).farm
    assert [(p.name, p.under_cover) for p in farm.places if p.name == "sand bed"] == [("sand bed", True)]
    assert farm.hours_by_month[:4] == (6, 10, 10, 20)
    assert "hours a week: 10, Jan 6, Apr 20" in call("entries", tiny)[1]
    assert "sand bed" in call("room", tiny, *ON)[1]
    for _ in range(3):
        call("undo", tiny)
    after = open_house(tiny).farm
    assert (after.places, after.prices, after.hours_by_month) == (before.places, before.prices, before.hours_by_month)


def test_a_place_is_renamed_and_removed_and_a_price_removed_by_commands(call: Call, tiny: Path):
    assert call("place", tiny, "cold store", "--rename", "cellar", *ON)[1] == (
        "place cold store renamed cellar (18 Jan)\n"
    )
    farm = open_house(tiny).farm
    assert "cellar" in {farm.where(batch, step) for batch in farm.batches for step in batch.protocol.steps}
    assert call("place", tiny, "sand bed", "--cover", "yes", *ON)[0] == 0
    assert call("place", tiny, "sand bed", "--remove", *ON)[1] == "place sand bed removed (18 Jan)\n"
    assert call("price", tiny, "pot", "22 a hundred", *ON)[0] == 0
    assert call("price", tiny, "pot", "none", *ON)[1] == "pot: price removed (18 Jan)\n"
    status, out, err = call("place", tiny, "cellar", "--remove", *ON)
    assert (status, out) == (2, "")
    assert "cellar cannot be removed" in err
    assert "goes alone" in call("place", tiny, "cellar", "--remove", "--cover", "yes", *ON)[2]
    for _ in range(5):
        call("undo", tiny, *ON)
    assert "cellar" not in {place.name for place in open_house(tiny).farm.places}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("place", "sand bed"), "say what has changed"),
        (("place", "sand bed", "--room", "plenty"), "40 trays"),
        (("place", "cold stor", "--room", "1 tray"), 'did you mean "cold store"?'),
        (("place", "cold store", "--cover", "perhaps"), "yes or no"),
        (("price", "spade", "9 each"), 'item "spade" is not known'),
        (("price", "pot", "much"), "write 1.2 each"),
        (("price", "pot", "9 a kg"), "only seed is sold by the kg"),
        (("hours", "a lot"), '"a" is not a month'),
        (("hours", "200"), "0 to 168"),
    ],
)
def test_what_the_file_could_not_say_is_refused_with_its_remedy(
    call: Call, tiny: Path, words: tuple[str, ...], told: str
):
    status, out, err = call(words[0], tiny, *words[1:], *ON)
    assert (status, out) == (2, "")
    assert told in err
    assert written(tiny) == []


def test_check_tells_what_the_file_has_overtaken_and_finds_no_fault_in_it(call: Call, tmp_path: Path):
    farm = write_tiny(tmp_path, history=False)
    call("place", farm, "cold store", "--room", "80 litres", *ON)
    write_tiny(tmp_path, TINY.replace('name = "cold store"', 'name = "cold store"\nroom = "60 litres"'), history=False)
    status, out, err = call("check", farm, *ON)
    assert (status, err) == (0, "")
    assert "so this no longer counts: place cold store: room for 80 litres" in " ".join(out.split())
    assert [place.room for place in open_house(farm).farm.places if place.name == "cold store"] == [("60 litres",)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1.2 each", {"each": 1.2}), ("1,2", {"each": 1.2}), ("105 a hundred", {"hundred": 105}),
        ("99/100", {"hundred": 99}), ("14 a kg", {"kg": 14}), ("6 per oz", {"oz": 6}), ("8 a pound", {"lb": 8}),
        ("3.5 a packet of 1,200 seeds", {"packet": 3.5, "seeds": 1200}),
    ],
)  # fmt: skip
def test_a_price_is_read_as_it_is_said(text: str, told: dict[str, float]):
    assert price_of(text) == told


def test_hours_and_lists_are_read_as_they_are_said():
    assert hours_by_month("14,5") == 14.5
    assert hours_by_month("January 6, Feb 7,5, apr=20") == {"jan": 6, "feb": 7.5, "apr": 20}
    assert hours_by_month("20, Jul 8") == {**dict.fromkeys(MONTH_KEYS, 20), "jul": 8}
    assert listed("40 trays, 1,200 litres , ") == ["40 trays", "1,200 litres"]
    for text in ("", "Jan", "Jan x", "14 hours"):
        with pytest.raises(Refused):
            hours_by_month(text)
