"""The `widger` command: it lists the commands of tui.commands and hands a call to the one that is meant.

Exit status: 0 good, 1 the farm has problems, 2 the call or the file cannot be used. Data goes to standard output,
messages to standard error. What a call does not need is not imported: a plain one starts at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

from engine.acts.action import Refused, say_refusal
from engine.reading.texts import REMEDY, unfit
from tui import door
from tui.commands import NAMES
from tui.commands.shared.call import UNUSABLE, Unusable
from tui.out import NotShown, warn
from tui.typed_days import exact_day

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from tui.commands.shared.call import Command


def main(arguments: Sequence[str]) -> int:
    """Carry out one call and return its exit status."""
    words = list(arguments)
    if not words or words[0] == "--on" or (words[0] not in NAMES and not words[0].startswith("-")):
        words = ["open", *words]
    try:
        _check(words)
        call = _plain(words) or _parsed(words)
        return command_of(call.command).run(call)
    except (Unusable, Refused) as refusal:
        warn(f"widger: {say_refusal(refusal)}")
    except NotShown as fault:
        warn(f"widger: nothing more can be written to the output: {fault}")
    except BrokenPipeError:
        raise
    except OSError as fault:
        warn(f"widger: {fault.filename or 'the disk'}: {fault.strerror or fault}")
    except Exception as error:
        from tui.own_faults import say_fault

        warn(f"widger: {say_fault(error)}", "    run it again; if it fails again, report this line")
    return UNUSABLE


def _check(words: Sequence[str]) -> None:
    """Raises Unusable for a word that no command could mean."""
    for word in words:
        if wrong := unfit(word):
            raise Unusable(f'"{word[:40]}{"…" if len(word) > 40 else ""}" {wrong}; {REMEDY}')


def command_of(name: str) -> Command:
    """The command of that name, from its own file."""
    return cast("Command", import_module(f"tui.commands.{name.replace('-', '_')}").COMMAND)


def _plain(words: Sequence[str]) -> Namespace | None:
    """`widger [FARM] [--on DATE]` and `widger demo`, read by hand: the calls that open the board wait for no parser."""
    if list(words) == ["demo"]:
        told = SimpleNamespace(command="demo", words=[], on=door.today(), folder=None, write_only=False)
        return cast("Namespace", told)
    farm, on = list(words[1:]), door.today()
    if len(farm) >= 2 and farm[-2] == "--on":
        try:
            farm, on = farm[:-2], exact_day(farm[-1])
        except Refused:
            return None  # the parser tells how the call is meant
    if words[0] != "open" or len(farm) > 1 or any(word.startswith("-") for word in farm):
        return None
    return cast("Namespace", SimpleNamespace(command="open", words=farm, on=on))


def _parsed(words: Sequence[str]) -> Namespace:
    parser = make_parser(words[0] if words[0] in NAMES else None)
    call, rest = parser.parse_known_args(words)
    if rest and (any(word.startswith("-") for word in rest) or not hasattr(call, "words")):
        parser.error(f"not known here: {' '.join(rest)}")
    if rest:  # words after an option
        call.words += rest
    return call


def make_parser(wanted: str | None = None) -> ArgumentParser:
    """The parser of the whole command, or of the one wanted."""
    import argparse

    parser = argparse.ArgumentParser(
        prog="widger",
        description="Nursery and propagation schedule: dated tasks from frost and day length.",
        epilog="widger [FARM] opens the screens on FARM (else WIDGER_FARM, else farm.toml here).",
    )
    if wanted is None:
        parser.add_argument("--version", action="version", version=f"widger {_version()}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    for name in NAMES if wanted is None else (wanted,):  # to make them all takes longer than most commands
        command = command_of(name)
        sub = commands.add_parser(name, help=command.told, description=command.told)
        sub.set_defaults(usage=command.words, on=door.today())
        sub.add_argument("words", nargs="*", metavar=command.words, help=command.words_told)
        for names, settings in command.every_option:
            sub.add_argument(*names.split(), **settings)
    return parser


def _version() -> str:
    """The version that is installed; of a copy that is not, the one that its pyproject.toml names."""
    from importlib import metadata
    from pathlib import Path

    try:
        return metadata.version("widger")
    except metadata.PackageNotFoundError:
        text = (Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8")
        return next(line.split('"')[1] for line in text.splitlines() if line.startswith("version = "))
