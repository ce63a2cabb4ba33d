"""How a species shifts a mark for itself: currants swell weeks before apples, and what rests on the swelling follows.

Definitions of marks lie in layers: the defaults, over them the farm's, over those the species'. The uppermost that has
a mark says what it rests on; where it names the mark itself, as in `"bud swell" = "bud swell - 3 weeks"`, the mark as
the layer below has it is meant.
"""

from __future__ import annotations

from engine.almanac.marks import Definition, Definitions
from engine.almanac.phrases import Base, MarkBase

Layers = tuple[Definitions, Definitions, Definitions]
FARM_LEVEL = 1
"""What is seen is seen for the whole farm: it replaces the marks of this layer and the one below."""


def definition_of(name: str, layers: Layers, level: int | None = None) -> tuple[Definition | None, int]:
    """A mark's definition in the uppermost layer that has it (from a level down), and that layer's number."""
    for k in range(len(layers) - 1 if level is None else level, -1, -1):
        if name in layers[k]:
            return layers[k][name], k
    return None, 0


def level_for(base: Base, name: str, level: int) -> int | None:
    """From which layer down a base is dated that defines a mark in this one: the mark itself, in the one below."""
    return level - 1 if isinstance(base, MarkBase) and base.name == name else None


def resting_on(marks: Definitions, layers: Layers) -> frozenset[str]:
    """The names of these marks, and of all that rest on one of them."""
    found: set[str] = set()
    more = set(marks)
    while more:
        found |= more
        more = {
            name
            for layer in layers
            for name, definition in layer.items()
            if name not in found and not found.isdisjoint(definition.rests_on())
        }
    return frozenset(found)
