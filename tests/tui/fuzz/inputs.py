"""What the fuzzers throw, and how much of it: a little in every run, WIDGER_FUZZ=10000 for so many of each."""

from __future__ import annotations

import os
import random
import re
from datetime import date
from pathlib import Path

from engine.farm.reading import Reading
from tests.engine.farm.test_any_document import FULL
from tests.sampled import share
from tests.tui.conftest import Call
from tests.tui.farms import STANDING, TINY
from tests.tui.fuzz.every import EVERY
from tui.farmhouse import enter

BUDGET = int(os.environ.get("WIDGER_FUZZ", "0"))
"""How many of each are tried; 0: as many as a second or two allow."""

TEXTS = (
    "", " ", "x", "²", "١٢", "0", "-1", "1e400", "nan", "inf", "9" * 400, "9" * 5000, "x" * 256,
    "x" * 3000, "сарай", "梅",
    "a\nb", "\x1b[2J", "\x00", "\u202ex", "\u2028", "=1+1", "--", "-x", "../..", "/", "CON", "%s",
    "{0}", "[b]", "None",
    "29 Feb", "31 feb", "2027-02-30", "9999-12-31", "0001-01-01", "last frost (0%)",
    "last frost - 60 weeks", "15 mar",
    "day length", "day length falls to 24 h", "mean rises to 10 C", "first frost", "ground freeze", "x 3 days", "all",
)  # fmt: skip
VALUES = (
    "true", "0", "-1", "1", "10000000000000000000000", "9" * 400, "1e400", "-1e400", "nan", "inf",
    "0.0000001", "[]", "[[]]",
    "{}", "{a = 1}", "[1, 2]", "[2, 1]", '[""]', '["x", 1]', "2027-03-01", "0001-01-01", "9999-12-31", "07:30:00",
    "9999-12-31T23:59:59", '"""\nx\n"""',
)  # fmt: skip
"""Values as TOML writes them; every text besides."""

VIEWS = ("week", "year", "room", "cold", "stock", "needs", "plan", "orders", "review", "register", "calendar", "dates",
         "rows", "stock-plants", "level", "season", "entries", "dispatch", "planting", "inspection", "devices",
         "labels")  # fmt: skip
"""Commands that only show."""
FARMS = (FULL, TINY, f"{FULL}\n{STANDING}", EVERY)


def budget(small: int, part: float = 1.0) -> int:
    """How many to try: `small` (of which plain pytest tries a share), or that part of what is asked for."""
    return max(share(small), round(BUDGET * part))


def quoted(text: str) -> str:
    """A text as TOML writes it."""
    escaped = re.sub(r'[\\"\x00-\x1f\x7f]', lambda found: f"\\u{ord(found[0]):04x}", text)
    return f'"{escaped}"'


def value(chance: random.Random) -> str:
    """Any value, as TOML writes it."""
    return chance.choice(VALUES) if chance.random() < 0.5 else quoted(chance.choice(TEXTS))


def spoilt(text: str, chance: random.Random) -> str:
    """A farm file with one to four faults: a value, a key, a line or a few letters that are not as they were."""
    lines = text.split("\n")
    for _ in range(chance.randint(1, 4)):
        n = chance.randrange(len(lines))
        key, sign, old = lines[n].partition(" = ")
        match chance.randrange(7):
            case 0 | 1 | 2 if sign:
                lines[n] = f"{key} = {value(chance)}"
            case 3:
                del lines[n]
            case 4:
                lines.insert(chance.randrange(len(lines) + 1), lines[n])
            case 5 if sign:
                lines[n] = f"{chance.choice((quoted(chance.choice(TEXTS)), 'spacing', 'x'))} = {old}"
            case _:
                at = chance.randrange(len(lines[n]) + 1)
                lines[n] = (
                    lines[n][:at]
                    + chance.choice(("", "x", '"', "[", "]", "=", "²", "\u2028", "#"))
                    + lines[n][at + 1 :]
                )
        lines = lines or [""]
    return "\n".join(lines)


def write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", errors="surrogatepass", newline="")


def call_is_good(call: Call, words: tuple[str, ...]) -> tuple[int, str, str]:
    """A call ends with 0, 1 or 2, and whatever it tells is in words."""
    status, out, told = call(*words)
    assert status in (0, 1, 2), (status, words)
    assert "a fault in Widger" not in told, (words, told)
    assert "Traceback" not in told + out, (words, told)
    assert status != 2 or told.strip() or "check" in words, words
    return status, out, told


def holds_together(path: Path, on: str, call: Call, views: tuple[str, ...]) -> None:
    """`check` tells every fault with its line and its remedy, and what is shown is shown, or refused in words."""
    found = enter(path)
    problems = (
        found.problems if isinstance(found, Reading) else (*found.problems(date.fromisoformat(on)), *found.troubles)
    )
    lines = path.read_bytes().count(b"\n") + 1
    for problem in problems:
        assert problem.message.strip(), problem
        assert problem.hint.strip(), problem
        assert 0 <= problem.line <= lines or problem.file != str(path), problem
    for view in views:
        call_is_good(call, (view, str(path), "--on", on))
