"""The `widger` command: it opens the screens, and prints every view for the wall and for scripts.

Exit status: 0 good, 1 the farm has problems, 2 the call or the file cannot be used. Data goes to standard output,
messages to standard error. What a command does not need is not imported: a plain one starts at once.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Sequence
from datetime import date
from importlib import import_module
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from tui import door
from tui.commands.needs_calls import NEEDS_CALLS
from tui.commands.shared import GOOD, UNUSABLE, Unusable, day_of
from tui.commands.stock_calls import STOCK_CALLS

if TYPE_CHECKING:
    import argparse


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
    words = list(arguments)
    if not words or (words[0] not in COMMANDS and not words[0].startswith("-")):
        words = ["open", *words]
    try:
        return carry_out(_plain_open(words) or _parsed(words))
    except Unusable as fault:
        print(f"widger: {fault}", file=sys.stderr)
        return UNUSABLE


def _plain_open(words: Sequence[str]) -> SimpleNamespace | None:
    """`widger [FARM] [--on DATE]`, read by hand: the call of every morning does not wait for a parser."""
    farm, on = list(words[1:]), door.today()
    if len(farm) >= 2 and farm[-2] == "--on":
        try:
            farm, on = farm[:-2], day_of(farm[-1])
        except Unusable:
            return None  # the parser tells how the call is meant
    if words[0] != "open" or len(farm) > 1 or any(word.startswith("-") for word in farm):
        return None
    return SimpleNamespace(where=COMMANDS["open"][0], words=farm, on=on)


def _parsed(words: Sequence[str]) -> argparse.Namespace:
    parser = make_parser(words[0] if words[0] in COMMANDS else None)
    call, rest = parser.parse_known_args(words)
    if rest and (any(word.startswith("-") for word in rest) or not hasattr(call, "words")):
        parser.error(f"not known here: {' '.join(rest)}")
    if rest:  # words after an option
        call.words += rest
    return call


def carry_out(call: argparse.Namespace | SimpleNamespace) -> int:
    """Do what the call says; only the module that it needs is read."""
    module, function = call.where.split(".")
    return int(getattr(import_module(f"tui.commands.{module}"), function)(call))


def make_parser(wanted: str | None = None) -> argparse.ArgumentParser:
    """The parser of the whole command, or of the one wanted."""
    import argparse

    parser = argparse.ArgumentParser(
        prog="widger",
        description="Nursery and propagation schedule: dated tasks from frost and day length.",
        epilog="widger [FARM] opens the screens on FARM (else WIDGER_FARM, else farm.toml here).",
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    for name, (where, told, add) in COMMANDS.items():
        if wanted not in (None, name):
            continue  # making them all takes longer than most commands
        sub = commands.add_parser(name, help=told, description=told)
        sub.set_defaults(where=where)
        add(sub)
    return parser


def _on(text: str) -> date:
    import argparse

    try:
        return day_of(text)
    except Unusable as fault:
        raise argparse.ArgumentTypeError(str(fault)) from None


def _year(text: str) -> int:
    return _on(f"{text:0>4}-01-01").year


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
        for names, settings in options:
            parser.add_argument(*names.split(), **settings)

    return add


def _starts(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "words", nargs="*", metavar="[FARM] SPECIES METHOD", help="by the book and your own results; or --rate, without"
    )
    parser.add_argument("--want", required=True, metavar="N", help="how many are wanted in the end")
    parser.add_argument(
        "--rate", nargs="+", action="extend", metavar="R[:W]",
        help="for each step the share that comes through (0.8, 80 or 80%%), and how many observations it is worth",
    )  # fmt: skip
    parser.add_argument("--sure", default="90", metavar="P", help="how surely: 0.9, 90 or 90%% (default: 90)")
    parser.add_argument("--by", metavar="D", help="of a species: by which day they are wanted")
    parser.add_argument("--route", metavar="R", help="of a species: which way, where the method has several")
    parser.add_argument("--cultivar", metavar="C", help="of a species: its cultivar")
    parser.add_argument("--on", type=_on, default=door.today(), metavar="DATE", help="the day that stands for today")
    parser.add_argument("--json", action="store_true", help="JSON on standard output")


def _at_least_1(text: str) -> int:
    import argparse

    if not (text.isascii() and text.isdigit() and len(text) < 7 and int(text)):
        raise argparse.ArgumentTypeError(f'"{text}" is not a whole number from 1')
    return int(text)


_LABEL_OPTIONS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("--batch", {"nargs": "+", "action": "extend", "metavar": "ID", "help": "these batches or lots alone"}),
    ("--copies", {"type": _at_least_1, "default": 1, "metavar": "N", "help": "so many of each"}),
    ("--pdf", {"metavar": "FILE", "help": "write a PDF to print instead of text"}),
    ("--sheet", {"metavar": "NAME", "help": "its label sheet, such as a4-3x8 (the default); `list` tells them"}),
    ("--code", {"choices": ("qr", "code128", "none"), "help": "how the lot's id is coded in it (default: qr)"}),
    ("--start-at", {"type": _at_least_1, "metavar": "N", "help": "the first label of the sheet not yet used"}),
)
_DONE_OPTIONS = (
    ("--count", {"type": int, "metavar": "N", "help": "how many came through (default: all)"}),
    ("--left", {"type": int, "default": 0, "metavar": "N", "help": "how many are still to be done"}),
    ("--apart", {"action": "store_true", "help": "keep parts apart that could be joined"}),
)

_CALLS = {**STOCK_CALLS, **NEEDS_CALLS}

COMMANDS: dict[str, tuple[str, str, Callable[[argparse.ArgumentParser], None]]] = {
    "open": ("show.open", "open the screens on a farm (also: widger FARM)", _words("FARM")),
    "demo": (
        "show.demo",
        "open the screens on a scratch copy of the demo farm",
        _with(
            "FARM",
            ("--folder", {"metavar": "DIR", "help": "where to write the copy (default: a new temporary folder)"}),
            ("--write-only", {"action": "store_true", "help": "write the copy and print its path"}),
        ),
    ),
    "new": (
        "show.new",
        "write a first farm file",
        _with(
            "FARM",
            ("--name", {"default": "My nursery"}),
            ("--latitude", {"type": float, "default": 45.0}),
            ("--longitude", {"type": float, "default": 0.0}),
            ("--timezone", {"default": "UTC"}),
        ),
    ),
    "check": ("show.check", "say what is wrong with a farm file, all at once", _words("FARM")),
    "dates": (
        "show.dates",
        "the marks of a year: frost, light, and what rests on them",
        _with("FARM", ("--year", {"type": _year, "metavar": "Y"})),
    ),
    "week": ("show.week", "this week's tasks by place", _words("FARM")),
    "year": ("show.year", "fifty-two weeks: light, frost, hours, every lot's acts", _words("FARM")),
    "room": ("show.room", "what each place is asked to hold, week by week, against its room", _words("FARM")),
    "level": ("show.level", "what to put off so that no week is too full; records nothing", _words("FARM")),
    "plan": (
        "show.plan",
        "every batch's steps with their dates",
        _with("FARM", ("--batch", {"metavar": "ID", "help": "one batch, with the reason of every date"})),
    ),
    "cold": ("cold.show", "the seed under treatment: day so far, next look, ready, sow by", _words("FARM")),
    "species": ("show.species", "a species' protocols, dated for a farm, with their sources", _words("[NAME [FARM]]")),
    "starts": (
        "odds.starts",
        "how many to start to have enough: of a species, or at given rates",
        _starts,
    ),
    "labels": (
        "show.labels",
        "labels for batches and lots of the stock, as text or as a PDF to print",
        _with("[FARM] LOT", *_LABEL_OPTIONS),
    ),
    "done": ("record.done", "record a step done", _with("[FARM] BATCH STEP", *_DONE_OPTIONS)),
    "look": (
        "record.look",
        "record a look: nothing, radicles, mould, dry, or dry through",
        _words("[FARM] BATCH STEP FINDING"),
    ),
    "outage": (
        "record.outage",
        "record that a place stood too warm, or froze, until --on",
        _words("[FARM] PLACE DAYS DEGREES"),
    ),
    "saw": ("record.saw", "record a mark of the season seen", _words("[FARM] MARK")),
    "hold": ("record.hold", "hold a step, with a reason", _words("[FARM] BATCH STEP REASON")),
    "release": ("record.release", "end a hold", _words("[FARM] BATCH STEP")),
    "later": ("record.later", "put a step off within its window", _words("[FARM] BATCH STEP DATE")),
    "accept": ("record.accept", "accept the next chance of what was missed", _words("[FARM] BATCH")),
    "drop": (
        "record.drop",
        "drop a step, or the whole batch",
        _with("[FARM] BATCH", ("--step", {"metavar": "STEP"}), ("--reason", {"metavar": "TEXT"})),
    ),
    "note": ("record.note", "write a note on a batch", _words("[FARM] BATCH TEXT")),
    **{name: (where, told, _with(words, *options)) for name, (where, told, words, options) in _CALLS.items()},
    "register": (
        "stock.register",
        "a year's origins, treatments and dispatches, for the plant-health inspector",
        _with("FARM", ("--year", {"type": _year, "metavar": "Y"})),
    ),
    "batch": (
        "batches.new",
        "add a batch, from --start on or ready by --ready",
        _with(
            "[FARM] ID SPECIES METHOD COUNT",
            ("--start", {"metavar": "D", "help": "nothing before this day"}),
            ("--ready", {"metavar": "D", "help": "done by this day"}),
            ("--route", {"metavar": "R", "help": "which way, where the method has several"}),
            *((f"--{name}", {"metavar": "TEXT"}) for name in ("cultivar", "place", "note")),
        ),
    ),
    "change": (
        "batches.change",
        "change a batch that has not started",
        _with(
            "[FARM] ID",
            ("--count", {"metavar": "N", "help": "how many"}),
            ("--start", {"metavar": "D", "help": "nothing before this day; none takes it away"}),
            ("--ready", {"metavar": "D", "help": "done by this day; none takes it away"}),
            ("--cultivar", {"metavar": "C"}),
        ),
    ),
    "undo": ("record.undo", "undo the latest entry of this device", _words("FARM")),
}


if __name__ == "__main__":
    run()
