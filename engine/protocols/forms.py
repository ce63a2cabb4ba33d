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
CUTTINGS, SCIONS, BUDS, LAYERS, _, SEED = MATERIALS


@lru_cache(maxsize=1)
def _library() -> Mapping[str, Any]:
    return tomli.loads((LIBRARY / "forms.toml").read_text(encoding="utf-8"))


@lru_cache(maxsize=1)
def known_forms() -> Mapping[str, str]:
    """The forms that Widger speaks of by itself, each with the material that it is, if any."""
    return {form: material for form, material in _library().items() if isinstance(material, str)}


def raised_from(form: str) -> bool:
    """Whether a form is what plants are raised from, seed, cuttings or scions, and no plant itself."""
    return known_forms().get(form.lower(), "") in (SEED, CUTTINGS, SCIONS)


def is_pot(form: str) -> bool:
    """Whether a form is a plant in a pot, of any size: `pot`, `1 L pot`."""
    return form.rpartition(" ")[2].lower() in ("pot", "pots")


def meets_form(wanted: str, form: str) -> bool:
    """Whether a form is the one wanted; a pot may be one of any size."""
    one, other = wanted.lower(), form.lower()
    return one == other or (other == "pot" and is_pot(one))


def has_soil(form: str) -> bool:
    """Whether a form has soil about its roots, so that it travels in any season."""
    return is_pot(form) or form.lower() in _library()["in_soil"]


def keeps_until(form: str) -> Phrase | None:
    """Until when a form keeps out of the ground; None for one that is not kept so, or that keeps."""
    words = _library()["keeps"].get(form.lower())
    return parse_phrase(words) if words else None


def is_there(step: Step, protocol: Protocol) -> bool:
    """Whether this step is done to the lot itself, and brings it in where nothing of it is there yet.

    An order is not; nor is the collecting of scions or buds, for a lot of grafts is its rootstocks.
    """
    return step.role is not Role.ORDER and not (protocol.onto and step.role is Role.COLLECT)


_MASS = ("seed", "stock")
"""Words of which there is more, not one and two: `400 seed`, `29 budded stock`."""
_BARE_ROOT = "bare root"
"""A plant is sold as bare root, but nobody counts bare roots: `1 bare-root plant`, `46 bare-root plants`."""
_BY_METHOD = ("sucker", "runner")
"""Methods whose layers go by the method's own name."""


def said_takes(protocol: Protocol) -> str:
    """What a method takes, as a grower says it: `cuttings`, `layers`; `suckers` and `runners` are layers too."""
    return plural(protocol.method) if protocol.method in _BY_METHOD else protocol.takes


def plural(form: str) -> str:
    """`liners`, `1 L pots`, `bare-root plants`, `seed`: the name of a form for several of it."""
    form = _counted(form)
    word = form.rpartition(" ")[2].lower()
    if not word or word in _MASS or word.endswith("s"):
        return form
    return f"{form}es" if word.endswith(("sh", "ch", "x")) else f"{form}s"


def _counted(form: str) -> str:
    """The name of a form beside a count."""
    return "bare-root plant" if form.lower() == _BARE_ROOT else form


def _in_a_vessel(form: str) -> bool:
    """Whether a form is told by the pot that the plants stand in, `1 L pot`, and not by what they are."""
    return form[:1].isdigit()


def so_many(count: object, form: str, grade: str = "") -> str:
    """`24 in 1 L pots`, `12 bare-root plants (first)`, `400 seed`; the count alone where the form is not known."""
    name = _counted(form) if count == 1 else plural(form)
    if _in_a_vessel(form):
        name = f"in a {form}" if count == 1 else f"in {name}"
    return f"{count} {name}".rstrip() + (f" ({grade})" if grade else "")


def ends_as(form: str) -> str:
    """`in 1 L pots`, `as liners`, `as bare root`: as what plants are ready, or asked for."""
    if _in_a_vessel(form):
        return f"in {plural(form)}"
    return f"as {form if form.lower() == _BARE_ROOT else plural(form)}"


def form_after(step: Step, protocol: Protocol, before: str) -> str:
    """The form of a lot after a step; `before` is what it was, empty at the start."""
    if step.form:
        return step.form
    return before if before and step.role is not Role.ARRIVE else protocol.form
