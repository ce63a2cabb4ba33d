"""Every protocol at sites of many climates, both halves of the globe: nothing that can never be done, no window shut.

The whole table of two hundred sites is `python -m tests.benchmarks.two_hundred_sites`; here are a few of them.
"""

import pytest

from engine.almanac.almanac import Almanac
from tests.engine.library.built import timed
from tests.engine.library.sites import every_site, fares, frost_free_days, tried
from tests.sampled import sampled

SOME = dict(tried()[:20:2])
SHORT, LONG = 120, 330
"""Days without frost under (over) which some plants cannot be raised: nuts do not ripen; there is no winter's rest."""


def test_there_are_two_hundred_sites_half_of_them_southern() -> None:
    sites = list(every_site())
    assert len(sites) == len({name for name, _ in sites}) == 200
    assert sum(site.latitude < 0 for _, site in sites) == 100


@pytest.mark.parametrize("name", sampled(SOME, 10))
def test_no_protocol_holds_a_step_that_can_never_be_done(name: str) -> None:
    site = SOME[name]
    almanac = Almanac(site)
    wrong = [f"{one.title}: {found.why}" for one in timed() if (found := fares(one, almanac)).fault]
    if SHORT <= frost_free_days(site) <= LONG:
        assert wrong == [], name
    else:
        assert len(wrong) <= len(timed()) * 0.07, (name, wrong[:10])
