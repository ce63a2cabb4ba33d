"""What is done when, for twelve usual plants by all their methods: a page a place, for a propagator there to read.

`python -m tests.benchmarks.six_pages [PLACE]` prints Ithaca, Seattle-Tacoma, St Cloud, Sutton Bonington, Ballarat and
Dunedin, or one of them: of each act that waits for a season, the days on which it may be done in the twelve months from
the beginning of the local autumn.
"""

import sys
from datetime import date

from engine.almanac.almanac import Almanac
from engine.almanac.phrases import parse_phrase
from engine.schedule.chain import make_chain
from engine.schedule.start_and_ready import Wish
from engine.schedule.stretches import stretches
from tests.engine.library.built import named
from tests.engine.library.practice import site
from tests.reference.tables import rows

PLACES = ("ithaca", "seatac", "stcloud", "sutton_bonington", "ballarat", "dunedin")
PLANTS = (
    "Malus domestica",
    "Pyrus communis",
    "Prunus persica",
    "Corylus avellana",
    "Juglans nigra",
    "Castanea mollissima",
    "Vitis vinifera",
    "Ribes nigrum",
    "Rubus idaeus",
    "Vaccinium corymbosum",
    "Sambucus canadensis",
    "Rheum x hybridum",
)
MARKS = (
    "last frost", "last frost (10%)", "soil workable", "bud swell", "soil warm", "softwood firm", "softwood firm ends",
    "first fruit", "bark slips (summer)", "bark slips (summer) ends", "first frost", "leaf drop", "deep dormancy",
    "ground freeze",
)  # fmt: skip


def main() -> None:
    """Print the pages."""
    for place in sys.argv[1:] or PLACES:
        here = Almanac(site(place))
        name = next(row["name"] for row in rows("practice_sites") if row["place"] == place)
        print(f"\n{name}\n" + "; ".join(f"{mark} {_day(here.occurrence(parse_phrase(mark), 2027))}" for mark in MARKS))
        start = date(2026, 9 if here.site.latitude > 0 else 3, 1).toordinal()
        for latin in PLANTS:
            print(f"  {latin}")
            for one in (b for b in named(latin) if b.draft.species == latin):
                assert one.species is not None
                chain = make_chain(one.protocol, here.for_species(one.species.marks))
                spans = stretches(chain, Wish(start=start), start)
                acts = [
                    f"{step.do} " + ", ".join(f"{_day(first)}-{_day(last)}" for first, last in days)
                    for step, days, own in zip(one.protocol.steps, spans, chain.spans, strict=True)
                    if own is not None
                ]
                route = f", {one.draft.route}" if one.draft.route else ""
                print(f"    {one.draft.method}{route}: " + "; ".join(acts))


def _day(day: int | None) -> str:
    return "never" if day is None else f"{date.fromordinal(day):%-d %b}"


if __name__ == "__main__":
    main()
