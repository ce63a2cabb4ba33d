"""What a lot is made of after each act: seed, cuttings, grafts, liners, pots, bare root (common practice)."""

from __future__ import annotations

COLLECTED = {
    "seed": "seed",
    "division": "crown",
    "tuber": "tuber",
    "offset": "offset",
    "root cutting": "root cutting",
}
GRAFTS = ("bench graft", "field graft", "chip bud", "T-bud", "patch bud")
LAYERS = ("mound layer", "simple layer", "tip layer", "trench layer", "sucker", "runner")

# What comes of a step, whatever the method. A step that is not here leaves the form as it is.
AFTER = {
    "sow": "seedling",
    "prick out": "seedling",
    "divide": "division",
    "graft": "graft",
    "bud": "budded stock",
    "arrive": "rootstock",
    "lift liners": "liner",
    "sever": "layer",
    "line out": "liner",
    "line out stocks": "rootstock",
    "pot up": "pot",
    "lift": "bare root",
    "grade": "bare root",
}
FORMS = tuple(dict.fromkeys((*AFTER.values(), *COLLECTED.values(), "cutting", "scion", "plug", "root ball")))
"""The forms that Widger speaks of by itself; a grower may have others, such as a 1 L pot."""
NOT_YET = ("order",)
"""Steps before anything is there."""


def form_after(step: str, method: str, before: str) -> str:
    """The form of a lot after a step; `before` is what it was, empty at the start."""
    if step in AFTER:
        return AFTER[step]
    if before:
        return before
    if method in GRAFTS:
        return "rootstock"
    if method in LAYERS:
        return "layer"
    return COLLECTED.get(method, "cutting")
