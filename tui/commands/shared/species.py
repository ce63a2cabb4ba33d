"""What the commands that ask about a species share: which is meant, by when, how surely."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from engine.reading.frozen import replace
from tui.commands.shared.call import Option, Unusable
from tui.typed_days import exact_day

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.protocols.model import Species
    from engine.schedule.nursery import Nursery


BY: Option = ("-b --by", {"metavar": "DATE", "help": "the day they are wanted by"})
SURE: Option = ("--sure", {"default": "90", "metavar": "P", "help": "how surely: 0.9, 90 or 90%% (default: 90)"})
CULTIVAR: Option = ("-k --cultivar", {"metavar": "NAME"})
WHO: Option = ("-w --for", {"dest": "who", "metavar": "WHO", "help": "for whom"})
FORM: Option = ("-f --form", {"metavar": "FORM", "help": "such as bare root, pot (left out: any that is ready)"})
GRADE: Option = ("--grade", {"metavar": "GRADE", "help": "such as first (left out: any that is sold, never culls)"})


def knowing(nursery: Nursery, name: str) -> tuple[Nursery, Species]:
    """The species meant, and a nursery that knows its marks. Raises Unusable."""
    from engine.farm.protocols import species_named
    from engine.protocols.model import Species
    from engine.reading.problems import nearest
    from engine.schedule.nursery import open_nursery

    farm = nursery.farm
    species = species_named(farm, name)
    if species is None and any(d.species == name for d in farm.own):
        species = Species(name)
    if species is None:
        from engine.protocols.library import all_names

        hint = nearest(name, all_names())
        raise Unusable(f'no species is called "{name}"', hint)
    if species.latin not in farm.species:
        grown = replace(farm, species={**farm.species, species.latin: species}, base=farm.written)
        nursery = open_nursery(grown, replace(nursery.records, farm=grown), nursery)
    return nursery, species


def asked_day(call: Namespace) -> date | None:
    """The day asked for, which has not passed. Raises Unusable."""
    by = exact_day(call.by) if call.by else None
    if by is not None and by < call.on:
        raise Unusable(f"{call.by} has passed; say a day from {call.on} on")
    return by
