"""What refuses a negative count in an entry: a count is a whole number, none or more."""

from __future__ import annotations

from typing import TypeGuard


def is_count(told: object) -> TypeGuard[int]:
    """Whether this is a count, as a whole number, none or more; True and False are none."""
    return isinstance(told, int) and not isinstance(told, bool) and told >= 0
