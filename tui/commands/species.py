"""`widger species`: a species' protocols, dated for a farm, with their sources."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared.call import GOOD, Command, Unusable, print_json
from tui.commands.shared.farms import enter, farm_here
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.protocols.library import read_library, read_sources
    from engine.views.species import find_species, species_pages
    from tui.paper.species import names_sheet, species_json, species_sheet

    name, farm = (*call.words, None, None)[:2]
    path = Path(farm) if farm else farm_here()
    house = enter(path) if path else None
    almanac, track = (house.nursery.almanac, house.nursery.track) if house else (None, None)
    library = find_species(name) if name else read_library()
    if not library.species:
        from engine.protocols.library import all_names
        from engine.reading.problems import nearest

        hint = nearest(name or "", all_names()) or "use a general method, or write a [[protocol]] of your own"
        raise Unusable(f'the library has no "{name}"; {hint}')
    pages = species_pages(library, almanac, call.on, track)
    if call.json:
        print_json(species_json(pages))
    elif name is None:
        say(names_sheet(pages))
    else:
        say(species_sheet(pages, read_sources(), house.farm.units if house else "metric"))
    return GOOD


COMMAND = Command(
    run,
    "[NAME [FARM]]",
    "a species' protocols, dated for a farm, with their sources",
)
