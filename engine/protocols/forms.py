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
    "lift liners": "liner",
    "sever": "layer",
    "line out": "liner",
    "line out stocks": "rootstock",
    "pot up": "pot",
    "lift": "bare root",
    "grade": "bare root",
}
FORMS = tuple(
    dict.fromkeys((*AFTER.values(), *COLLECTED.values(), "rootstock", "cutting", "scion", "plug", "root ball"))
)
"""The forms that Widger speaks of by itself; a grower may have others, such as a 1 L pot."""
ORDER, ARRIVE = "order", "arrive"
"""What is ordered is not there; it is bought in when it arrives."""


def is_there(step: str, method: str) -> bool:
    """Whether this step is done to the lot itself, and brings it in where nothing of it is there yet.

    An order is not; nor is the collecting of scions or buds, for a lot of grafts is its rootstocks.
    """
    return step != ORDER and not (method in GRAFTS and step.startswith("collect"))


def form_after(step: str, method: str, before: str) -> str:
    """The form of a lot after a step; `before` is what it was, empty at the start."""
    if step in AFTER:
        return AFTER[step]
    if before and step != ARRIVE:
        return before
    if method in GRAFTS:
        return "rootstock"
    if method in LAYERS:
        return "layer"
    return COLLECTED.get(method, "cutting")
