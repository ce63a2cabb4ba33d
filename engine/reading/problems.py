"""What is wrong with a file, said once and whole: where, what, and the remedy."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from engine.reading.frozen import dataclass
from engine.reading.paths import Path

REMEDY = "correct it as the message says, or take it out"
"""Where nothing better is known."""


def with_hint(message: object, hint: str) -> str:
    """What is wrong and, in brackets, the remedy where there is one: on one line."""
    return f"{message} ({hint})" if hint else str(message)


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault of one file; line 0 where the file as a whole is meant."""

    file: str
    line: int
    message: str
    hint: str = ""

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        return f"{where}: {self.message}" + (f"\n    {self.hint}" if self.hint else "")


Fault = tuple[Path, str, str]
"""Where in a document, what is wrong there, and the remedy."""


class Findings:
    """Collects the faults of one document while it is read; nothing is raised, so that all are told at once."""

    def __init__(self) -> None:
        self.found: list[Fault] = []

    def add(self, path: Path, message: str, hint: str = "") -> None:
        """Note a fault at a path of the document, with its remedy."""
        self.found.append((path, message, hint or REMEDY))

    def problems(self, file: str, line_of: Callable[[Path], int]) -> tuple[Problem, ...]:
        """All that was noted, each once, by line."""
        told = dict.fromkeys((line_of(path), message, hint) for path, message, hint in self.found)
        return tuple(Problem(file, line, message, hint) for line, message, hint in sorted(told))


def nearest(word: str, known: Iterable[str]) -> str:
    """`did you mean "…"?` with the nearest good spelling, else the words that are known (if few), else nothing."""
    from difflib import get_close_matches  # only a fault needs it

    names = list(dict.fromkeys(known))
    near = get_close_matches(word.lower(), [n.lower() for n in names], 1, 0.6)
    if near:
        return f'did you mean "{next(n for n in names if n.lower() == near[0])}"?'
    return f"known here: {', '.join(names)}" if 0 < len(names) <= 24 else ""


def located(findings: Findings, file: str, text: str) -> tuple[Problem, ...]:
    """The problems of a document with their lines, which are looked up only where there is something to tell."""
    if not findings.found:
        return ()
    from engine.reading.toml_lines import line_finder

    return findings.problems(file, line_finder(text))
