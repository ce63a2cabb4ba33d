"""What a command is, and how its call ends: GOOD 0, PROBLEMS of the farm 1, UNUSABLE 2."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from engine.acts.action import Refused
from tui.out import NotShown, as_json, say, warn
from tui.typed_days import exact_day
from tui.typed_words import file_name

if TYPE_CHECKING:
    from argparse import Namespace

T = TypeVar("T")


GOOD, PROBLEMS, UNUSABLE = 0, 1, 2

Option = tuple[str, dict[str, Any]]
"""The names of an option, and what argparse is to know of it."""


class Unusable(Exception):
    """A call or a file that cannot be used, with the remedy if there is one: told on standard error, exit status 2."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


class Command(NamedTuple):
    """One command: what it does, the words of its call, what it says of itself, its options."""

    run: Callable[[Namespace], int]
    words: str
    told: str
    options: tuple[Option, ...] = ()
    words_told: str = "as shown; FARM may be left out"
    common: bool = True
    """Whether --on and --json stand before its own options; else it places them itself."""

    @property
    def every_option(self) -> tuple[Option, ...]:
        return (ON, JSON, *self.options) if self.common else self.options


def by_argparse(reader: Callable[[str], T]) -> Callable[[str], T]:
    """A reader of what is typed, as argparse wants it: what is refused is told with the usage."""

    def read(text: str) -> T:
        try:
            return reader(text)
        except Refused as fault:
            from argparse import ArgumentTypeError

            raise ArgumentTypeError(str(fault)) from None

    return read


FILE: dict[str, Any] = {"type": by_argparse(file_name), "metavar": "FILE"}
"""Of an option that names a file."""
ON: Option = ("--on", {"type": by_argparse(exact_day), "metavar": "DATE", "help": "the day to take as today"})
JSON: Option = ("--json", {"action": "store_true", "help": "JSON on standard output"})


def print_json(value: Any) -> None:
    say(as_json(value))


def say_done(tell: Callable[[], None]) -> int:
    """Say what was recorded or written. Whatever hinders that, it is there, and doing it again would double it."""
    try:
        tell()
    except BrokenPipeError:
        raise
    except NotShown as fault:
        warn(f"widger: it is recorded, but that cannot be shown: {fault}")
    except Exception as fault:  # a fault of ours must not look like a refusal now
        warn(f"widger: it is recorded, but the result cannot be shown: {type(fault).__name__}: {fault}")
    return GOOD
