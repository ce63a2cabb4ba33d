"""Which farm is meant, its file read, its problems told."""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from tui import door
from tui.commands.shared.call import GOOD, PROBLEMS, UNUSABLE, Unusable
from tui.out import warn

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.farm.reading import Reading
    from engine.schedule.nursery import Nursery
    from tui.farmhouse import Farmhouse


DEFAULT_FARM = "farm.toml"


def farm_path(given: str | None, offer_new: bool = False) -> Path:
    """The farm file that is meant: as given, else WIDGER_FARM, else farm.toml here. Raises Unusable where none is."""
    if given is not None:
        path = Path(given)
        if not path.exists() and path.suffix != ".toml":
            from engine.reading.problems import nearest
            from tui.commands import NAMES

            near = nearest(given, NAMES)
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


def farm_here() -> Path | None:
    """The farm that a command without one means, where there is one."""
    named = os.environ.get("WIDGER_FARM")
    path = Path(named or DEFAULT_FARM)
    return path if named or path.exists() else None


def no_farm(given: str | None) -> Path | None:
    """The file that a first run would write: the one that is meant, where it ends in .toml and is not there."""
    path = Path(given or os.environ.get("WIDGER_FARM") or DEFAULT_FARM)
    return None if path.suffix != ".toml" or path.exists() or path.is_symlink() else path


def farm_word(call: Namespace) -> str | None:
    """The one word of a call that asks for a farm file alone. Raises Unusable for more."""
    if len(call.words) > 1:
        raise Unusable(f"not known here: {' '.join(call.words[1:])}; only a farm file is needed")
    return call.words[0] if call.words else None


def farm_of(call: Namespace, watched: bool = False) -> Farmhouse:
    """The farm that the call names; where another day stands for today, with only what had happened by then.

    Who goes on to ask how each lot moved says so: the movements are kept while the farm is read (`watched`).
    """
    return farm_at(call, farm_word(call), watched)


def farm_at(call: Namespace, given: str | None, watched: bool = False) -> Farmhouse:
    """The farm that is given, else the usual one, as it stood on the call's day."""
    house = enter(farm_path(given), call.on, keep=watched)
    return house if call.on == door.today() else house.as_of(call.on)


def enter(
    path: Path, on: date | None = None, keep: bool = False, known: tuple[Reading, Nursery] | None = None
) -> Farmhouse:
    from engine.farm.reading import Reading
    from tui.farmhouse import enter

    found = enter(path, on, keep, known)
    if isinstance(found, Reading):
        unread(found)
    return found


def unread(reading: Reading) -> NoReturn:
    """Tell why there is no farm to work with, and end."""
    for problem in reading.problems:
        warn(problem)
    sys.exit(PROBLEMS if reading.usable else UNUSABLE)


def tell(house: Farmhouse, on: date) -> int:
    """Tell the farm's problems on standard error, and give the exit status."""
    problems = house.problems(on)
    for problem in (*problems, *house.troubles):
        warn(problem)
    return PROBLEMS if problems or house.troubles else GOOD
