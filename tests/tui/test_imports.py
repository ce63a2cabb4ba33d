"""What imports what, and who reads the clock: read from the source, and from a command as it runs."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from tests.sources import FILES, ROOT, nodes
from tests.tui.farms import TODAY

ENGINE = [path for path in FILES if path.is_relative_to(ROOT / "engine")]
CLOCK = {"today", "now", "utcnow", "time", "time_ns", "localtime", "gmtime", "ctime"}
CLOCKS = {"date", "datetime", "time", "_time"}


def imports(path: Path) -> set[str]:
    """The top names of all that a module imports, wherever it does."""
    found: set[str] = set()
    for node in nodes(path):
        if isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.split(".")[0])
    return found


def clock_readings(module: Iterable[ast.AST]) -> list[int]:
    """The lines on which a module reads the clock: date.today(), datetime.now(), time.time() and their like."""
    lines = []
    for node in module:
        if isinstance(node, ast.Attribute) and node.attr in CLOCK:
            base = node.value.id if isinstance(node.value, ast.Name) else getattr(node.value, "attr", "")
            if base in CLOCKS:
                lines.append(node.lineno)
        if isinstance(node, ast.ImportFrom) and node.module == "time" and {a.name for a in node.names} & CLOCK:
            lines.append(node.lineno)
    return lines


def test_the_engine_imports_no_screen():
    screens = {"tui", "textual", "rich", "tests"}
    assert len(ENGINE) > 50
    assert {path: found for path in ENGINE if (found := imports(path) & screens)} == {}


def test_the_clock_is_read_at_the_door_alone():
    assert [path for path in FILES if clock_readings(nodes(path))] == [ROOT / "tui" / "door.py"]


def test_the_search_for_the_clock_finds_it():
    for reading in ("date.today()", "datetime.datetime.now()", "f(time.time)", "from time import time"):
        assert clock_readings(ast.walk(ast.parse(reading))) == [1]
    assert clock_readings(ast.walk(ast.parse("datetime.combine(day, time(12)); door.today()"))) == []


PLAIN = ("week --json", "week", "plan", "dates", "check", "done Z1 soak", "note Z1 dry")


def test_no_plain_command_loads_a_screen(tiny: Path):
    script = (
        "import json, sys\nfrom tui.command import main\n"
        "for words in json.loads(sys.argv[1]):\n    status = main(words)\n"
        "    loaded = sorted({'textual', 'rich', 'asyncio'} & set(sys.modules))\n"
        "    print(words[0], status, loaded, file=sys.stderr)"
    )
    calls = [[name, str(tiny), *more, "--on", str(TODAY)] for name, *more in map(str.split, PLAIN)]
    told = subprocess.run(
        [sys.executable, "-c", script, json.dumps(calls)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert told.stderr.splitlines() == [f"{words.split()[0]} 0 []" for words in PLAIN]
