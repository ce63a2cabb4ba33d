"""`widger needs`, `promise`, `ways`, `orders` and `review` on the demo farm: figures, text of 80 columns, refusals."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.tui.conftest import Call

TODAY = date(2027, 1, 15)
DemoOf = Callable[[date], Path]


@pytest.fixture
def ask(call: Call, demo_of: DemoOf) -> Callable[..., Any]:
    """One command on the demo farm that must do well: its JSON."""

    def run(name: str, *words: object) -> Any:
        status, out, err = call(name, demo_of(TODAY), *words, "--on", TODAY, "--json")
        assert (status, err) == (0, "")
        return json.loads(out)

    return run


def test_needs_add_up(ask: Callable[..., Any]):
    told = ask("needs")
    assert {n["id"] for n in told["needs"]} >= {"ORCHARD", "HEDGE", "MARKET", "the wind belt 1"}
    for n in told["needs"]:
        assert n["short"] == max(0, n["count"] - n["gone_out"] - n["on_hand"] - n["coming"])
        assert sum(lot["count"] for lot in n["lots"]) == n["on_hand"] + n["coming"]
    hedge = next(n for n in told["needs"] if n["id"] == "HEDGE")
    assert (hedge["by"], hedge["count"], hedge["on_hand"], hedge["short"]) == ("2027-03-20", 120, 85, 35)


def test_plantings_tell_their_odds_year_by_year(ask: Callable[..., Any]):
    belt = next(each for each in ask("needs")["plantings"] if each["name"] == "the wind belt")
    assert (belt["name"], belt["by"], len(belt["positions"])) == ("the wind belt", "2028-12-01", 3)
    for position in belt["positions"]:
        assert [b["year"] for b in position["bears"]] == [2030, 2031, 2033, 2036, 2040]
        for odds in position["bears"]:
            assert odds["alone"] <= odds["with_understudies"] <= 1
    assert "so close only for a hedge" in belt["positions"][2]["told"]


def test_a_lot_lost_is_told_with_what_remains(ask: Callable[..., Any]):
    told = ask("needs", "--without", "S1")
    assert [(n["id"], n["more_short"]) for n in told["needs"]] == [("ORCHARD", 24)]
    assert all(not way["feasible"] for way in told["needs"][0]["ways"])


def test_a_promise(ask: Callable[..., Any]):
    """24 of the 36 pears are the orchard's: 12 can be promised, if the nursery beds lose nothing."""
    told = ask("promise", "Pyrus communis", "--by", "2027-03-01", "--form", "bare root", "--cultivar", "Conference")
    assert (told["expected"], told["promised"], told["free"], told["needs"]) == (36.0, 24, 12, ["ORCHARD"])
    assert told["lots"] == [{"lot": "S1", "count": 36, "on_hand": True, "ready": None}]


def test_ways_stand_side_by_side_those_that_can_be_first(ask: Callable[..., Any]):
    told = ask("ways", "Sambucus canadensis", 30, "--by", "2029-03-01", "--cultivar", "Adams", "--sure", "80")
    can = [way for way in told["ways"] if way["feasible"]]
    assert told["ways"][: len(can)] == can
    assert {way["method"] for way in can} >= {"hardwood cutting", "softwood cutting"}
    for way in can:
        assert "2027-01-15" <= way["start_by"] <= way["ready"] <= "2029-03-01"
        assert way["start"] > 30
        assert way["chance"] >= 0.8 - 1e-6
    assert {way["reason"] for way in told["ways"] if not way["feasible"]} == {"seedlings are not Adams"}
    halves = [pair for pair in told["splits"] if not pair["lean"]]
    assert all(pair["short_chance"] < pair["short_chance_in_one"] for pair in halves)
    assert any(pair["lean"] for pair in told["splits"])
    surer = ask("ways", "Sambucus canadensis", 30, "--by", "2029-03-01", "--cultivar", "Adams", "--sure", "95")
    starts = {(w["method"], w["route"]): w["start"] for w in surer["ways"]}
    assert all(starts[w["method"], w["route"]] > w["start"] for w in can)


def test_ways_tell_what_they_cost_by_the_farms_prices(ask: Callable[..., Any]):
    """The demo farm pays 15 an hour; a hundred apple stocks cost 105, a scion 0.80; no stock plant of apple is kept."""
    told = ask("ways", "apple", 40, "--by", "2029-03-01")
    graft = next(way for way in told["ways"] if way["method"] == "bench graft")
    parts = {part["item"]: part["amount"] for part in graft["cost"]["parts"]}
    assert (graft["cost"]["currency"], graft["cost"]["no_price"]) == ("GBP", [])
    assert parts["rootstocks"] == pytest.approx(graft["start"] * 1.05, abs=0.01)
    assert parts["scions"] == pytest.approx(graft["start"] * 0.8, abs=0.01)
    assert parts["work"] == pytest.approx(graft["hours"] * 15, abs=0.1)
    assert graft["cost"]["total"] == pytest.approx(sum(parts.values()), abs=0.01)
    assert all(pair["cost"]["total"] > 0 for pair in told["splits"])


def test_the_text_tells_the_cost_only_where_there_are_prices(call: Call, demo: DemoOf):
    farm = demo(TODAY)
    words = ("hazel", 20, "--by", "2029-03-01", "--on", TODAY)
    assert "GBP" in call("ways", farm, *words)[1]
    text = farm.read_text(encoding="utf-8")
    farm.write_text(text[: text.index("[[price]]")], encoding="utf-8")
    assert "cost" not in call("ways", farm, *words)[1]


def test_a_species_that_the_farm_has_not_raised_keeps_its_own_marks(ask: Callable[..., Any]):
    told = ask("ways", "black walnut", 10, "--by", "2030-03-01")
    assert told["species"] == "Juglans nigra"
    assert any(way["feasible"] for way in told["ways"])


def test_orders_are_sorted_by_the_day_by_which_they_go_out(ask: Callable[..., Any]):
    orders = ask("orders")["orders"]
    days = [o["order_by"] for o in orders if o["order_by"]]
    assert days == sorted(days)
    buds = next(o for o in orders if o["item"] == "buds" and o["plant"] == "medlar Nottingham")
    assert (buds["state"], buds["arrived"], buds["to_order"]) == ("to order", 0, 40)
    assert all(o["count"] == sum(p["count"] for p in o["parts"]) for o in orders)


def test_the_review_of_a_year(ask: Callable[..., Any]):
    told = ask("review", "--year", "2026")
    elder = next(k for k in told["kinds"] if k["species"] == "Sambucus canadensis")
    stick = next(s for s in elder["steps"] if s["step"] == "stick")
    assert stick["actual"] == round(stick["through"] / stick["into"], 4)
    assert ask("review", "--year", "2019")["kinds"] == []


@pytest.mark.parametrize(
    "words",
    [
        ("needs",),
        ("needs", "--without", "S2"),
        ("promise", "Sambucus canadensis", "--by", "2028-03-01"),
        ("ways", "hazel", 20, "--by", "2029-03-01"),
        ("ways", "medlar", 20),
        ("orders",),
        ("review", "--year", "2026"),
    ],
    ids=lambda words: " ".join(map(str, words)),
)
def test_the_text_fits_80_columns(call: Call, demo_of: DemoOf, words: tuple[object, ...]):
    status, out, err = call(words[0], demo_of(TODAY), *words[1:], "--on", TODAY)
    assert (status, err) == (0, "")
    assert out.strip()
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("promise", "Sambucus canadensis"), "--by"),
        (("promise", "Sambucus canadensis", "--by", "2020-01-01"), "has passed"),
        (("promise", "Sambucus canadensis", "--by", "soon"), "is not a date"),
        (("promise", "Sambucus canadensis", "--by", "2028-01-01", "--sure", "100"), "certainty 100"),
        (("promise", "Sambucus canadiensis", "--by", "2028-01-01"), "did you mean"),
        (("ways", "hazel", "many", "--by", "2028-01-01"), "must be 0 or more"),
        (("ways", "hazel", "0", "--by", "2028-01-01"), "from 1 to"),
        (("ways", "--by", "2028-01-01"), "usage: widger ways [FARM] SPECIES COUNT"),
        (("needs", "--without", "E99"), 'no lot is called "E99"'),
        (("review", "--year", "long ago"), "is not a date"),
    ],
)
def test_bad_calls_exit_with_2_and_a_plain_message(call: Call, demo_of: DemoOf, words: tuple[str, ...], told: str):
    status, out, err = call(words[0], demo_of(TODAY), *words[1:], "--on", TODAY)
    assert (status, out) == (2, "")
    assert told in err
    assert "Traceback" not in err


def test_a_farm_without_needs_says_so(call: Call, tiny: Path):
    status, out, _ = call("needs", tiny, "--on", TODAY)
    assert status == 0
    assert "Nothing is needed" in out
