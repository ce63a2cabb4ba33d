"""A plant is shown by the name that the grower wrote; where that is the Latin one, by the name of the trade."""

from __future__ import annotations

import tomllib

import pytest

from engine.farm.model import Farm
from engine.farm.reading import read_document
from engine.protocols.library import species_names
from tests.engine.schedule.farms import NORTH


def read(text: str) -> Farm:
    reading = read_document(tomllib.loads(NORTH + text), NORTH + text, "farm.toml")
    assert reading.farm is not None
    return reading.farm


def need(species: str, name: str = "N1") -> str:
    return f'[[need]]\nid = "{name}"\nspecies = "{species}"\ncount = 9\n'


@pytest.mark.parametrize(
    ("written", "latin", "shown"),
    [
        ("juneberry", "Amelanchier alnifolia", "juneberry"),
        ("Kaki", "Diospyros kaki", "kaki"),
        ("highbush cranberry", "Viburnum trilobum", "highbush cranberry"),
        ("American cranberrybush", "Viburnum trilobum", "American cranberrybush"),
        ("Viburnum trilobum", "Viburnum trilobum", "highbush cranberry"),
        ("white currant", "Ribes rubrum", "white currant"),
    ],
)
def test_a_plant_is_called_as_the_grower_wrote_it(written: str, latin: str, shown: str):
    assert read(need(written)).plant(latin, "Early") == f"{shown} Early"


def test_of_several_names_the_first_is_kept_and_the_latin_one_is_no_name_to_call_it_by():
    batch = '[[batch]]\nid = "B"\nspecies = "{}"\nmethod = "softwood cutting"\ncount = 9\nstart = 2027-01-01\n'
    for first, other, shown in (
        ("serviceberry", "saskatoon", "serviceberry"), ("Amelanchier alnifolia", "juneberry", "juneberry"),
    ):  # fmt: skip
        assert read(batch.format(first) + need(other)).plant("Amelanchier alnifolia") == shown


def test_its_other_names_still_mean_it():
    farm = read(need("juneberry"))
    assert set(farm.species_of("Amelanchier alnifolia").common) == {"juneberry", "saskatoon", "serviceberry"}


def test_no_plant_goes_first_by_a_name_that_nobody_says():
    """Common practice: the names of the trade; who a plant is called after has a capital."""
    first = {latin: common[0] for latin, *common in species_names() if common}
    assert {latin: first[latin] for latin in ("Ribes rubrum", "Ribes uva-crispa", "Corylus avellana")} == {
        "Ribes rubrum": "redcurrant", "Ribes uva-crispa": "gooseberry", "Corylus avellana": "hazel",
    }  # fmt: skip
    assert [name for name in first.values() if name[0].islower() and "'s " in name] == []
