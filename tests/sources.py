"""The source of the program, parsed once for all the tests that read it."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1]
FILES = tuple(path for folder in ("engine", "tui") for path in sorted((ROOT / folder).rglob("*.py")))


@cache
def nodes(path: Path) -> tuple[ast.AST, ...]:
    """Every node of a file, the whole of it first (`ast.walk` takes twice as long)."""
    found: list[ast.AST] = [ast.parse(path.read_text(encoding="utf-8"))]
    for node in found:  # which grows on the way
        for name in node._fields:
            value = getattr(node, name, None)
            if isinstance(value, list):
                found += [each for each in value if isinstance(each, ast.AST)]
            elif isinstance(value, ast.AST):
                found.append(value)
    return tuple(found)
