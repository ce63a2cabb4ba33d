"""What may be recorded of the stock, and what is refused: with what is there, and the nearest spelling."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from engine.acts import stock as actions
from engine.acts.action import Action, Refused
from engine.acts.find_in_stock import Ledger, find_holding
from engine.records.words import said
from tests.engine.records.farms import TODAY, Journal, held

YESTERDAY = TODAY - timedelta(1)


@pytest.fixture
def journal() -> Journal:
    return Journal()


def refused(do: Callable[[], object]) -> str:
    with pytest.raises(Refused) as caught:
        do()
    return f"{caught.value} | {caught.value.hint}"


def potted(journal: Journal) -> Ledger:
    """P1 in two places."""
    ledger = journal.ledger()
    journal.take(actions.move(ledger, find_holding(ledger, "P1"), 20, "north bed"))
    return journal.ledger()


def test_a_lot_with_one_holding_needs_no_form_grade_or_place(journal: Journal):
    ledger = journal.ledger()
    assert find_holding(ledger, "p2").place == "north bed"
    told = actions.sell(ledger, find_holding(ledger, "P2"), 5, "Hale")
    data = {"lot": "P2", "form": "bare root", "grade": "first", "place": "north bed", "count": 5, "to": "Hale"}
    assert told == Action("sell", TODAY, data)


def test_where_there_are_several_it_asks_which_and_says_them_all(journal: Journal):
    ledger = potted(journal)
    told = refused(lambda: find_holding(ledger, "P1"))
    assert "30 in 1 L pots at standing ground" in told
    assert "20 in 1 L pots at north bed" in told
    assert find_holding(ledger, "P1", place="North Bed").count == 20


def test_more_than_there_are_is_refused_with_what_is_there_and_where_the_rest_is(journal: Journal):
    ledger = potted(journal)
    told = refused(lambda: actions.sell(ledger, find_holding(ledger, "P1", place="north bed"), 21))
    assert "21 of P1 wanted, only 20 in 1 L pots at north bed" in told
    assert "30 in 1 L pots at standing ground" in told


@pytest.mark.parametrize(
    ("do", "near"),
    [
        (lambda ledger: find_holding(ledger, "P22"), "P2"),
        (lambda ledger: find_holding(ledger, "P2", form="bare roots"), "bare root"),
        (lambda ledger: find_holding(ledger, "P2", place="nort bed"), "north bed"),
        (lambda ledger: find_holding(ledger, "P2", grade="frist"), "first"),
        (lambda ledger: actions.move(ledger, find_holding(ledger, "P2"), 1, "standing grond"), "standing ground"),
        (lambda ledger: actions.pot_up(ledger, find_holding(ledger, "P2"), 1, "linr"), "liner"),
        (lambda ledger: actions.sell(ledger, find_holding(ledger, "P2"), 1, need="HAL"), "HALL"),
        (
            lambda ledger: actions.receive(
                ledger, actions.Incoming("L1", "Fictus ripensi", "", "liner", "north bed", 4)
            ),
            "Fictus ripensis",
        ),
        (
            lambda ledger: actions.receive(
                ledger, actions.Incoming("L1", "pear", "", "liner", "north bed", 4, origin="bougt")
            ),
            "bought",
        ),
        (lambda ledger: actions.join(ledger, "P2", "P22"), "P2"),
        (lambda ledger: actions.doubt(ledger, "P22"), "P2"),
    ],
)
def test_what_is_not_known_is_refused_with_the_nearest_spelling(
    journal: Journal, do: Callable[[Ledger], object], near: str
):
    told = refused(lambda: do(journal.ledger()))
    assert "did you mean" in told
    assert near in told.split("did you mean", 1)[1]


def test_a_form_of_the_growers_own_and_pots_of_other_sizes_are_taken(journal: Journal):
    ledger = journal.ledger()
    for form in ("2 L pot", "maiden", "9 cm pot"):
        told = actions.receive(ledger, actions.Incoming("L1", "Fictus ripensis", "", form, "north bed", 4))
        assert told.data["form"] == form


def test_a_common_name_is_taken_for_its_latin_one(journal: Journal):
    told = actions.receive(
        journal.ledger(), actions.Incoming("", "bankside fig", "", "liner", "north bed", 4, source="Hale")
    )
    assert (told.data["species"], told.data["lot"], told.data["from"]) == ("Fictus ripensis", "L1", "Hale")


@pytest.mark.parametrize("count", [0, -1])
def test_a_count_of_nothing_or_less_is_refused(journal: Journal, count: int):
    ledger = journal.ledger()
    assert "count" in refused(lambda: actions.lose(ledger, find_holding(ledger, "P2"), count))


def test_a_day_to_come_is_refused(journal: Journal):
    assert "still to come" in refused(lambda: journal.ledger(TODAY + timedelta(1)))


def test_a_day_on_which_there_were_fewer_is_refused(journal: Journal):
    ledger = journal.ledger()
    journal.take(
        actions.receive(ledger, actions.Incoming("P1", "Fictus ripensis", "", "1 L pot", "standing ground", 30))
    )
    then = journal.ledger(YESTERDAY)
    assert "only 50 in 1 L pots at standing ground" in refused(lambda: actions.sell(then, find_holding(then, "P1"), 60))
    assert actions.sell(then, find_holding(then, "P1"), 50).on == YESTERDAY


def test_a_count_for_a_day_since_which_things_changed_is_refused(journal: Journal):
    ledger = journal.ledger()
    journal.take(actions.sell(ledger, find_holding(ledger, "P1"), 5))
    then = journal.ledger(YESTERDAY)
    assert "changed since" in refused(lambda: actions.count(then, find_holding(then, "P1"), 49))
    now = journal.ledger()
    assert actions.count(now, find_holding(now, "P1"), 44).data["count"] == 44


def test_a_doubtful_lot_is_not_sold_as_its_cultivar_until_it_is_verified(journal: Journal):
    journal.take(actions.doubt(journal.ledger(), "P2", "label gone"))
    ledger = journal.ledger()
    one = find_holding(ledger, "P2")
    for kind in ("sell", "give"):
        assert "not certain" in refused(lambda kind=kind: actions.sell(ledger, one, 3, kind=kind))  # type: ignore[misc]
    assert "HALL asks for" in refused(lambda: actions.sell(ledger, one, 3, need="HALL", unnamed=True))
    assert actions.sell(ledger, one, 3, unnamed=True).data["unnamed"] is True
    assert actions.sell(ledger, one, 3, "the copse", kind="plant_out").kind == "plant_out"
    journal.take(actions.verify(ledger, "P2"))
    ledger = journal.ledger()
    assert actions.sell(ledger, find_holding(ledger, "P2"), 3, need="hall").data["need"] == "HALL"
    assert "already certain" in refused(lambda: actions.verify(ledger, "P2"))


def test_lots_are_joined_only_where_they_are_one_plant_equally_sure_and_equally_far_on(journal: Journal):
    ledger = journal.ledger()
    assert "are different plants" in refused(lambda: actions.join(ledger, "P1", "P2"))
    assert "itself" in refused(lambda: actions.join(ledger, "P1", "p1"))
    journal.tell("done", batch="Z1", step="soak", count=100)
    assert "still being propagated" in refused(lambda: actions.join(journal.ledger(), "Z1", "P1"))
    ledger = journal.ledger()
    journal.take(actions.split(ledger, find_holding(ledger, "P1"), 10))
    journal.take(actions.doubt(journal.ledger(), "P1/1"))
    assert "not certain" in refused(lambda: actions.join(journal.ledger(), "P1/1", "P1"))
    journal.take(actions.verify(journal.ledger(), "P1/1"))
    journal.take(actions.join(journal.ledger(), "P1/1", "P1"))
    assert held(journal.stock)["P1", "1 L pot", "", "standing ground"] == 50


def test_what_is_graded_stays_in_its_place_and_the_rest_ungraded(journal: Journal):
    ledger = journal.ledger()
    journal.take(actions.grade(ledger, find_holding(ledger, "P1"), {"first": 30, "second": 12}))
    assert {k[2]: n for k, n in held(journal.stock).items() if k[0] == "P1"} == {"": 8, "first": 30, "second": 12}
    ledger = journal.ledger()
    assert "9 of P1" in refused(lambda: actions.grade(ledger, find_holding(ledger, "P1", grade=""), {"third": 9}))


def test_potting_up_changes_the_form_and_may_move(journal: Journal):
    ledger = journal.ledger()
    journal.take(actions.pot_up(ledger, find_holding(ledger, "P2"), 10, "2 L pot", "standing ground"))
    assert held(journal.stock)["P2", "2 L pot", "", "standing ground"] == 10
    assert "already" in refused(lambda: actions.move(ledger, find_holding(ledger, "P2"), 1, "north bed"))


def test_every_action_is_said_in_words_with_its_lot_and_its_day(journal: Journal):
    ledger = journal.ledger()
    one = find_holding(ledger, "P1")
    made = [
        actions.receive(ledger, actions.Incoming("L1", "pear", "Conference", "liner", "north bed", 9, source="Hale")),
        actions.move(ledger, one, 3, "north bed"),
        actions.pot_up(ledger, one, 3, "3 L pot"),
        actions.grade(ledger, one, {"first": 4}),
        actions.sell(ledger, one, 2, "Hale", "FAIR"),
        actions.sell(ledger, one, 2, "Hale", kind="give"),
        actions.sell(ledger, one, 2, "the copse", kind="plant_out"),
        actions.lose(ledger, one, 1, "vine weevil"),
        actions.count(ledger, one, 41),
        actions.split(ledger, one, 5),
        actions.doubt(ledger, "P1"),
    ]
    words = [said(journal.take(action)) for action in made]
    for action, told in zip(made, words, strict=True):
        assert told.startswith(f"{action.data['lot']}: "), told
        assert told.endswith("(18 Jan)"), told
        assert told != f"{action.data['lot']}: {action.kind} (18 Jan)", told
    assert "2 in 1 L pots sold to Hale for FAIR" in words[4]
    assert journal.records.strays == ()


def test_a_day_far_back_is_checked_against_the_farms_own_opening(journal: Journal):
    then = journal.ledger(date(2020, 1, 1))
    assert actions.sell(then, find_holding(then, "P1"), 50).on == date(2020, 1, 1)
