"""The `widger` command: it opens the screens, and prints every view for the wall and for scripts.

Exit status: 0 good, 1 the farm has problems, 2 the call or the file cannot be used. Data goes to standard output,
messages to standard error. What a command does not need is not imported: a plain one starts at once.
"""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tui import door

if TYPE_CHECKING:
    from engine.journal.actions import Action
    from engine.journal.entry import Entry
    from engine.schedule.plan import Nursery
    from tui.farmhouse import Farmhouse

GOOD, PROBLEMS, UNUSABLE = 0, 1, 2
DEFAULT_FARM = "farm.toml"


class Unusable(Exception):
    """A call or a file that cannot be used: told on standard error, exit status 2."""


def run() -> None:
    """The console entry point."""
    gc.disable()  # a command is done, or the board painted, before there is garbage to speak of
    try:
        status = main(sys.argv[1:])
        sys.stdout.flush()
    except BrokenPipeError:  # the reader of our output has gone
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = GOOD
    except KeyboardInterrupt:
        status = 130
    sys.exit(status)


def main(arguments: Sequence[str]) -> int:
    """Carry out one call and return its exit status."""
    parser = make_parser()
    words = list(arguments)
    if not words or (words[0] not in COMMANDS and not words[0].startswith("-")):
        words = ["open", *words]
    call = parser.parse_args(words)
    try:
        return int(call.carry_out(call))
    except Unusable as fault:
        print(f"widger: {fault}", file=sys.stderr)
        return UNUSABLE


def make_parser() -> argparse.ArgumentParser:
    """The parser of the whole command."""
    parser = argparse.ArgumentParser(
        prog="widger",
        description="Nursery and propagation schedule: dated tasks from frost and day length.",
        epilog="widger [FARM] opens the screens on FARM (else WIDGER_FARM, else farm.toml here).",
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    for name, (carry_out, told, add) in COMMANDS.items():
        sub = commands.add_parser(name, help=told, description=told)
        sub.set_defaults(carry_out=carry_out)
        add(sub)
    return parser


# -- commands that show


def _open(call: argparse.Namespace) -> int:
    path = farm_path(call.words[0] if call.words else None, offer_new=True)
    return _screens(path, call.on)


def _demo(call: argparse.Namespace) -> int:
    from tui.demo import scratch_copy

    path = scratch_copy(call.on, Path(call.folder) if call.folder else None)
    if call.write_only:
        print(path)
        return GOOD
    return _screens(path, call.on)


def _screens(path: Path, on: date) -> int:
    house = _enter(path)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Unusable("the screens need a terminal; `widger week FARM` prints the week")
    from tui.app import WidgerApp

    app = WidgerApp(house, None if on == door.today() else on)
    app.run()
    return app.return_code or GOOD


def _new(call: argparse.Namespace) -> int:
    from tui.newfarm import write_new

    path = Path(call.words[0]) if call.words else Path(DEFAULT_FARM)
    try:
        write_new(path, call)
    except FileExistsError:
        raise Unusable(f"{path} is there already; it is left as it is") from None
    except OSError as fault:
        raise Unusable(f"{path} cannot be written: {fault.strerror}") from None
    print(f"{path} is written. Set the frost dates of your place in it, then: widger {path}")
    return GOOD


def _check(call: argparse.Namespace) -> int:
    from engine.farm.reading import Reading
    from tui.farmhouse import enter

    path = farm_path(call.words[0] if call.words else None)
    found = enter(path)
    refinements: tuple[str, ...] = ()
    if isinstance(found, Reading):
        problems, status = found.problems, PROBLEMS if found.usable else UNUSABLE
    else:
        problems = (*found.problems(call.on), *found.troubles)
        status = PROBLEMS if problems else GOOD
        refinements = found.farm.refinements
    if call.json:
        from tui.jsons import problems_json

        _print_json(problems_json(problems))
    else:
        for problem in problems:
            print(problem)
        for line in refinements:
            print(f"your own protocol for {line}")
        if not problems:
            print(f"{path}: nothing is wrong")
    return status


def _dates(call: argparse.Namespace) -> int:
    house = _house(call)
    from engine.views.plan import year_day_lengths, year_marks

    year = call.year or call.on.year
    almanac = house.nursery.almanac
    marks = year_marks(almanac, year)
    if call.json:
        from tui.jsons import dates_json

        _print_json(dates_json(year, marks, year_day_lengths(almanac, year)))
    else:
        from tui.sheets import dates_sheet

        print(dates_sheet(house.farm, almanac, year, marks))
    return _tell(house, call.on)


def _week(call: argparse.Namespace) -> int:
    house = _house(call)
    from engine.views.week import week_view

    week = week_view(house.nursery, house.plans(call.on), call.on)
    if call.json:
        from tui.jsons import week_json

        _print_json(week_json(house.farm, week, house.nursery))
    else:
        from tui.sheets import week_sheet

        print(week_sheet(house.farm, week))
    return _tell(house, call.on)


def _plan(call: argparse.Namespace) -> int:
    house = _house(call)
    from engine.views.plan import batch_lines

    plans = house.plans(call.on)
    if call.batch:
        plans = tuple(p for p in plans if call.batch in (p.lot.id, p.batch.id))
        if not plans:
            from engine.reading.problems import nearest

            hint = nearest(call.batch, (lot.id for lot in house.records.lots))
            raise Unusable(f'no batch is called "{call.batch}"' + (f"; {hint}" if hint else ""))
    batches = [batch_lines(house.nursery, plan, call.on) for plan in plans]
    if call.json:
        from tui.jsons import plan_json

        _print_json(plan_json(batches))
    else:
        from tui.sheets import plan_sheet

        print(plan_sheet(house.farm, batches, call.on, why=bool(call.batch)))
    return _tell(house, call.on)


def _species(call: argparse.Namespace) -> int:
    from engine.protocols.library import read_library, read_sources
    from engine.views.species import find_species, species_pages
    from tui.jsons import species_json
    from tui.species_sheet import names_sheet, species_sheet

    name, farm = (*call.words, None, None)[:2]
    path = Path(farm) if farm else _farm_here()
    almanac = _enter(path).nursery.almanac if path else None
    library = find_species(name) if name else read_library()
    if not library.species:
        from engine.protocols.library import all_names
        from engine.reading.problems import nearest

        hint = nearest(name or "", all_names()) or "raise it by a method alone, or write a [[protocol]] of your own"
        raise Unusable(f'the library has no "{name}"; {hint}')
    pages = species_pages(library, almanac, call.on)
    if call.json:
        _print_json(species_json(pages))
    elif name is None:
        print(names_sheet(pages))
    else:
        print(species_sheet(pages, read_sources()))
    return GOOD


def _farm_here() -> Path | None:
    """The farm that a command without one means, where there is one."""
    named = os.environ.get("WIDGER_FARM")
    path = Path(named or DEFAULT_FARM)
    return path if named or path.exists() else None


# -- commands that record


def _record(
    call: argparse.Namespace, words: Sequence[str], make: Callable[[Nursery, tuple[Entry, ...]], Action]
) -> int:
    """Record one action: its entry goes to standard output, a refusal to standard error."""
    from engine.journal.actions import Refused, said
    from engine.journal.store import JournalError
    from tui.farmhouse import record
    from tui.jsons import entry_json

    house = _enter(farm_path(words[0] if words else None))
    try:
        entry = record(house.path, house.farm, make)
    except (Refused, JournalError) as refusal:
        hint = getattr(refusal, "hint", "")
        raise Unusable(f"{refusal}" + (f" ({hint})" if hint else "")) from None
    if call.json:
        _print_json(entry_json(entry))
    else:
        print(said(entry))
    return GOOD


def _split(words: Sequence[str], names: Sequence[str]) -> tuple[list[str], list[str]]:
    """The farm's name where it is given, and the words after it. Raises Unusable where words lack or are too many."""
    if not len(names) <= len(words) <= len(names) + 1:
        raise Unusable(f"give [FARM] {' '.join(names)}")
    farm = list(words[: len(words) - len(names)])
    return farm, list(words[len(words) - len(names) :])


def _done(call: argparse.Namespace) -> int:
    from engine.journal import actions

    farm, (batch, step) = _split(call.words, ("BATCH", "STEP"))

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        lot = actions.find_lot(nursery.records, batch)
        count = lot.count - call.left if call.count is None else call.count
        return actions.do(
            nursery.records, lot, step, count, call.left, call.on, max(call.on, door.today()), not call.apart
        )

    return _record(call, farm, make)


def _look(call: argparse.Namespace) -> int:
    from engine.journal import actions

    farm, (batch, step, finding) = _split(call.words, ("BATCH", "STEP", "FINDING"))
    return _record(
        call,
        farm,
        lambda nursery, _: actions.look(actions.find_lot(nursery.records, batch), step, finding, call.on, call.on),
    )


def _hold(call: argparse.Namespace) -> int:
    from engine.journal import actions

    farm, (batch, step, reason) = _split(call.words, ("BATCH", "STEP", "REASON"))
    return _record(
        call, farm, lambda nursery, _: actions.hold(actions.find_lot(nursery.records, batch), step, reason, call.on)
    )


def _release(call: argparse.Namespace) -> int:
    from engine.journal import actions

    farm, (batch, step) = _split(call.words, ("BATCH", "STEP"))
    return _record(
        call, farm, lambda nursery, _: actions.release(actions.find_lot(nursery.records, batch), step, call.on)
    )


def _later(call: argparse.Namespace) -> int:
    from engine.journal import actions
    from engine.schedule.plan import plan_lot

    farm, (batch, step, to) = _split(call.words, ("BATCH", "STEP", "DATE"))
    day = _day(to)

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        lot = actions.find_lot(nursery.records, batch)
        return actions.later(plan_lot(nursery, lot, call.on), step, day, call.on)

    return _record(call, farm, make)


def _accept(call: argparse.Namespace) -> int:
    from engine.journal import actions
    from engine.schedule.plan import plan_lot

    farm, (batch,) = _split(call.words, ("BATCH",))

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        return actions.accept(plan_lot(nursery, actions.find_lot(nursery.records, batch), call.on), call.on)

    return _record(call, farm, make)


def _drop(call: argparse.Namespace) -> int:
    from engine.journal import actions

    farm, (batch,) = _split(call.words, ("BATCH",))
    return _record(
        call,
        farm,
        lambda nursery, _: actions.drop(
            actions.find_lot(nursery.records, batch), call.step or "", call.reason or "", call.on
        ),
    )


def _note(call: argparse.Namespace) -> int:
    from engine.journal import actions

    farm, (batch, text) = _split(call.words, ("BATCH", "TEXT"))
    return _record(call, farm, lambda nursery, _: actions.note(actions.find_lot(nursery.records, batch), text, call.on))


def _saw(call: argparse.Namespace) -> int:
    from engine.journal import actions

    farm, (mark,) = _split(call.words, ("MARK",))
    return _record(
        call,
        farm,
        lambda nursery, _: actions.saw(nursery.farm, nursery.almanac, mark, call.on, max(call.on, door.today())),
    )


def _undo(call: argparse.Namespace) -> int:
    from engine.journal import actions

    return _record(call, call.words, lambda _, entries: actions.undo(entries, door.device())[0])


# -- what they share


def farm_path(given: str | None, offer_new: bool = False) -> Path:
    """The farm file that is meant: as given, else WIDGER_FARM, else farm.toml here. Raises Unusable where none is."""
    if given is not None:
        path = Path(given)
        if not path.exists() and path.suffix != ".toml":
            from engine.reading.problems import nearest

            hint = nearest(given, COMMANDS) if "did you mean" in nearest(given, COMMANDS) else "see widger --help"
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


def _house(call: argparse.Namespace) -> Farmhouse:
    return _enter(farm_path(call.words[0] if call.words else None))


def _enter(path: Path) -> Farmhouse:
    from engine.farm.reading import Reading
    from tui.farmhouse import enter

    found = enter(path)
    if isinstance(found, Reading):
        for problem in found.problems:
            print(problem, file=sys.stderr)
        sys.exit(PROBLEMS if found.usable else UNUSABLE)
    return found


def _tell(house: Farmhouse, on: date) -> int:
    """Tell the farm's problems on standard error, and give the exit status."""
    problems = house.problems(on)
    for problem in (*problems, *house.troubles):
        print(problem, file=sys.stderr)
    return PROBLEMS if problems or house.troubles else GOOD


def _print_json(value: Any) -> None:
    import json

    print(json.dumps(value, ensure_ascii=False, indent=1))


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Unusable(f'"{text}" is no date; write year-month-day, such as 2027-03-01') from None


def _on(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f'"{text}" is no date; write year-month-day, such as 2027-03-01') from None


def _words(told: str) -> Callable[[argparse.ArgumentParser], None]:
    def add(parser: argparse.ArgumentParser) -> None:
        parser.add_argument("words", nargs="*", metavar=told, help="as shown; FARM may be left out")
        parser.add_argument(
            "--on", type=_on, default=door.today(), metavar="DATE", help="the day that stands for today"
        )
        parser.add_argument("--json", action="store_true", help="JSON on standard output")

    return add


def _with(told: str, *options: tuple[str, dict[str, Any]]) -> Callable[[argparse.ArgumentParser], None]:
    def add(parser: argparse.ArgumentParser) -> None:
        _words(told)(parser)
        for name, settings in options:
            parser.add_argument(name, **settings)

    return add


_DONE_OPTIONS = (
    ("--count", {"type": int, "metavar": "N", "help": "how many came through (default: all)"}),
    ("--left", {"type": int, "default": 0, "metavar": "N", "help": "how many are still to be done"}),
    ("--apart", {"action": "store_true", "help": "keep parts apart that could be joined"}),
)

Carry = Callable[[argparse.Namespace], int]
COMMANDS: dict[str, tuple[Carry, str, Callable[[argparse.ArgumentParser], None]]] = {
    "open": (_open, "open the screens on a farm (also: widger FARM)", _words("FARM")),
    "demo": (
        _demo,
        "open the screens on a scratch copy of the demo farm",
        _with(
            "FARM",
            ("--folder", {"metavar": "DIR", "help": "where to write the copy (default: a new temporary folder)"}),
            ("--write-only", {"action": "store_true", "help": "write the copy and print its path"}),
        ),
    ),
    "new": (
        _new,
        "write a first farm file",
        _with(
            "FARM",
            ("--name", {"default": "My nursery"}),
            ("--latitude", {"type": float, "default": 45.0}),
            ("--longitude", {"type": float, "default": 0.0}),
            ("--timezone", {"default": "UTC"}),
        ),
    ),
    "check": (_check, "say what is wrong with a farm file, all at once", _words("FARM")),
    "dates": (
        _dates,
        "the marks of a year: frost, light, and what rests on them",
        _with("FARM", ("--year", {"type": int, "metavar": "Y"})),
    ),
    "week": (_week, "this week's tasks by place", _words("FARM")),
    "plan": (
        _plan,
        "every batch's steps with their dates",
        _with("FARM", ("--batch", {"metavar": "ID", "help": "one batch, with the reason of every date"})),
    ),
    "species": (_species, "a species' protocols, dated for a farm, with their sources", _words("[NAME [FARM]]")),
    "done": (_done, "record a step done", _with("[FARM] BATCH STEP", *_DONE_OPTIONS)),
    "look": (_look, "record a look: nothing, radicles, mould or dry", _words("[FARM] BATCH STEP FINDING")),
    "saw": (_saw, "record a mark of the season seen", _words("[FARM] MARK")),
    "hold": (_hold, "hold a step, with a reason", _words("[FARM] BATCH STEP REASON")),
    "release": (_release, "end a hold", _words("[FARM] BATCH STEP")),
    "later": (_later, "put a step off within its window", _words("[FARM] BATCH STEP DATE")),
    "accept": (_accept, "accept the next chance of what was missed", _words("[FARM] BATCH")),
    "drop": (
        _drop,
        "drop a step, or the whole batch",
        _with("[FARM] BATCH", ("--step", {"metavar": "STEP"}), ("--reason", {"metavar": "TEXT"})),
    ),
    "note": (_note, "write a note on a batch", _words("[FARM] BATCH TEXT")),
    "undo": (_undo, "undo the latest entry of this device", _words("FARM")),
}


if __name__ == "__main__":
    run()
