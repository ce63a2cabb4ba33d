"""Every protocol can be followed at six sites, from a start in any month, without a fault of its windows.

The frost dates are invented, and plausible for a farm at such a place.
"""

from datetime import date

import pytest

from engine.almanac.almanac import Almanac
from engine.schedule.chain import Chain, make_chain, never_opens
from engine.schedule.placing import place
from engine.schedule.start_and_ready import Wish
from tests.engine.library.built import Built, almanac, timed
from tests.sampled import sampled

SITES = {
    "35 N, foothills": (35.0, "America/New_York", -82.8, ((3, 17), (4, 20)), ((10, 17), (11, 21))),
    "45 N, continental": (45.0, "America/Chicago", -93.0, ((4, 24), (5, 22)), ((9, 19), (10, 17))),
    "55 N, inland": (55.0, "Europe/London", -3.0, ((4, 20), (5, 25)), ((9, 20), (10, 25))),
    "60 N, maritime": (60.0, "Europe/Oslo", 5.3, ((4, 8), (5, 12)), ((10, 8), (11, 10))),
    "38 S, hills": (-38.0, "Australia/Melbourne", 145.0, ((9, 12), (10, 20)), ((4, 25), (6, 5))),
    "43 S, coast": (-43.0, "Australia/Hobart", 147.3, ((9, 5), (10, 15)), ((4, 28), (6, 10))),
}
STARTS = [date(2027, month, 10).toordinal() for month in range(1, 13)]


def chains(site: Almanac) -> list[tuple[Built, Chain]]:
    """Every protocol at a site; species with the same shift of marks share what has been computed."""
    shifted: dict[str, Almanac] = {}
    made = []
    for one in timed():
        marks = one.species.marks if one.species else {}
        here = shifted.setdefault(repr(sorted(marks.items())), site.for_species(marks) if marks else site)
        made.append((one, make_chain(one.protocol, here)))
    return made


@pytest.mark.parametrize("name", sampled(SITES, 6))
def test_every_protocol_fits_from_a_start_in_any_month(name: str) -> None:
    wrong = []
    for one, chain in chains(almanac(*SITES[name])):
        wrong += [f"{one.title}: {do}: {why}" for do, why in never_opens(chain, STARTS[0])]
        begins = None
        for start in STARTS:
            if begins is not None and begins >= start:
                continue  # what was found from a month before begins only now: it serves from here too
            placement = place(chain, Wish(start=start))
            begins = min((aim for aim in placement.aims if aim is not None), default=None) if placement.fits else None
            if not placement.fits or None in placement.aims:
                wrong.append(f"{one.title} from {date.fromordinal(start)}: {placement.problems}")
            else:
                for (i, j), wait in chain.waits.items():
                    gap = placement.aims[j] - placement.aims[i]
                    if gap < wait.least or (wait.most is not None and gap > wait.most):
                        steps = one.protocol.steps
                        wrong.append(f"{one.title} from {start}: {steps[i].do} to {steps[j].do} in {gap} days")
                if min(placement.aims) < start:
                    wrong.append(f"{one.title} from {start}: begins before it")
        for spans in chain.spans:
            if spans is not None:
                wrong += [f"{one.title}: {fault}" for fault in spans.faults.values()]
    assert wrong == []


LATE = ("check take", "cut ties", "rub off", "prick out", "pot up")


def test_what_waits_for_no_season_has_no_window_or_one_as_long_as_the_growing_season() -> None:
    """A graft is checked, its ties cut, its suckers rubbed off, a cutting potted, late rather than a year on. What has
    a best time is closing when that ends, and not missed."""
    seen = set()
    for one, chain in chains(almanac(*SITES["45 N, continental"])):
        for k, step in enumerate(one.protocol.steps):
            spans = chain.spans[k]
            if step.do in LATE and spans is not None and one.protocol.method != "tuber":
                span = spans.from_day(STARTS[0])
                assert span is not None
                assert span.closes - span.opens >= 120, f"{one.title}: {step.do}"
                seen.add(step.do)
    assert seen == {"rub off", "pot up"}
