"""An action that may be recorded, as the data of one entry; or a refusal with its reason and remedy."""

from __future__ import annotations

from datetime import date
from typing import Any

from engine.reading.frozen import dataclass
from engine.reading.problems import with_hint


class Refused(ValueError):
    """An action that cannot be recorded, with the reason and a remedy."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


def say_refusal(refusal: Exception) -> str:
    """Why something is refused, and the remedy where it has one."""
    return with_hint(refusal, getattr(refusal, "hint", ""))


@dataclass(frozen=True, slots=True)
class Action:
    """One entry to be written: its kind, the day it is about, and its data."""

    kind: str
    on: date
    data: dict[str, Any]


def not_to_come(on: date, today: date) -> None:
    """Raises Refused for a day that is still to come."""
    if on > today:
        raise Refused(f"{on} is still to come", "record it on the day")
