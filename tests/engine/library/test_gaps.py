"""Nothing that dies dry lies about: what waits over a week for its next act is kept, by a step or as its own tells.

Over the whole library, by the days at which a batch of each protocol is aimed, where winter is long and where not.
"""

from datetime import date

import pytest

from engine.almanac.almanac import Almanac
from engine.schedule.chain import make_chain
from engine.schedule.placing import place
from engine.schedule.start_and_ready import Wish
from tests.engine.library.built import built
from tests.engine.library.practice import site
from tests.sampled import sampled

GATHERED = {
    "collect", "collect scions", "collect budwood", "collect stocks", "clean", "prepare", "soak", "scarify", "sever",
    "divide", "lift",
}  # fmt: skip
A_WEEK = 7


@pytest.mark.parametrize("name", sampled(["ithaca", "griffin", "dunedin"], 3))
def test_what_dies_dry_is_never_left_between_two_acts(name: str) -> None:
    almanac = Almanac(site(name))
    start = date(2026, 8 if almanac.site.latitude > 0 else 2, 1).toordinal()
    lying, seen = [], 0
    for one in built():
        if "seed" in one.draft.method and not (one.species and one.species.drying_kills):
            continue  # ripe seed of most kinds is kept dry
        here = almanac.for_species(one.species.marks) if one.species else almanac
        chain = make_chain(one.protocol, here)
        days = place(chain, Wish(start=start)).aims
        for i, j in chain.waits:
            step, then = one.protocol.steps[i], one.protocol.steps[j]
            if step.do not in GATHERED or step.lasts.most != 0:
                continue
            seen += 1
            first, second = days[i], days[j]
            assert first is not None
            assert second is not None
            kept = step.temperature_c is not None and step.medium  # such as scions: in a bag, near freezing
            if second - first > A_WEEK and not kept:
                lying.append(f"{one.title}: {second - first} days from {step.do} to {then.do}")
    assert lying == []
    assert seen > 500
