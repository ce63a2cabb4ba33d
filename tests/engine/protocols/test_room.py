"""Room in plain words: what a step takes, what a place holds, and every phrase that says neither."""

from __future__ import annotations

import pytest

from engine.protocols.room import (
    PLACE_HINT,
    STEP_HINT,
    UNITS,
    Room,
    RoomFault,
    read_limit,
    read_limits,
    read_room,
    say_amount,
)


@pytest.mark.parametrize(
    ("text", "room"),
    [
        ("120 a tray", Room(120, 120, "tray")),
        ("160 to 320 a square metre", Room(160, 320, "square metre")),
        ("160 to 320 seeds a square metre", Room(160, 320, "square metre")),
        ("375 seedlings a square metre", Room(375, 375, "square metre", left=True)),
        ("100 to 160 viable seeds a metre of row", Room(100, 160, "metre of row")),
        ("1,500 A  Litre", Room(1500, 1500, "litre")),
        ("2.5 to 4 per m of row", Room(2.5, 4, "metre of row")),
        ("1 plant to a pot", None),
        ("4 plants to a box", Room(4, 4, "box", left=True)),
        ("50 per flat", Room(50, 50, "tray")),
    ],
)
def test_what_a_step_says_is_read(text: str, room: Room | None):
    if room is None:
        with pytest.raises(RoomFault, match="counts plant, which is not known"):
            read_room(text)
    else:
        assert read_room(text) == room


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("40 trays", 40, "tray"),
        ("1 tray", 1, "tray"),
        ("12 m of row", 12, "metre of row"),
        ("12.5 bed metres", 12.5, "metre of row"),
        ("6 m²", 6, "square metre"),
        ("80 l", 80, "litre"),
        ("1,200 pots", 1200, "pot"),
        ("3 boxes", 3, "box"),
    ],
)
def test_what_a_place_holds_is_read(text: str, amount: float, unit: str):
    assert read_limit(text) == (amount, unit)


def test_american_measures_are_the_international_ones():
    """International yard and pound agreement of 1959, the foot 0.3048 m; the US gallon of 231 cubic inches."""
    assert read_limit("10 feet of row")[0] == pytest.approx(3.048)
    assert read_limit("10 square feet")[0] == pytest.approx(0.9290304)
    assert read_limit("2 gallons")[0] == pytest.approx(7.570823568)
    assert read_room("10 a square foot").least == pytest.approx(107.639, abs=0.001)


def test_every_name_of_a_unit_means_it_in_a_step_and_in_a_place():
    for unit, names in UNITS.items():
        for name in (unit, *names):
            assert read_limit(f"3 {name}") == (3, unit)
            assert read_room(f"3 a {name}").unit == unit


@pytest.mark.parametrize(
    ("text", "told", "hint"),
    [
        ("plenty", "does not say how many go into what", STEP_HINT),
        ("120 trays", "does not say how many go into what", STEP_HINT),
        ("-5 a tray", "does not say how many", STEP_HINT),
        ("0 a tray", "from above 0", STEP_HINT),
        ("9,999,999 a tray", "from above 0 to 1,000,000", STEP_HINT),
        ("120 a trey", '"trey" is not a unit of room', 'did you mean "tray"?'),
        ("120 a shelf", "is not a unit", "units here: tray"),
        ("320 to 160 a tray", "is the wrong way round", '"160 to 320 a tray"'),
        ("120 cats a tray", "counts cats", "known here: seeds"),
    ],
)
def test_a_step_that_says_no_room_is_told_with_a_remedy(text: str, told: str, hint: str):
    with pytest.raises(RoomFault) as fault:
        read_room(text)
    assert told in str(fault.value)
    assert hint in fault.value.hint


@pytest.mark.parametrize(
    ("texts", "told", "hint"),
    [
        (("forty trays",), "does not say how much of what", PLACE_HINT),
        (("40",), "does not say how much", PLACE_HINT),
        (("40 a tray",), "is not a unit", PLACE_HINT),
        (("0 trays",), "from above 0", PLACE_HINT),
        (("40 trays", "3 flats"), "a second time", "each unit once"),
    ],
)
def test_a_place_that_says_no_room_is_told_with_a_remedy(texts: tuple[str, ...], told: str, hint: str):
    with pytest.raises(RoomFault) as fault:
        read_limits(texts)
    assert told in str(fault.value)
    assert hint in fault.value.hint


def test_trays_are_counted_whole_and_rows_by_length_and_the_loosest_rules():
    assert read_room("120 a tray").takes(120) == 1
    assert read_room("120 a tray").takes(121) == 2
    assert read_room("7 to 10 a metre of row").takes(70) == pytest.approx(10)
    assert read_room("500 a litre").takes(250) == pytest.approx(0.5)


def test_amounts_are_said_as_a_grower_would():
    said = [("tray", 1, "1 tray"), ("tray", 46, "46 trays"), ("box", 2, "2 boxes"), ("litre", 1, "1 litre")]
    said += [
        ("litre", 0.4, "0.4 litres"),
        ("litre", 0.04, "under a litre"),
        ("litre", 0, "0 litres"),
        ("metre of row", 9.04, "9 m of row"),
        ("square metre", 12.6, "13 m²"),
    ]
    assert [say_amount(amount, unit) for unit, amount, _ in said] == [words for _, _, words in said]


def test_what_a_share_leaves_takes_no_unit_more_for_the_last_digit_of_a_float():
    """55 % of 100 is 55.00000000000001 in binary: eleven trays of five, and no twelfth."""
    five = read_room("5 a tray")
    assert [five.takes(count) for count in (100 * 0.55, 55.01, 54, 56)] == [11, 12, 11, 12]
