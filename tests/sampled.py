"""What is slow and rare: of a long row of like questions a few are asked always, the rest with the slow ones.

`python -m tests` asks them all, `python -m pytest -m ""` too; plain `python -m pytest` leaves the slow ones out, and
tries of each property a quarter as many examples.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

import pytest
from hypothesis import settings

T = TypeVar("T")
slow = pytest.mark.slow
_every_one = True


def ask(every_one: bool) -> None:
    """Whether the slow ones are asked too: to be said before the tests are read."""
    global _every_one
    _every_one = every_one


def sampled(values: Iterable[object], every: int) -> list[Any]:
    """All the values for a parameter, of which each `every`th, from the first on, is tried always."""
    return [pytest.param(value, marks=[slow] if n % every else []) for n, value in enumerate(values)]


def few(values: tuple[T, ...], every: int) -> tuple[T, ...]:
    """All the values with the slow ones; each `every`th, from the first on, always."""
    return values if _every_one else values[::every]


def share(tries: int) -> int:
    """So many tries with the slow ones; a quarter of them, and at least one, always."""
    return tries if _every_one else -(-tries // 4)


def examples(tries: int, **more: Any) -> settings:
    """So many examples of a property with the slow ones; a quarter of them always."""
    return settings(max_examples=share(tries), deadline=None, **more)
