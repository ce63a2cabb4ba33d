"""A batch said in a line: how many, the plant, its cultivar if it has one, the method, and its route after a comma."""

from __future__ import annotations

from datetime import date

import pytest

from engine.acts.action import Refused
from tui.answers import batch_of
from tui.newfarm import NewFarm, read_new

ON = date(2026, 11, 10)


@pytest.mark.parametrize(
    ("told", "species", "cultivar", "method"),
    [
        ("20 apple Bramley bench graft", "apple", "Bramley", "bench graft"),
        ("20 apple 'Bramley' bench", "apple", "Bramley", "bench graft"),
        ("60 American elder Adams hardwood", "American elder", "Adams", "hardwood cutting"),
        ("20 hazel Webb's Prize Cob simple layer", "hazel", "Webb's Prize Cob", "simple layer"),
        ("9 hazel Webb's seed, held cold", "hazel", "Webb's", "seed"),
        ("60 apple bench graft", "apple", None, "bench graft"),
    ],
)
def test_a_cultivar_stands_between_the_plant_and_the_method(told: str, species: str, cultivar: str | None, method: str):
    farm = read_new(NewFarm(batches=()), ON).farm
    assert farm is not None
    found = batch_of(farm, told, ON, [])
    assert (found["species"], found.get("cultivar"), found["method"]) == (species, cultivar, method)
    assert read_new(NewFarm(batches=(found,)), ON).problems == ()


@pytest.mark.parametrize("told", ["20 apple Bramley", "20 apple"])
def test_a_batch_without_a_method_asks_for_it_with_those_of_the_plant(told: str):
    farm = read_new(NewFarm(batches=()), ON).farm
    assert farm is not None
    with pytest.raises(Refused, match=f"say how you raise {told.removeprefix('20 ')}") as caught:
        batch_of(farm, told, ON, [])
    assert "bench graft" in str(caught.value.hint)
