"""What would harm plants: seed left to dry, mesh left on, soft growth set out in frost, tall plants lifted too young.

Common practice where no source is named.
"""

from __future__ import annotations

import re
from datetime import date

from engine.almanac.almanac import Almanac
from engine.almanac.phrases import parse_phrase
from engine.protocols.forms import form_after
from engine.protocols.model import Step
from engine.schedule.chain import Chain, make_chain
from engine.schedule.placing import place
from engine.schedule.start_and_ready import Wish
from engine.schedule.stretches import stretches
from tests.engine.library.built import Built, built, of_species, timed
from tests.engine.library.practice import site

WARM = ("mist bench", "propagation bench", "warm shelf")
BEDS = ("seed beds", "nursery beds", "stool beds")
GOES_IN = ("sow", "stick", "line out", "line out stocks", "plant", "divide", "peg down", "layer")
LIFTED = ("lift", "lift liners", "lift layers", "lift transplants")


def seeds() -> tuple[Built, ...]:
    return tuple(one for one in of_species() if one.draft.method in ("seed", "seed in pots"))


def next_after(one: Built, do: str) -> Step:
    """The first act that waits for `do` and for nothing later."""
    steps = one.protocol.steps
    return next(step for k, step in enumerate(steps) if any(a.do == do for a in one.protocol.after(k)))


def test_seed_that_dies_dry_is_damp_within_a_week_of_being_cleaned() -> None:
    """Oaks, chestnuts, beech, pawpaw and their like: Woody Plant Seed Manual 2008, for instance Quercus p.934."""
    told = re.compile(r"must (neither|not) dry|do not let (them|the nuts) dry|never let them dry|dies dry", re.I)
    late, seen = [], 0
    for one in seeds():
        assert one.species is not None
        notes = " ".join(step.note for step in one.protocol.steps[:2])
        if "clean" in {s.do for s in one.protocol.steps} and (one.species.drying_kills or told.search(notes)):
            seen += 1
            wait = next_after(one, "clean").wait
            if wait is None or wait.most is None or wait.most > 7:
                late.append(f"{one.title}: {next_after(one, 'clean').do} {wait}")
    assert late == []
    assert seen >= 50


def test_mesh_that_goes_on_comes_off() -> None:
    """Shoots that grow into it break when it is lifted."""
    left = [
        one.title
        for one in seeds()
        if any(step.do == "sow" and step.place == "seed beds" and "mesh" in step.note for step in one.protocol.steps)
        and "mesh off" not in {step.do for step in one.protocol.steps}
    ]
    assert left == []


def test_nuts_stones_and_acorns_are_sown_under_mesh() -> None:
    eaten = {"Corylus", "Castanea", "Juglans", "Carya", "Quercus", "Fagus", "Prunus", "Pinus", "Malus", "Pyrus"}
    bare = [
        one.title
        for one in seeds()
        if one.draft.method == "seed"
        and one.draft.species.split()[0] in eaten
        and "mesh off" not in {step.do for step in one.protocol.steps}
    ]
    assert bare == []


def test_what_grew_in_warmth_goes_out_when_frost_is_all_but_past() -> None:
    """Ten years in a hundred bring frost later: `last frost (10%)`. What has wintered cold goes out while dormant."""
    early = []
    for one in built():
        for k, step in enumerate(one.protocol.steps):
            before = [one.protocol.steps[one.protocol.index(a.do)] for a in one.protocol.after(k)]
            soft = step.do == "stand out" or any(b.place in WARM or b.do == "grow on" for b in before)
            if step.do in ("line out", "stand out", "plant") and soft and step.windows:
                opens = {str(phrase) for window in step.windows for phrase in window.opens}
                if not any("last frost (10%)" in phrase for phrase in opens):
                    early.append(f"{one.title}: {step.do} from {sorted(opens)}")
    assert early == []


def test_a_slow_plant_stands_more_than_one_summer() -> None:
    """Yew, box, hornbeam, arborvitae; and walnut grafts, which make root and little else in their first."""
    slow = {"Taxus baccata", "Buxus sempervirens", "Carpinus betulus", "Thuja occidentalis"}
    short, seen = [], 0
    for one in of_species():
        grafted = one.draft.species.startswith("Juglans") and one.draft.method == "bench graft"
        if (one.draft.species in slow and one.draft.method != "division") or grafted:
            seen += 1
            [lift] = [step for step in one.protocol.steps if step.do == "lift"]
            waits = [a.wait for a in lift.after or () if a.wait is not None] + [
                w for w in (lift.wait,) if w is not None
            ]
            if max(wait.least for wait in waits) < 300:
                short.append(one.title)
    assert short == []
    assert seen >= 10


def test_what_stands_in_pots_ends_as_a_pot() -> None:
    for one in built():
        form = ""
        for step in one.protocol.steps:
            form = form_after(step, one.protocol, form)
        if one.draft.method in ("herbaceous cutting", "basal cutting", "seed in pots"):
            assert form == "pot", one.title
        if one.draft.method == "runner" and "bare root" not in one.draft.route:
            assert form == "pot", one.title


def test_stock_shoots_come_off_as_growth_starts_and_again() -> None:
    grafted = [one for one in built() if one.draft.method in ("bench graft", "chip bud", "T-bud", "patch bud")]
    assert len(grafted) > 70
    assert [
        one.title for one in grafted if not {"rub off", "rub off again"} <= {s.do for s in one.protocol.steps}
    ] == []


def where_winters_are_hard() -> tuple[Almanac, list[tuple[Built, Chain]]]:
    """St Cloud, Minnesota, where autumn is short and spring comes late, and every protocol there."""
    here = Almanac(site("stcloud"))
    shifted: dict[str, Almanac] = {}
    chains = []
    for one in timed():
        marks = one.species.marks if one.species else {}
        own = shifted.setdefault(repr(sorted(marks.items())), here.for_species(marks))
        chains.append((one, make_chain(one.protocol, own)))
    return here, chains


def test_what_is_grown_on_has_a_summer_in_the_ground_before_it_is_lifted() -> None:
    """Lined out in autumn it is not dug again in spring: sixty days of growth are the least, of garlic and its kin."""
    here, chains = where_winters_are_hard()
    years = range(2026, 2033)
    summers = [tuple(_day(here, mark, year) for mark in ("bud swell", "leaf drop")) for year in years]
    bare, seen = [], 0
    for one, chain in chains:
        steps = one.protocol.steps
        outs = [j for j, step in enumerate(steps) if step.do in LIFTED]
        for start in (date(2027, 2, 5), date(2027, 9, 20)) if outs else ():
            days = place(chain, Wish(start=start.toordinal())).aims
            for j in outs:
                put = [i for i in range(j) if steps[i].do in GOES_IN and steps[i].place in BEDS]
                first, last = (days[put[-1]], days[j]) if put else (None, None)
                if first is not None and last is not None:
                    seen += 1
                    grown = sum(max(0, min(end, last) - max(begin, first)) for begin, end in summers)
                    if grown < 60:
                        bare.append(f"{one.title}: {steps[j].do} {grown} days of growth after {steps[put[-1]].do}")
    assert bare == []
    assert seen > 400


def test_nothing_is_put_into_frozen_ground() -> None:
    here, chains = where_winters_are_hard()
    freezes, thaws = _day(here, "ground freeze", 2026), _day(here, "ground freeze ends", 2027)
    start = date(2026, 9, 1).toordinal()
    frozen = []
    for one, chain in chains:
        for step, days in zip(one.protocol.steps, stretches(chain, Wish(start=start), start), strict=True):
            if step.do in GOES_IN and step.place in BEDS and step.windows:
                frozen += [
                    f"{one.title}: {step.do} {date.fromordinal(max(first, freezes))}"
                    for first, last in days
                    if max(first, freezes) < min(last, thaws - 1)
                ]
    assert frozen == []


def _day(here: Almanac, mark: str, year: int) -> int:
    day = here.occurrence(parse_phrase(mark), year)
    assert day is not None
    return day
