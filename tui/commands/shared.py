"""What the commands share: which farm is meant, its problems told, figures printed."""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tui import door

if TYPE_CHECKING:
    import argparse

    from tui.farmhouse import Farmhouse

GOOD, PROBLEMS, UNUSABLE = 0, 1, 2
DEFAULT_FARM = "farm.toml"


class Unusable(Exception):
    """A call or a file that cannot be used: told on standard error, exit status 2."""


def farm_path(given: str | None, offer_new: bool = False) -> Path:
    """The farm file that is meant: as given, else WIDGER_FARM, else farm.toml here. Raises Unusable where none is."""
    if given is not None:
        path = Path(given)
        if not path.exists() and path.suffix != ".toml":
            from engine.reading.problems import nearest
            from tui.command import COMMANDS

            near = nearest(given, COMMANDS)
            hint = near if near.startswith("did you mean") else "see widger --help"
            raise Unusable(f'"{given}" is neither a command nor a farm file; {hint}')
        return path
    if named := os.environ.get("WIDGER_FARM"):
        return Path(named)
    here = Path(DEFAULT_FARM)
    if here.exists() or not offer_new:
        if here.exists():
            return here
        raise Unusable("name a farm file, or set WIDGER_FARM; `widger new` writes a first one")
    raise Unusable("there is no farm.toml here. `widger new` writes a first one; `widger demo` shows a farm at work")


def farm_word(call: argparse.Namespace) -> str | None:
    """The one word of a call that asks for a farm file alone. Raises Unusable for more."""
    if len(call.words) > 1:
        raise Unusable(f"not known here: {' '.join(call.words[1:])}; a farm file is all that is asked for")
    return call.words[0] if call.words else None


def farm_of(call: argparse.Namespace) -> Farmhouse:
    """The farm that the call names; where another day stands for today, with only what had happened by then."""
    house = enter(farm_path(farm_word(call)))
    if call.on == door.today() or all(entry.on <= call.on for entry in house.entries):
        return house
    from dataclasses import replace

    from engine.journal.store import standing
    from engine.records.records import records_on
    from engine.schedule.nursery import open_nursery

    records = records_on(house.farm, house.records, standing(house.entries), call.on)
    return replace(house, nursery=open_nursery(house.farm, records, house.nursery))


def enter(path: Path) -> Farmhouse:
    from engine.farm.reading import Reading
    from tui.farmhouse import enter

    found = enter(path)
    if isinstance(found, Reading):
        for problem in found.problems:
            print(problem, file=sys.stderr)
        sys.exit(PROBLEMS if found.usable else UNUSABLE)
    return found


def tell(house: Farmhouse, on: date) -> int:
    """Tell the farm's problems on standard error, and give the exit status."""
    problems = house.problems(on)
    for problem in (*problems, *house.troubles):
        print(problem, file=sys.stderr)
    return PROBLEMS if problems or house.troubles else GOOD


def print_json(value: Any) -> None:
    import json

    print(json.dumps(value, ensure_ascii=False, indent=1))


def whole_of(text: str, what: str) -> int:
    if not text.isdecimal() or len(text) > 9:
        raise Unusable(f'{what}: "{text}" is no whole number')
    return int(text)


def degrees_of(text: str) -> float:
    """Degrees Celsius: 12, -3, 4.5, 12C, 12 °C."""
    try:
        return float(text.strip().removesuffix("C").removesuffix("°").strip().replace("−", "-").replace(",", "."))
    except ValueError:
        raise Unusable(f'"{text}" is no number of degrees Celsius; write 12, or -3') from None


def day_of(text: str) -> date:
    from engine.reading.table import FIRST_YEAR, LAST_YEAR

    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise Unusable(f'"{text}" is no date; write year-month-day, such as 2027-03-01') from None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise Unusable(f"{text} lies outside the years {FIRST_YEAR} to {LAST_YEAR}")
    return day
