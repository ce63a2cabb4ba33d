"""Whose laws a farm is told: those of its region, by its time zone where it says nothing.

Countries of zones by the zone database (IANA 2024, zone.tab); regions by ISO 3166-1 and 3166-2.
"""

import pytest

from engine.farm.reading import read_document

SITE = {"latitude": 52.8, "longitude": -1.2, "timezone": "Europe/London"}


def read(**site):
    document = {"farm": {"name": "Tall Alders"}, "site": {**SITE, **site}}
    lot = {"id": "W1", "species": "Salix viminalis", "method": "hardwood cutting", "count": 50}
    lot |= {"route": "stored cold, stuck in spring", "start": "2026-11-01"}
    return read_document({**document, "batch": [lot]}, "", "farm.toml")


@pytest.mark.parametrize(
    ("site", "region"),
    [
        ({}, "GB"),
        ({"timezone": "Australia/Melbourne"}, "AU"),
        ({"timezone": "America/Los_Angeles"}, "US"),
        ({"timezone": "America/Los_Angeles", "region": "us-or"}, "US-OR"),
        ({"timezone": "Etc/UTC"}, ""),
    ],
)
def test_a_farm_lies_where_it_says_or_in_the_country_of_its_zone(site, region):
    farm = read(**site).farm
    assert farm is not None
    assert farm.site.region == region


def test_the_laws_of_its_region_are_among_the_cautions_of_its_plants():
    here, there = read(timezone="Australia/Melbourne").farm, read().farm
    assert here is not None
    assert there is not None
    told, not_told = (farm.cautions_on(farm.species_of("Salix viminalis")) for farm in (here, there))
    assert any("Weeds of National Significance" in c for c in told)
    assert not any("Australia" in c or "Weeds of" in c for c in not_told)


def test_a_region_that_is_none_is_told():
    [problem] = read(region="Britain").problems
    assert 'region "Britain" is not known' in problem.message
    assert "GB" in problem.hint
