"""What a step is for: its role, as it says itself or as `engine/library/steps.toml` has it for its name."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple

import tomli

from engine.protocols import LIBRARY


class Role(StrEnum):
    """What a step does to a lot, whatever it is called."""

    ORDER = "order"
    """What is ordered is not there; it is bought in when it arrives."""
    ARRIVE = "arrive"
    COLLECT = "collect"
    CLEAN = "clean"
    PREPARE = "prepare"
    TREAT = "treat"
    STRATIFY_WARM = "stratify warm"
    STRATIFY_COLD = "stratify cold"
    SOW = "sow"
    SET_GOING = "set going"
    POT_UP = "pot up"
    CHECK = "check"
    SORT = "sort"
    SET_OUT = "set out"
    CARE = "care"

    @property
    def sets_going(self) -> bool:
        """Whether it puts plants into a time of loss: it tells how many went in, not how many will come."""
        return self in _SETS_GOING

    @property
    def finds_out(self) -> bool:
        """Whether it tells how many are left."""
        return self in _FINDS_OUT

    @property
    def found(self) -> str:
        """In a word, what those are that it finds: cleaned seed is sound, plants and cuttings are alive."""
        return "sound" if self is Role.CLEAN else "alive"

    @property
    def sent_on(self) -> str:
        """In a word or two, what is done with those of them that are not thrown out: seed is kept, the rest go on."""
        return "kept" if self is Role.CLEAN else "go on"

    @property
    def leaves_going(self) -> bool:
        """Whether nothing shows yet of what it set going: sown, stuck, grafted, layered, lined out."""
        return self is Role.SOW or self is Role.SET_GOING

    @property
    def stratifies(self) -> bool:
        """Whether it puts seed into the warm or the cold to ripen."""
        return self is Role.STRATIFY_WARM or self is Role.STRATIFY_COLD

    @property
    def treats(self) -> bool:
        """Whether it is a treatment, of those that an inspector asks after."""
        return self in _TREATS

    @property
    def counts_anew(self) -> bool:
        """Whether more may come of it than was reckoned: an order comes in, fruits make seeds, a root makes pieces."""
        return self in _COUNTS_ANEW


_SETS_GOING = frozenset(
    (Role.TREAT, Role.STRATIFY_WARM, Role.STRATIFY_COLD, Role.SOW, Role.SET_GOING, Role.POT_UP, Role.SET_OUT)
)
_FINDS_OUT = frozenset((Role.CLEAN, Role.PREPARE, Role.CHECK, Role.SORT))
_TREATS = frozenset((Role.CLEAN, Role.TREAT, Role.STRATIFY_WARM, Role.STRATIFY_COLD))
_COUNTS_ANEW = frozenset((Role.ARRIVE, Role.COLLECT, Role.CLEAN, Role.PREPARE))


class Steps(NamedTuple):
    """What `engine/library/steps.toml` says of steps."""

    roles: Mapping[str, Role]
    """By the name of the step."""
    forms: Mapping[str, str]
    """Where a lot changes by it."""
    past: Mapping[str, str]
    """What is said of a lot after it."""
    within: Mapping[str, float]
    """By its role, or `other`: how far from the mean nine batches of ten come out at most, as a share."""
    within_source: str


@lru_cache(maxsize=1)
def known_steps() -> Steps:
    """What `engine/library/steps.toml` says."""
    read = tomli.loads((LIBRARY / "steps.toml").read_text(encoding="utf-8"))
    roles = {do: Role(role) for role, names in read["roles"].items() for do in names}
    within = dict(read["batches_within"])
    source = within.pop("source")
    return Steps(roles, read["forms"], read["past"], within, source)


@lru_cache(maxsize=512)
def role_of(do: str) -> Role:
    """The role of a step by its name, or by the longest known name with which it begins; else care."""
    roles = known_steps().roles
    if (role := roles.get(do)) is not None:
        return role
    words = do.lower().split()
    begins = (" ".join(words[:n]) for n in range(len(words), 0, -1))
    return next((roles[name] for name in begins if name in roles), Role.CARE)


def form_by(do: str) -> str:
    """The form that comes of a step by its name; nothing where it leaves the form as it is."""
    return known_steps().forms.get(do.lower(), "")


def past(do: str, unknown: str = "") -> str:
    """What is said of a lot after a step: `stored`, `stuck`; of a step that is not known, `unknown`."""
    return known_steps().past.get(do.lower(), unknown)


def usual_within(role: Role) -> float:
    """How far from the mean nine batches of ten come out at most, as a share, where a step does not say so itself."""
    within = known_steps().within
    return within.get(role, within["other"])
