"""What is slow and rare: of a long row of like questions a few are asked always, the rest with the slow ones.

`python -m tests` asks them all, `python -m pytest -m ""` too; plain `python -m pytest` leaves the slow ones out.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

slow = pytest.mark.slow


def sampled(values: Iterable[object], every: int) -> list[Any]:
    """All the values for a parameter, of which each `every`th, from the first on, is tried always."""
    return [pytest.param(value, marks=[slow] if n % every else []) for n, value in enumerate(values)]
