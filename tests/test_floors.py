"""The house stands on floors: what a package may import, and no two files that need each other."""

from __future__ import annotations

import ast
from collections.abc import Sequence
from pathlib import Path

from tests.sources import FILES, ROOT, nodes

FLOORS = (
    ("reading", "almanac", "light", "odds"),
    ("protocols",),
    ("farm",),
    ("journal",),
    ("records",),
    ("schedule",),
    ("acts",),
    ("needs",),
    ("views",),
)
"""From the ground up: a package of the engine imports only from floors below its own; the ground also from beside."""
FLOOR_OF = {package: n for n, packages in enumerate(FLOORS) for package in packages}

TUI_FLOORS = (
    (
        "door", "out", "own_faults", "typed_days", "typed_numbers", "typed_words", "cells", "columns", "lines",
        "facts", "top_and_foot", "search_field", "screen_list", "palette", "inks", "strips", "thermometer",
        "news_seen", "light_or_dark", "lean_textual", "together", "garbage",
    ),
    ("farmhouse", "demo", "newfarm", "answers", "paper"),
    ("farm_app", "copying", "first_batches"),
    ("writing", "in_a_thread", "first_run_steps"),
    ("forms",),
    ("screen",),
    ("screens",),
    ("app", "first_run"),
    ("opening",),
    ("commands",),
    ("command",),
    ("start",),
)  # fmt: skip
"""The same of tui, each of a file or a package in it; all of the engine lies below."""
TUI_FLOOR_OF = {part: n for n, parts in enumerate(TUI_FLOORS) for part in parts}


def module_of(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


SOURCES = {module_of(path): path for path in FILES}


def _for_types_alone(tree: Sequence[ast.AST]) -> set[ast.AST]:
    """What stands under `if TYPE_CHECKING`: it names a type and imports nothing when the program runs."""
    return {
        inner
        for node in tree
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }


def imported(tree: Sequence[ast.AST], known: set[str], types: bool = True) -> set[str]:
    """The modules among those known that a source imports, also inside functions, and for types alone if wanted."""
    passed = set() if types else _for_types_alone(tree)
    found: set[str] = set()
    for node in tree:
        if node in passed:
            continue
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found & known


def circles(arrows: dict[str, set[str]]) -> list[set[str]]:
    """Every set of two or more that all reach one another, and each that imports itself."""
    reach = {start: _reached(start, arrows) for start in arrows}
    found = {frozenset(b for b in reach[a] if a in reach[b]) for a in arrows if a in reach[a]}
    return [set(circle) for circle in found]


def _reached(start: str, arrows: dict[str, set[str]]) -> set[str]:
    seen: set[str] = set()
    todo = list(arrows[start])
    while todo:
        here = todo.pop()
        if here not in seen:
            seen.add(here)
            todo += arrows.get(here, ())
    return seen


ENGINE = {name: path for name, path in SOURCES.items() if name.startswith("engine.")}
TUI = {name: path for name, path in SOURCES.items() if name.startswith("tui.")}


def upward(own: str, other: str, floors: dict[str, int]) -> bool:
    """Whether an import goes to another package that does not lie below, nor beside on the ground."""
    return own != other and floors.get(other, 99) >= floors[own] and not floors.get(other) == floors[own] == 0


def test_no_arrow_of_the_engine_points_upward():
    arrows = [
        (name, other)
        for name in ENGINE
        if name.count(".") > 1
        for other in imported(nodes(ENGINE[name]), set(SOURCES))
        if upward(name.split(".")[1], other.split(".")[1] if other.startswith("engine.") else "tui", FLOOR_OF)
    ]
    assert arrows == []


def test_every_package_of_the_engine_has_its_floor():
    packages = {name.split(".")[1] for name in ENGINE if name.count(".") > 1}
    assert packages == set(FLOOR_OF)


def test_no_two_files_of_the_engine_need_each_other():
    arrows = {name: imported(nodes(path), set(ENGINE), False) for name, path in ENGINE.items()}
    assert circles(arrows) == []


def test_no_arrow_of_tui_points_upward():
    arrows = [
        (name, other)
        for name, path in TUI.items()
        for other in imported(nodes(path), set(TUI))
        if upward(name.split(".")[1], other.split(".")[1], TUI_FLOOR_OF)
    ]
    assert arrows == []


def test_an_arrow_upward_is_known():
    floors = {"a": 0, "b": 0, "c": 1, "d": 1}
    assert [upward(*pair, floors) for pair in ("ab", "ac", "ca", "cd", "cc", "cx")] == [
        False, True, False, True, False, True,
    ]  # fmt: skip


def test_every_part_of_tui_has_its_floor():
    assert {name.split(".")[1] for name in TUI} == set(TUI_FLOOR_OF)


def test_no_two_files_of_tui_need_each_other_nor_their_types():
    arrows = {name: imported(nodes(path), set(TUI)) for name, path in TUI.items()}
    assert circles(arrows) == []


def test_the_search_finds_arrows_and_circles():
    known = {"engine.a", "engine.b", "engine.c.d"}
    source = "from engine import a\ndef f():\n    from engine.c.d import thing\n"
    assert imported(tuple(ast.walk(ast.parse(source))), known) == {"engine.a", "engine.c.d"}
    assert circles({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}}) == [{"a", "b", "c"}]
    assert circles({"a": {"b"}, "b": set()}) == []


def test_no_file_is_longer_than_one_reads_at_a_sitting():
    files = [*SOURCES.values(), *(ROOT / "tests").rglob("*.py")]
    assert [str(path) for path in files if len(path.read_text(encoding="utf-8").splitlines()) > 400] == []
