"""The commands that show: screens, sheets for the wall, figures for scripts."""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared import (
    DEFAULT_FARM,
    GOOD,
    PROBLEMS,
    UNUSABLE,
    Unusable,
    enter,
    farm_of,
    farm_path,
    farm_word,
    print_json,
    tell,
)

if TYPE_CHECKING:
    import argparse

    from tui.farmhouse import Farmhouse


def open(call: argparse.Namespace) -> int:
    path = farm_path(farm_word(call), offer_new=True)
    return _screens(path, call.on)


def demo(call: argparse.Namespace) -> int:
    from tui.demo import scratch_copy

    path = scratch_copy(call.on, Path(call.folder) if call.folder else None)
    if call.write_only:
        print(path)
        return GOOD
    return _screens(path, call.on)


def _screens(path: Path, on: date) -> int:
    house = enter(path)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Unusable("the screens need a terminal; `widger week FARM` prints the week")
    from tui.app import WidgerApp

    app = WidgerApp(house, None if on == door.today() else on)
    app.run()
    return app.return_code or GOOD


def new(call: argparse.Namespace) -> int:
    from tui.newfarm import write_new

    path = Path(call.words[0]) if call.words else Path(DEFAULT_FARM)
    try:
        write_new(path, call)
    except ValueError as fault:
        raise Unusable(str(fault)) from None
    except FileExistsError:
        raise Unusable(f"{path} is there already; it is left as it is") from None
    except OSError as fault:
        raise Unusable(f"{path} cannot be written: {fault.strerror}") from None
    print(f"{path} is written. Set the frost dates of your place in it, then: widger {path}")
    return GOOD


def check(call: argparse.Namespace) -> int:
    from engine.farm.reading import Reading
    from engine.protocols.library import all_names
    from engine.reading.problems import nearest
    from tui.farmhouse import enter

    path = farm_path(farm_word(call))
    found = enter(path)
    refinements: tuple[str, ...] = ()
    strangers: dict[str, None] = {}
    if isinstance(found, Reading):
        problems, status = found.problems, PROBLEMS if found.usable else UNUSABLE
    else:
        problems = (*found.problems(call.on), *found.troubles)
        status = PROBLEMS if problems else GOOD
        refinements = found.farm.refinements
        unknown = (b for b in found.farm.batches if b.protocol.origin != "farm")
        strangers = dict.fromkeys(b.species for b in unknown if b.species not in found.farm.species)
    if call.json:
        from tui.paper.problems import problems_json

        print_json(problems_json(problems))
    else:
        for problem in problems:
            print(problem)
        for line in refinements:
            print(f"your own protocol for {line}")
        for name in strangers:
            near = nearest(name, all_names())
            told = f" ({near})" if near.startswith("did you mean") else ""
            print(f'"{name}" is not in the library: raised by the general method{told}')
        if not problems:
            print(f"{path}: nothing is wrong")
    return status


def dates(call: argparse.Namespace) -> int:
    house = enter(farm_path(farm_word(call)))
    from engine.views.plan import year_day_lengths, year_marks

    year = call.year or call.on.year
    almanac = house.nursery.almanac
    marks = year_marks(almanac, year)
    if call.json:
        from tui.paper.dates import dates_json

        print_json(dates_json(year, marks, year_day_lengths(almanac, year)))
    else:
        from tui.paper.dates import dates_sheet

        print(dates_sheet(house.farm, almanac, year, marks))
    return tell(house, call.on)


def year(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.year import year_view
    from tui.paper.year import year_json, year_sheet

    found = year_view(house.nursery, house.plans(call.on), call.on)
    if call.json:
        print_json(year_json(found))
    else:
        print(year_sheet(house.farm, found))
    return tell(house, call.on)


def room(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.room import room_view
    from tui.paper.room import room_json, room_sheet

    found = room_view(house.farm, house.plans(call.on), call.on)
    if call.json:
        print_json(room_json(found))
    else:
        print(room_sheet(house.farm, found))
    return tell(house, call.on)


def level(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.year import year_view
    from tui.paper.level import level_json, level_lines, levelled

    plans = house.plans(call.on)
    found = levelled(house.nursery, plans, call.on, year_view(house.nursery, plans, call.on))
    if call.json:
        print_json(level_json(found))
    else:
        print("\n".join(level_lines(found, len(found.puttings))))
        print(
            "Nothing can or need be put off."
            if not found.puttings
            else "Nothing is recorded: l on the year's screen does."
        )
    return tell(house, call.on)


def week(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.week import week_view

    week = week_view(house.nursery, house.plans(call.on), call.on)
    if call.json:
        from tui.paper.week import week_json

        print_json(week_json(house.farm, week, house.nursery))
    else:
        from tui.paper.week import week_sheet

        print(week_sheet(house.farm, week))
    return tell(house, call.on)


def plan(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.plan import batch_lines

    plans = house.plans(call.on)
    if call.batch:
        plans = tuple(p for p in plans if call.batch in (p.lot.id, p.batch.id))
        if not plans:
            raise Unusable(_no_plan(house, call.batch))
    batches = [batch_lines(house.nursery, plan, call.on) for plan in plans]
    if call.json:
        from tui.paper.plan import plan_json

        print_json(plan_json(batches))
    else:
        from tui.paper.plan import plan_sheet

        print(plan_sheet(house.farm, batches, call.on, why=bool(call.batch)))
    return tell(house, call.on)


def _no_plan(house: Farmhouse, name: str) -> str:
    """Why there is no plan of a lot of that name."""
    from engine.reading.problems import nearest

    if any(name in (lot.id, lot.batch.id) for lot in house.records.lots):
        given_up = all(lot.given_up for lot in house.records.lots if name in (lot.id, lot.batch.id))
        return f"{name} was given up" if given_up else f"{name} cannot be dated: `widger check` says why"
    hint = nearest(name, (lot.id for lot in house.records.lots))
    return f'no batch is called "{name}"' + (f"; {hint}" if hint else "")


def species(call: argparse.Namespace) -> int:
    from engine.needs.rates import track_of
    from engine.protocols.library import read_library, read_sources
    from engine.views.species import find_species, species_pages
    from tui.paper.species import names_sheet, species_json, species_sheet

    name, farm = (*call.words, None, None)[:2]
    path = Path(farm) if farm else _farm_here()
    house = enter(path) if path else None
    almanac, track = (house.nursery.almanac, track_of(house.records)) if house else (None, None)
    library = find_species(name) if name else read_library()
    if not library.species:
        from engine.protocols.library import all_names
        from engine.reading.problems import nearest

        hint = nearest(name or "", all_names()) or "raise it by a method alone, or write a [[protocol]] of your own"
        raise Unusable(f'the library has no "{name}"; {hint}')
    pages = species_pages(library, almanac, call.on, track)
    if call.json:
        print_json(species_json(pages))
    elif name is None:
        print(names_sheet(pages))
    else:
        print(species_sheet(pages, read_sources()))
    return GOOD


def labels(call: argparse.Namespace) -> int:
    from tui.paper.labels.sheets import sheet_list

    if call.sheet == "list":
        print(sheet_list())
        return GOOD
    if call.pdf is None and (call.sheet or call.code or call.start_at):
        raise Unusable("--sheet, --code and --start-at lay out a PDF; name its file with --pdf FILE")
    call.words, names = _farm_and_lots(call.words)
    house = farm_of(call)
    from tui.paper.labels.order import Refused, ordered, print_pdf

    try:
        each, wanted = ordered(
            house.farm, house.records, house.entries, (*names, *(call.batch or ())), call.copies, call.on
        )
        said = print_pdf(house.farm, wanted, call) if call.pdf is not None else ""
    except Refused as refusal:
        raise Unusable(str(refusal)) from None
    if call.json:
        from tui.paper.labels.label import labels_json

        print_json(labels_json(each))
    elif call.pdf is not None:
        print(said)
    else:
        from tui.paper.labels.text import text_labels

        print(text_labels(wanted) or "No lots.")
    return tell(house, call.on)


def _farm_and_lots(words: list[str]) -> tuple[list[str], list[str]]:
    """The farm's file where the first word is one, and the lots named after it; FARM may be left out where one is."""
    names_farm = words and (words[0].endswith(".toml") or Path(words[0]).is_file() or _farm_here() is None)
    return (words[:1], words[1:]) if names_farm else ([], words)


def _farm_here() -> Path | None:
    """The farm that a command without one means, where there is one."""
    named = os.environ.get("WIDGER_FARM")
    path = Path(named or DEFAULT_FARM)
    return path if named or path.exists() else None
