"""`widger check`: what is wrong with a farm file, all at once."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from tui.commands.shared.call import GOOD, PROBLEMS, UNUSABLE, Command, print_json
from tui.commands.shared.farms import farm_path, farm_word
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.farm.model import Farm


def run(call: Namespace) -> int:
    from engine.farm.places import unlisted_work, unused_places
    from engine.farm.reading import Reading
    from engine.protocols.library import meant
    from engine.records.settings import set_aside
    from engine.records.words import said
    from tui.farmhouse import enter
    from tui.paper.page import WIDTH

    path = farm_path(farm_word(call))
    found = enter(path, call.on)
    refinements: tuple[str, ...] = ()
    strangers: dict[str, None] = {}
    notes: tuple[str, ...] = ()
    general: dict[str, None] = {}
    idle: list[str] = []
    if isinstance(found, Reading):
        problems, status = found.problems, PROBLEMS if found.usable else UNUSABLE
    else:
        problems = (*found.problems(call.on), *found.troubles)
        status = PROBLEMS if problems else GOOD
        refinements = found.farm.refinements
        unknown = (b for b in found.farm.batches if b.protocol.origin != "farm")
        strangers = dict.fromkeys(b.species for b in unknown if b.species not in found.farm.species)
        general = _by_general(found.farm)
        idle = unused_places(found.farm, [h.place for h in found.records.stock.holdings])
        idle += unlisted_work(found.farm)
        changed = "the farm file has changed since, so this no longer counts"
        idle += [f"{changed}: {said(entry)}" for entry in set_aside(found.farm, found.standing)]
        if found.farm.site.record:
            from tui.thermometer import refused_note

            notes = refused_note(found.path, found.farm)
    if call.json:
        from tui.paper.problems import problems_json

        print_json(problems_json(problems))
    else:
        for problem in problems:
            say(problem)
        lines = [*notes, *(f"your own protocol for {line}" for line in refinements)]
        for name in strangers:
            told = meant(name)
            lines.append(f'"{name}" is not in the library: raised by the general method{f" ({told})" if told else ""}')
        for line in (*lines, *general, *idle):
            say("\n".join(wrap(line, WIDTH, subsequent_indent="    ", break_long_words=False)))
        if not problems:
            say(f"{path}: nothing is wrong")
    return status


def _by_general(farm: Farm) -> dict[str, None]:
    """What is raised by a general method though its plant has ways of its own, each once, in words."""
    from engine.farm.protocols import has_instead

    told: dict[str, None] = {}
    for batch in farm.batches:
        if has := has_instead(farm, batch.species, batch.method):
            plant = farm.species_of(batch.species).name
            lacks = f"neither the library nor your file has {batch.method} for {plant}"
            told[f"{lacks}: raised by the general method (it has {', '.join(has)})"] = None
    return told


COMMAND = Command(
    run,
    "FARM",
    "say what is wrong with a farm file, all at once",
)
