"""Until when plants keep out of the ground: bare roots in a shed or a store, until their buds have swollen."""

from __future__ import annotations

from datetime import date, timedelta

from engine.almanac.almanac import date_of, say_day
from engine.protocols.forms import keeps_until, plural
from engine.records.stock import Holding
from engine.schedule.nursery import Nursery

SAID_BEFORE = timedelta(56)
"""So long before they are lost the grower is told: while there is still time to line them out."""


def keeps(nursery: Nursery, held: Holding, today: date) -> date | None:
    """The last day on which what stands under cover, in no pot and no bed, can be counted on; None where it keeps.

    That of the season in which it came to stand there; of what was there at the start, of this season.
    """
    until = keeps_until(held.form)
    if until is None or held.going or not nursery.farm.under_cover(held.place):
        return None
    since = nursery.records.stock.since.get((held.lot, held.form, held.grade, held.place), date.min)
    almanac = nursery.almanac_for(held.name.species)
    return date_of(almanac.first_from(until, (today if since == date.min else since).toordinal()))


def say_keeps(form: str, place: str, until: date, today: date) -> str:
    """`bare-root plants in the potting shed keep until 4 May 27: line out, pot or sell them`, or that they kept."""
    when = say_day(until.toordinal(), True)
    if until < today:
        return f"{plural(form)} in the {place} kept until {when}: count what is alive, record the rest as lost"
    return f"{plural(form)} in the {place} keep until {when}: line out, pot or sell them"


def lapses(nursery: Nursery, today: date) -> tuple[str, ...]:
    """What will not keep much longer where it stands, or has not, in words."""
    told = []
    for held in nursery.records.stock.holdings:
        until = keeps(nursery, held, today)
        if until is not None and until - SAID_BEFORE <= today:
            plant = nursery.farm.plant(held.name.species, held.name.cultivar)
            told.append(f"{held.lot}, {held.count} {plant}: {say_keeps(held.form, held.place, until, today)}")
    return tuple(told)
