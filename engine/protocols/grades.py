"""Grades of what was sorted, and forms, as a need may ask for them: which can be promised, and what is a slip."""

from __future__ import annotations

from collections.abc import Iterable

from engine.protocols.forms import known_forms
from engine.protocols.names import one_letter_off, same_name
from engine.protocols.names import plain as letters

CULLS = frozenset(("cull", "culls", "culled", "reject", "rejects", "waste"))
"""Grades of which nothing is promised to anybody (common practice)."""
NO_CULLS = "culls are promised to nobody", "name a grade that is sold, or none: any that is sold"
"""What is wrong with asking for them, and the remedy."""


def saleable(grade: str) -> bool:
    """Whether what is of that grade may be promised; what was never sorted may."""
    return not CULLS.intersection(letters(grade).split())


def meets_grade(wanted: str, grade: str) -> bool:
    """Whether a grade is the one wanted; any that can be sold where none is named."""
    return same_name(wanted, grade) if wanted else saleable(grade)


def form_slip(form: str, known: Iterable[str]) -> str:
    """The known form of which one is a slip of the pen, one letter off; nothing where it is none.

    A form with a number in it is none: 1 L pot and 2 L pot are both meant.
    """
    names = (*known_forms(), *known)
    if any(c.isdigit() for c in form) or any(same_name(form, name) for name in names):
        return ""
    return next((name for name in names if one_letter_off(form, name)), "")


def grade_slip(grade: str, known: Iterable[str]) -> str:
    """The known grade of which one is a slip of the pen, one letter off; nothing where it is none."""
    names = tuple(known)
    if any(c.isdigit() for c in grade) or any(same_name(grade, name) for name in names):
        return ""
    return next((name for name in names if one_letter_off(grade, name)), "")
