"""What is wrong with a farm, as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from engine.reading.problems import Problem


def problems_json(problems: Iterable[Problem]) -> dict[str, Any]:
    return {
        "problems": [{"file": p.file, "line": p.line or None, "message": p.message, "hint": p.hint} for p in problems]
    }
