"""What a lot is after each act (seed, cutting, graft, liner …), and what a method takes from a stock plant."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import tomli

from engine.almanac.phrases import Phrase, parse_phrase
from engine.protocols import LIBRARY
from engine.protocols.model import Protocol, Step
from engine.protocols.roles import Role

MATERIALS = ("cuttings", "scions", "buds", "layers", "divisions", "seed")
"""What is taken from a stock plant."""
CUTTINGS, _, BUDS, LAYERS, _, SEED = MATERIALS


@lru_cache(maxsize=1)
def _library() -> Mapping[str, Any]:
    return tomli.loads((LIBRARY / "forms.toml").read_text(encoding="utf-8"))


@lru_cache(maxsize=1)
def known_forms() -> Mapping[str, str]:
    """The forms that Widger speaks of by itself, each with the material that it is, if any."""
    return {form: material for form, material in _library().items() if form != "keeps"}


def keeps_until(form: str) -> Phrase | None:
    """Until when a form keeps out of the ground; None for one that is not kept so, or that keeps."""
    words = _library()["keeps"].get(form.lower())
    return parse_phrase(words) if words else None


def is_there(step: Step, protocol: Protocol) -> bool:
    """Whether this step is done to the lot itself, and brings it in where nothing of it is there yet.

    An order is not; nor is the collecting of scions or buds, for a lot of grafts is its rootstocks.
    """
    return step.role is not Role.ORDER and not (protocol.onto and step.role is Role.COLLECT)


def form_after(step: Step, protocol: Protocol, before: str) -> str:
    """The form of a lot after a step; `before` is what it was, empty at the start."""
    if step.form:
        return step.form
    return before if before and step.role is not Role.ARRIVE else protocol.form
