"""How many of a form are told: in the plural where there are several, and in their pots where they stand in pots.

The words are those of the trade (common practice): bare root, liner, 1 L pot; seed and budded stock have no plural.
"""

from __future__ import annotations

import pytest

from engine.protocols.forms import ends_as, has_soil, is_pot, known_forms, plural, raised_from, so_many


@pytest.mark.parametrize(
    ("count", "form", "grade", "told"),
    [
        (24, "1 L pot", "", "24 in 1 L pots"),
        (1, "1 L pot", "", "1 in a 1 L pot"),
        (1, "liner", "", "1 liner"),
        (0, "liner", "", "0 liners"),
        (12, "bare root", "first", "12 bare-root plants (first)"),
        (1, "bare root", "", "1 bare-root plant"),
        (400, "seed", "", "400 seed"),
        (29, "budded stock", "", "29 budded stock"),
        (6, "pot", "", "6 pots"),
        (3, "bush", "", "3 bushes"),
        (5, "", "", "5"),
    ],
)
def test_so_many_of_a_form(count: int, form: str, grade: str, told: str):
    assert so_many(count, form, grade) == told


def test_as_what_plants_are_ready():
    assert [ends_as(form) for form in ("1 L pot", "liner", "bare root", "seed")] == [
        "in 1 L pots", "as liners", "as bare root", "as seed",
    ]  # fmt: skip


def test_no_form_of_the_library_gets_a_plural_that_nobody_says():
    told = {form: plural(form) for form in known_forms()}
    assert told.pop("seed") == "seed"
    assert told.pop("budded stock") == "budded stock"
    assert told.pop("bare root") == "bare-root plants"
    assert all(many == f"{form}s" for form, many in told.items())


@pytest.mark.parametrize(
    ("form", "raised", "pot", "soil"),
    [
        ("seed", True, False, False),
        ("Scion", True, False, False),
        ("root cutting", True, False, False),
        ("bare root", False, False, False),
        ("liner", False, False, False),
        ("1 L pot", False, True, True),
        ("9 cm Pots", False, True, True),
        ("plug", False, False, True),
        ("root ball", False, False, True),
    ],
)
def test_what_plants_are_raised_from_what_stands_in_a_pot_and_what_has_soil(
    form: str, raised: bool, pot: bool, soil: bool
):
    """Common practice: what has soil about its roots is sent in leaf too; seed and scions are no plants yet."""
    assert (raised_from(form), is_pot(form), has_soil(form)) == (raised, pot, soil)
