"""Tender tubers, soft shoots and poisonous relatives: dates at a cold inland site and at a mild maritime one.

Common practice, but for the seasons of two grafts, which are published. The frost dates are invented, and plausible.
"""

from __future__ import annotations

from datetime import date

import pytest

from engine.almanac.almanac import Almanac
from engine.schedule.chain import make_chain
from engine.schedule.placing import place
from engine.schedule.start_and_ready import Wish
from tests.engine.library.built import Built, almanac, built, library, of_species

COLD = almanac(42.4, "America/New_York", -76.5, ((4, 26), (5, 25)), ((9, 18), (10, 15)))
MILD = almanac(47.4, "America/Los_Angeles", -122.3, ((2, 20), (4, 10)), ((10, 20), (12, 1)))
LAST_FROST = {"cold": (5, 25), "mild": (4, 10)}
"""The date after which frost still comes in one year of ten."""
SITES = {"cold": COLD, "mild": MILD}
TENDER = ("Oxalis tuberosa", "Ullucus tuberosus", "Tropaeolum tuberosum", "Smallanthus sonchifolius")


def dates(one: Built, site: Almanac, start: date = date(2027, 1, 1)) -> dict[str, date]:
    """The aimed day of each step, from a start."""
    marks = one.species.marks if one.species else {}
    chain = make_chain(one.protocol, site.for_species(marks) if marks else site)
    placement = place(chain, Wish(start=start.toordinal()))
    assert placement.fits, one.title
    return {s.do: date.fromordinal(a) for s, a in zip(chain.protocol.steps, placement.aims, strict=True) if a}


def tender() -> list[Built]:
    found = [b for b in of_species() if b.draft.species in TENDER and b.draft.method == "tuber"]
    assert {b.draft.species for b in found} == set(TENDER)
    return found


@pytest.mark.parametrize("site", SITES)
def test_tender_tubers_are_lifted_after_frost_and_planted_when_it_is_all_but_past(site: str) -> None:
    for one in tender():
        on = dates(one, SITES[site])
        frost = date.fromordinal(round((date(2027, 9, 18).toordinal() + date(2027, 10, 15).toordinal()) / 2))
        if site == "mild":
            frost = date.fromordinal(round((date(2027, 10, 20).toordinal() + date(2027, 12, 1).toordinal()) / 2))
        assert 6 <= (on["collect"] - frost).days <= 40, one.title
        assert on["plant"] >= date(2028, *LAST_FROST[site]), one.title
        store = one.protocol.steps[one.protocol.index("store")]
        assert store.temperature_c is not None
        assert store.temperature_c[0] >= 2, one.title


@pytest.mark.parametrize("site", SITES)
def test_no_soft_shoot_stands_out_before_frost_is_all_but_past(site: str) -> None:
    seen = 0
    for one in built():
        if one.draft.method in ("basal cutting", "herbaceous cutting", "hypocotyl graft", "seed in pots"):
            on = dates(one, SITES[site])["stand out"]
            seen += 1
            assert (on.month, on.day) >= LAST_FROST[site], f"{one.title}: {on}"
    assert seen > 30


def test_garlic_is_in_the_ground_weeks_before_it_freezes_and_out_in_summer() -> None:
    [one] = [b for b in of_species() if (b.draft.species, b.draft.route) == ("Allium sativum", "cloves")]
    for site in SITES.values():
        on = dates(one, site)
        assert (10, 1) <= (on["plant"].month, on["plant"].day) <= (11, 10)
        assert on["lift"].month == 7


def test_what_is_divided_in_autumn_has_a_summer_before_it_is_lifted() -> None:
    seen = 0
    for one in of_species():
        if one.draft.method != "division":
            continue
        for site in SITES.values():
            on = dates(one, site, date(2027, 9, 1))
            if on["divide"].year == 2027:
                seen += 1
                assert on["lift"] > date(2028, 7, 1), one.title
    assert seen > 30


def test_june_budding_and_four_flap_grafts_fall_in_the_published_months() -> None:
    """Budd and Hansen 1902, American Horticultural Manual 1, section 76: middle to last of June. Stein and Sauls n.d.,
    The four-flap graft, Texas: April to May; here some weeks later in the cold site, for pecan wakes late."""
    by_title = {b.title: b for b in built()}
    for site in SITES.values():
        bud = dates(by_title["Prunus persica, June bud"], site)["bud"]
        assert bud.month == 6
        assert bud.day >= 13
    south = almanac(31.0, "America/Chicago", -98.0, ((2, 25), (4, 1)), ((10, 28), (11, 28)))
    graft = dates(by_title["Carya illinoinensis, four-flap graft"], south)["graft"]
    assert graft.month in (4, 5)


def test_every_umbellifer_says_what_kills_and_looks_like_it() -> None:
    kin = ("Sium", "Myrrhis", "Cryptotaenia", "Foeniculum", "Angelica", "Bunium", "Ligusticum", "Crithmum")
    found = [s for latin, s in library().species.items() if latin.split()[0] in kin]
    assert len(found) == len(kin)
    assert [s.latin for s in found if not any("hemlock" in c and "kill" in c for c in s.cautions)] == []
