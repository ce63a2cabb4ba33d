"""What may be meant by a name that no plant bears: which of its kind, else the nearest good spelling."""

import pytest

from engine.protocols.library import kinds_of, meant


def test_a_kind_asks_which_of_it():
    assert len(kinds_of("chestnut")) >= 3
    assert all("chestnut" in name for name in kinds_of("chestnut"))
    assert "earth chestnut" not in kinds_of("chestnut"), "no chestnut, but a tuber"
    assert {"white oak", "bur oak"} <= set(kinds_of("Oak"))
    assert meant("oak").startswith("which oak: ")


@pytest.mark.parametrize(("name", "told"), [("hazle", 'did you mean "hazel"?'), ("Eucommia ulmoides", ""), ("", "")])
def test_what_is_no_kind_is_told_by_its_nearest_spelling_or_not_at_all(name: str, told: str):
    assert meant(name) == told


def test_a_long_row_is_cut_with_how_many_more_there_are():
    assert " more?" in meant("cherry") or len(kinds_of("cherry")) <= 9
