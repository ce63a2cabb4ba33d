"""The country and the zone that are guessed for a place, on both sides of borders.

Coordinates of towns to a hundredth of a degree, and the countries in which they lie, by any atlas; the chief towns of
the zones by the zone database (IANA, zone.tab).
"""

from __future__ import annotations

import pytest

from engine.farm.borders import more_towns
from engine.farm.region import _chief, _rows, region_of, zones_near

TOWNS = [
    ("Ithaca", 42.44, -76.50, "US"), ("Seattle", 47.61, -122.33, "US"), ("Bellingham", 48.75, -122.48, "US"),
    ("Port Angeles", 48.11, -123.43, "US"), ("Friday Harbor", 48.53, -123.02, "US"), ("Duluth", 46.79, -92.10, "US"),
    ("Buffalo", 42.89, -78.88, "US"), ("Burlington", 44.48, -73.21, "US"), ("Port Huron", 42.97, -82.45, "US"),
    ("Madawaska", 47.33, -68.35, "US"), ("Watertown", 43.97, -75.91, "US"), ("Eastport", 44.90, -66.99, "US"),
    ("Victoria", 48.43, -123.37, "CA"), ("White Rock", 49.02, -122.80, "CA"), ("Thunder Bay", 48.38, -89.25, "CA"),
    ("Windsor", 42.30, -83.02, "CA"), ("St Catharines", 43.16, -79.24, "CA"), ("Sarnia", 42.97, -82.38, "CA"),
    ("Kingston", 44.23, -76.48, "CA"), ("Sherbrooke", 45.40, -71.90, "CA"), ("Fredericton", 45.96, -66.64, "CA"),
    ("Yarmouth", 43.84, -66.12, "CA"), ("Whitehorse", 60.72, -135.06, "CA"), ("Juneau", 58.30, -134.40, "US"),
    ("San Diego", 32.72, -117.16, "US"), ("Tijuana", 32.53, -117.03, "MX"), ("El Paso", 31.76, -106.49, "US"),
    ("Strasbourg", 48.58, 7.75, "FR"), ("Kehl", 48.57, 7.82, "DE"), ("Annecy", 45.90, 6.12, "FR"),
    ("Geneva", 46.20, 6.15, "CH"), ("Derry", 55.00, -7.31, "GB"), ("Letterkenny", 54.95, -7.73, "IE"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "north", "east", "country"), TOWNS, ids=[town[0] for town in TOWNS])
def test_a_town_lies_in_its_own_country_and_the_neighbour_is_offered(name, north, east, country):
    near = zones_near(north, east)
    assert near[0].country == country, name
    assert region_of(near[0].zone) == country
    assert len(near) > 1
    assert len({each.country for each in near}) == len(near)


@pytest.mark.parametrize(
    ("north", "east", "zone"),
    [
        (47.61, -122.33, "America/Los_Angeles"), (42.44, -76.50, "America/New_York"), (43.7, -70.3, "America/New_York"),
        (46.87, -114.0, "America/Denver"), (44.98, -93.27, "America/Chicago"), (45.5, -73.6, "America/Toronto"),
    ],
)  # fmt: skip
def test_the_zone_is_that_by_which_the_town_lives(north, east, zone):
    assert zones_near(north, east)[0].zone == zone


def test_every_chief_town_of_both_lands_has_its_own_country():
    towns = [(country, zone, _chief(point)[0]) for country, point, zone in _rows() if country in ("US", "CA")]
    assert len(towns) > 40
    assert [(zone, near) for land, zone, at in towns if (near := zones_near(*at)[0]).country != land] == []


def test_the_towns_besides_are_of_zones_that_there_are():
    assert set(more_towns()) <= {zone for _, _, zone in _rows()}


def test_far_out_at_sea_there_is_a_zone():
    assert zones_near(-48.9, -123.4)
