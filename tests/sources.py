"""The source of the program, parsed once for all the tests that read it."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1]
FILES = tuple(path for folder in ("engine", "tui") for path in sorted((ROOT / folder).rglob("*.py")))


@cache
def nodes(path: Path) -> tuple[ast.AST, ...]:
    """Every node of a file, the whole of it first."""
    return tuple(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
