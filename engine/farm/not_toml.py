"""What is wrong with a farm file that is no TOML: where the grower should look, in words, and the remedy."""

from __future__ import annotations

import re
from datetime import date

_DATES = "write a real date, year-month-day: 2027-03-01"
_HEADER = re.compile(r"\[\[?\s*([\w\-]+)\s*\]")
_OPENS_LIST = re.compile(r"=\s*\[")


def not_toml(text: str, fault: str) -> tuple[int, str, str]:
    """The line, the fault and the remedy, from what the standard reader says, which tells where it noticed."""
    found = re.search(r"at line (\d+)", fault)
    line = int(found[1]) if found else text.count("\n") + 1
    if day := _no_day(text, line, fault):
        return line, f"{day} is not a day", _DATES
    message = re.sub(r" ?\(at [^)]*\)", "", fault)
    lines = text.split("\n")
    column = int(at[1]) - 1 if (at := re.search(r"column (\d+)", fault)) else None
    here = lines[line - 1][:column] if line <= len(lines) else ""
    # a value that a line begins with is one of a list
    if message.startswith("Unclosed array") or (message.startswith("Invalid value") and not here.strip()):
        read = [*lines[: line - 1], here]
        began = next((n for n in range(len(read), 0, -1) if _OPENS_LIST.search(read[n - 1])), line)
        return began, "not TOML: the list that begins here is not closed", "close it with ] where it ends"
    if "overwrite" in message and (part := _part_before(lines, line)):
        name, before = part
        told = f"a part of {name} stands here before any [[{name}]]"
        return before, f"not TOML: {told}", f"write [[{name}]] above it, or correct the name of the table above"
    return line, f"not TOML: {message}", _remedy(message)


def _part_before(lines: list[str], line: int) -> tuple[str, int] | None:
    """The table of the header in this line, and where a part of it stands before it; None where none does."""
    header = _HEADER.match(lines[line - 1].strip()) if line <= len(lines) else None
    if header is None:
        return None
    part = re.compile(rf"\s*\[\[?\s*{re.escape(header[1])}\s*\.")
    before = next((n for n, each in enumerate(lines[: line - 1], 1) if part.match(each)), None)
    return None if before is None else (header[1], before)


def _no_day(text: str, line: int, fault: str) -> str:
    """The date on this line, as it is written, at which the reader stopped because the calendar lacks it."""
    lines = text.split("\n")
    column = int(found[1]) - 1 if (found := re.search(r"column (\d+)", fault)) else 0
    for written in re.finditer(
        r"(?<![\w-])\d{4}-\d{1,2}-\d{1,2}(?![\w-])", lines[line - 1] if line <= len(lines) else ""
    ):
        try:
            date.fromisoformat(written[0])
        except ValueError:
            if written.start() <= column <= written.end():
                return written[0]
    return ""


def _remedy(message: str) -> str:
    """What most often is behind a fault of the standard reader."""
    if "twice" in message:
        return "a repeated table takes double brackets: [[batch]]"
    if "date" in message.lower():
        return _DATES
    if "overwrite" in message:
        return "a key may appear once in a table, and a table once in a file: take one of them out"
    return "put text in quotes, close every [table] name, and write dates as 2027-03-01"
