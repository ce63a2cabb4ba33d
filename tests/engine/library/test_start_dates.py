"""Published dates on which to begin the pretreatment of seed for a sowing on 1 March.

Gosling 2007, Raising trees and shrubs from seed, Forestry Commission Practice Guide 18, and the seed storage pages of
Forest Research made from it, which give each kind its weeks of warm and cold and the "approximate date to initiate
artificial pretreatment (for 1 March sowing)". The published dates are round ones: two days either way are allowed.
"""

from __future__ import annotations

from datetime import date

import pytest
import tomli

from engine.almanac.almanac import Almanac
from engine.farm.reading import read_document
from engine.schedule.chain import make_chain
from engine.schedule.placing import Placement, place
from engine.schedule.start_and_ready import Wish

SITE = """
[site]
latitude = 51.2
longitude = -0.8
timezone = "Europe/London"
last_frost = "04-25"
first_frost = "10-25"
[[protocol]]
species = "{species}"
method = "seed"
whole = true
"""
STEP = '[[protocol.step]]\ndo = "{do}"\nplace = "{place}"\nlasts_days = [{least}, {most}]\naim = "{aim}"\n'
SOW = '[[protocol.step]]\ndo = "sow"\nplace = "seed beds"\nopens = ["1 Mar"]\ncloses = ["{closes}"]\n'
BATCH = '[[batch]]\nid = "B"\nspecies = "{species}"\nmethod = "seed"\ncount = 100\n{wish}\n'
ALLOWED = 2  # days

MAPLE = ("Acer platanoides", [("stratify cold", 16)], date(2026, 11, 8))
"""Norway maple: 16 (12 to 20) weeks at about 4 °C; begin on 8 November."""
SLOW = ("Juniperus communis", [("stratify warm", 24), ("stratify cold", 40)], date(2025, 12, 6))
"""Deeply dormant seed: 24 weeks at about 15 °C and 40 at about 4 °C; begin on 6 December, two years before."""


def placed(species: str, steps: list[tuple[str, int, int, str]], wish: str, closes: str = "1 Mar") -> Placement:
    """A whole protocol of a farm's own, planned: steps with least and most weeks and an aim, then the sowing."""
    text = SITE.format(species=species)
    for do, least, most, aim in steps:
        where = "warm shelf" if "warm" in do else "cold store"
        text += STEP.format(do=do, place=where, least=7 * least, most=7 * most, aim=aim)
    text += SOW.format(closes=closes) + BATCH.format(species=species, wish=wish)
    reading = read_document(tomli.loads(text), text, "march.toml")
    assert reading.problems == ()
    assert reading.farm is not None
    [batch] = reading.farm.batches
    assert [step.do for step in batch.protocol.steps] == [*(do for do, *_ in steps), "sow"]
    chain = make_chain(batch.protocol, Almanac(reading.farm.site))
    start = None if batch.start is None else batch.start.toordinal()
    ready = None if batch.ready is None else batch.ready.toordinal()
    placement = place(chain, Wish(start=start, ready=ready))
    assert placement.fits
    return placement


def begins(placement: Placement) -> date:
    assert placement.aims[0] is not None
    return date.fromordinal(placement.aims[0])


@pytest.mark.parametrize(("species", "weeks", "published"), [MAPLE, SLOW], ids=["cold alone", "warm, then cold"])
@pytest.mark.parametrize("wish", ["start = {start}", "ready = 2027-03-01"], ids=["from a start", "for a readiness"])
def test_pretreatment_begins_on_the_published_date(
    species: str, weeks: list[tuple[str, int]], published: date, wish: str
) -> None:
    steps = [(do, n, n, "early") for do, n in weeks]
    start = date(published.year, published.month - 1, 1)
    placement = placed(species, steps, wish.format(start=start))
    assert abs((begins(placement) - published).days) <= ALLOWED
    assert placement.aims[-1] == date(2027, 3, 1).toordinal()


def test_the_published_range_of_weeks_gives_the_range_of_dates() -> None:
    """12 to 20 weeks: from 12 October to 7 December, counted by hand; the published 8 November is the middle."""
    ends = {aim: placed(MAPLE[0], [("stratify cold", 12, 20, aim)], "start = 2026-09-01") for aim in ("early", "late")}
    assert begins(ends["early"]) == date(2026, 10, 12)
    assert begins(ends["late"]) == date(2026, 12, 7)
    middle = placed(MAPLE[0], [("stratify cold", 12, 20, "middle")], "start = 2026-09-01")
    assert abs((begins(middle) - MAPLE[2]).days) <= ALLOWED


def test_seed_got_too_late_for_this_march_waits_for_the_next() -> None:
    """From 1 December 16 weeks end on 23 March, after the sowing: the seed is begun in the next November."""
    placement = placed(MAPLE[0], [("stratify cold", 16, 16, "early")], "start = 2026-12-01")
    assert abs((begins(placement) - MAPLE[2].replace(year=2027)).days) <= ALLOWED
    assert placement.aims[-1] == date(2028, 3, 1).toordinal()
