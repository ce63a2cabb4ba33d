"""The commands of the yearly decision: needs, promises, ways, orders, the year reviewed."""

from __future__ import annotations

import argparse
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from engine.reading.problems import nearest
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.plan import plan_all
from tui.commands.odds import share_of
from tui.commands.record import record_one, split_words
from tui.commands.shared import Unusable, day_of, enter, farm_of, farm_path, print_json, tell, whole_of

if TYPE_CHECKING:
    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.protocols.model import Species

NONE = "none"
"""Said for a day that is to be taken away."""
MOST = 100_000
"""So many of a plant may be asked about."""


def needs(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.needs.coverage import coverage, fallback, troubled
    from tui.paper.needs import needs_json, needs_sheet
    from tui.paper.without_a_lot import fallback_json, fallback_sheet

    nursery = house.nursery
    plans = plan_all(nursery, call.on)
    if call.without:
        lots = [lot.id for lot in nursery.records.lots]
        lots += [held.lot for held in nursery.records.stock.holdings]
        if call.without not in lots:
            hint = nearest(call.without, lots)
            raise Unusable(f'no lot is called "{call.without}"' + (f"; {hint}" if hint else ""))
        found = fallback(nursery, plans, call.on, call.without)
        if call.json:
            print_json(fallback_json(call.without, found))
        else:
            print(fallback_sheet(nursery.farm, call.without, found))
        return tell(house, call.on)
    covered, lots = coverage(nursery, plans, call.on), list(troubled(plans, call.on))
    if call.json:
        print_json(needs_json(covered, lots))
    else:
        print(needs_sheet(nursery.farm, covered, lots))
    return tell(house, call.on)


def new(call: argparse.Namespace) -> int:
    """Add a need."""
    from engine.acts.needs import new_need
    from engine.farm.stock import Need

    farm, (name, species, count) = split_words(call.words, ("ID", "SPECIES", "COUNT"))
    by = day_of(call.by) if call.by else None
    wanted = Need(
        name, species, call.cultivar or "", call.form or "", whole_of(count, "COUNT"), by, _sureness(call.sure),
        call.who or "",
    )  # fmt: skip
    return record_one(call, farm, lambda nursery, entries: new_need(nursery, entries, wanted, call.on))


def amend(call: argparse.Namespace) -> int:
    """Change what is given of a need."""
    from engine.acts.batches import KEEP
    from engine.acts.needs import amend_need

    farm, (name,) = split_words(call.words, ("ID",))
    words = {"form": call.form, "cultivar": call.cultivar, "who": call.who}
    if all(value is None for value in (call.count, call.by, call.sure, *words.values())):
        raise Unusable("say what changes: --count N, --by D, --sure P, --for WHO, --form F or --cultivar C")
    count = KEEP if call.count is None else whole_of(call.count, "--count")
    by = KEEP if call.by is None else None if call.by.lower() == NONE else day_of(call.by)
    sure = KEEP if call.sure is None else _sureness(call.sure)
    form, cultivar, who = (KEEP if value is None else value for value in words.values())

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        return amend_need(
            nursery, name, call.on, count=count, by=by, sure=sure, form=form, cultivar=cultivar, who=who
        )  # fmt: skip

    return record_one(call, farm, make)


def withdraw(call: argparse.Namespace) -> int:
    """Withdraw a need."""
    from engine.acts.needs import withdraw_need

    farm, (name,) = split_words(call.words, ("ID",))
    return record_one(call, farm, lambda nursery, _: withdraw_need(nursery, name, call.reason or "", call.on))


def promise(call: argparse.Namespace) -> int:
    farm, (name,) = split_words(call.words, ("SPECIES",))
    house = enter(farm_path(farm[0] if farm else None))
    from engine.needs.promising import offer
    from tui.paper.promise import offer_json, offer_sheet

    nursery, species = _knowing(house.nursery, name)
    by, sure = _by(call), _sureness(call.sure)
    if by is None:
        raise Unusable("say by when: --by 2028-03-01")
    plans = plan_all(nursery, call.on)
    found = offer(nursery, plans, call.on, species.latin, call.cultivar or "", call.form or "", by, sure)
    if call.json:
        print_json(offer_json(found))
    else:
        print(offer_sheet(nursery.farm, found))
    return tell(house, call.on)


def ways(call: argparse.Namespace) -> int:
    farm, (name, count) = split_words(call.words, ("SPECIES", "COUNT"))
    house = enter(farm_path(farm[0] if farm else None))
    from engine.needs.ways import lean_splits, losses_of, splits
    from engine.needs.ways import ways as every_way
    from tui.paper.ways import ways_json, ways_sheet

    nursery, species = _knowing(house.nursery, name)
    by, sure, want = _by(call), _sureness(call.sure), whole_of(count, "COUNT")
    if not 1 <= want <= MOST:
        raise Unusable(f"COUNT: from 1 to {MOST:,} can be asked for, not {count}")
    plans, form = plan_all(nursery, call.on), call.form or ""
    found = every_way(nursery, plans, call.on, species.latin, call.cultivar or "", want, by, sure, form)
    losses = losses_of(nursery.farm)
    pairs = splits(want, found, losses)
    pairs = (*lean_splits(want, pairs, losses, sure)[:3], *pairs[:3])
    if call.json:
        print_json(ways_json(species, want, by, sure, found, pairs))
    else:
        title = f"{want} {species.name} {call.cultivar or ''}".rstrip() + (f", {form}" if form else "")
        title += f" ({species.latin})" if species.name != species.latin else ""
        print(ways_sheet(title, by, sure, found, pairs))
    return tell(house, call.on)


def starts_of_species(call: argparse.Namespace, want: int, sure: float) -> int:
    """How many to start of a species by a method, what stands behind it, and what more or less sureness costs."""
    farm, (name, method) = split_words(call.words, ("SPECIES", "METHOD"))
    house = enter(farm_path(farm[0] if farm else None))
    from engine.farm.protocols import NoProtocol
    from engine.needs.sizing import sizing
    from tui.paper.starts import sizing_json, sizing_sheet

    nursery, species = _knowing(house.nursery, name)
    plans, route, cultivar, by = plan_all(nursery, call.on), call.route or "", call.cultivar or "", _by(call)
    try:
        found = sizing(nursery, plans, call.on, species.latin, method, route, cultivar, want, by, sure)
    except NoProtocol as fault:
        raise Unusable(f"{fault}" + (f"; {fault.hint}" if fault.hint else "")) from None
    if found.way.reason:
        raise Unusable(f"{found.way.title}: {found.way.reason}; `widger ways` tells of others")
    if call.json:
        print_json(sizing_json(found))
    else:
        print(sizing_sheet(nursery.farm.plant(species.latin, cultivar), found))
    return tell(house, call.on)


def orders(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.needs.orders import order_lines

    nursery = house.nursery
    lines = order_lines(nursery, plan_all(nursery, call.on))
    if call.json:
        from tui.paper.orders import orders_json

        print_json(orders_json(lines))
    else:
        from tui.paper.orders import orders_sheet

        print(orders_sheet(nursery.farm, lines, call.on))
    return tell(house, call.on)


def review(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.needs.review import review as look_back

    year = day_of(f"{call.year:0>4}-01-01").year if call.year else call.on.year
    nursery = house.nursery
    kinds = look_back(nursery, plan_all(nursery, call.on), year, call.on)
    if call.json:
        from tui.paper.review import review_json

        print_json(review_json(year, kinds))
    else:
        from tui.paper.review import review_sheet

        print(review_sheet(nursery.farm, year, kinds))
    return tell(house, call.on)


def _knowing(nursery: Nursery, name: str) -> tuple[Nursery, Species]:
    """The species meant, and a nursery that knows its marks. Raises Unusable."""
    from engine.farm.protocols import species_named
    from engine.protocols.model import Species

    farm = nursery.farm
    species = species_named(farm, name)
    if species is None and any(d.species == name for d in farm.own):
        species = Species(name)
    if species is None:
        from engine.protocols.library import all_names

        hint = nearest(name, all_names())
        raise Unusable(f'no species is called "{name}"' + (f"; {hint}" if hint else ""))
    if species.latin not in farm.species:
        grown = replace(farm, species={**farm.species, species.latin: species}, base=farm.written)
        nursery = open_nursery(grown, replace(nursery.records, farm=grown), nursery)
    return nursery, species


def _by(call: argparse.Namespace) -> date | None:
    """The day asked for, which has not passed. Raises Unusable."""
    by = day_of(call.by) if call.by else None
    if by is not None and by < call.on:
        raise Unusable(f"{call.by} has passed; say a day from {call.on} on")
    return by


def _sureness(text: str) -> float:
    sure = share_of(text, "sureness")
    if not 0 < sure < 1:
        raise Unusable(f"nothing is as sure as {text}; say a sureness between 0 and 100 %, such as 90")
    return sure
