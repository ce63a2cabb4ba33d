"""What grows with the journal, copied at no cost: most of it is shared, and what is new lies on top.

A farm of twenty years holds a hundred thousand names and movements, and each entry changes a few of them. What was
copied is not changed any more: only the copy goes on.
"""

from __future__ import annotations

from collections.abc import ItemsView, Iterator, Mapping, MutableMapping, ValuesView
from itertools import chain
from typing import Any, TypeVar

from engine.reading.log import MOST_ON_TOP

K = TypeVar("K")
V = TypeVar("V")
_NOTHING: Any = object()


def copied(mapping: MutableMapping[K, V]) -> MutableMapping[K, V]:
    """The same mapping, to go on from another way; the one that is given must not be changed any more.

    Its keys keep their order. Nothing can be taken out of it.
    """
    if not isinstance(mapping, Layers):
        return Layers(mapping, {})
    if len(mapping.top) > MOST_ON_TOP:
        return dict(mapping.items())
    return Layers(mapping.below, mapping.top.copy())


class Layers(MutableMapping[K, V]):
    """A mapping of what lies on top, and of what lies below where that holds a key that is not on top."""

    __slots__ = ("below", "top")

    def __init__(self, below: Mapping[K, V], top: dict[K, V]) -> None:
        self.below, self.top = below, top

    def __getitem__(self, key: K) -> V:
        found = self.top.get(key, _NOTHING)
        return self.below[key] if found is _NOTHING else found

    def get(self, key: K, default: Any = None) -> Any:
        """As that of any mapping; the mixin's own would raise and catch for each key that is not there."""
        found = self.top.get(key, _NOTHING)
        return self.below.get(key, default) if found is _NOTHING else found

    def __contains__(self, key: object) -> bool:
        return key in self.top or key in self.below

    def __setitem__(self, key: K, value: V) -> None:
        self.top[key] = value

    def __delitem__(self, key: K) -> None:
        raise TypeError("nothing is taken out of layers")

    def __iter__(self) -> Iterator[K]:
        below = self.below
        return chain(below, [key for key in self.top if key not in below])

    def __len__(self) -> int:
        below = self.below
        return len(below) + sum(key not in below for key in self.top)

    def items(self) -> ItemsView[K, V]:
        """All that lies there, found at one go."""
        return {**self.below, **self.top}.items()

    def values(self) -> ValuesView[V]:
        """The same without the keys."""
        return {**self.below, **self.top}.values()

    def __bool__(self) -> bool:
        return bool(self.below or self.top)

    def __repr__(self) -> str:
        return f"Layers({dict(self.items())!r})"
