"""What grows with the journal, copied at no cost: most of it is shared, and what is new lies on top.

A farm of twenty years holds a hundred thousand names and movements, and each entry changes a few of them. What was
copied is not changed any more: only the copy goes on.
"""

from __future__ import annotations

from collections.abc import ItemsView, Iterator, Mapping, MutableMapping, ValuesView
from typing import Any, TypeVar

from engine.reading.log import MOST_ON_TOP

K = TypeVar("K")
V = TypeVar("V")
_NOTHING: Any = object()


def copied(mapping: MutableMapping[K, V]) -> MutableMapping[K, V]:
    """The same mapping, to go on from another way; the one that is given must not be changed any more.

    Its keys keep their order.
    """
    if not isinstance(mapping, Layers):
        return Layers(mapping, {})
    if len(mapping.top) + len(mapping.gone) > MOST_ON_TOP:
        return dict(mapping.items())
    return Layers(mapping.below, mapping.top.copy(), mapping.gone)


class Layers(MutableMapping[K, V]):
    """A mapping of what lies on top, and of what lies below where that holds a key that is not on top, nor gone."""

    __slots__ = ("below", "gone", "top")

    def __init__(self, below: Mapping[K, V], top: dict[K, V], gone: frozenset[K] = frozenset()) -> None:
        """`gone`: the keys of what lies below that were taken out, whether they lie on top again or not."""
        self.below, self.top, self.gone = below, top, gone

    def __getitem__(self, key: K) -> V:
        found: V = self.top.get(key, _NOTHING)
        if found is not _NOTHING:
            return found
        if key in self.gone:
            raise KeyError(key)
        return self.below[key]

    def get(self, key: K, default: Any = None) -> Any:
        """As that of any mapping; the mixin's own would raise and catch for each key that is not there."""
        found = self.top.get(key, _NOTHING)
        if found is not _NOTHING:
            return found
        return default if key in self.gone else self.below.get(key, default)

    def __contains__(self, key: object) -> bool:
        return key in self.top or (key in self.below and key not in self.gone)

    def __setitem__(self, key: K, value: V) -> None:
        self.top[key] = value

    def __delitem__(self, key: K) -> None:
        if key not in self:
            raise KeyError(key)
        self.top.pop(key, None)
        if key in self.below:
            self.gone |= {key}

    def __iter__(self) -> Iterator[K]:
        return iter({**self._left(), **self.top})

    def __len__(self) -> int:
        below, gone = self.below, self.gone
        return len(below) - len(gone) + sum(key not in below or key in gone for key in self.top)

    def _left(self) -> Mapping[K, V]:
        """What lies below and was not taken out."""
        return {key: value for key, value in self.below.items() if key not in self.gone} if self.gone else self.below

    def items(self) -> ItemsView[K, V]:
        """All that lies there, found at one go."""
        return {**self._left(), **self.top}.items()

    def values(self) -> ValuesView[V]:
        """The same without the keys."""
        return {**self._left(), **self.top}.values()

    def __bool__(self) -> bool:
        return bool(self.top) or len(self.below) > len(self.gone)

    def __repr__(self) -> str:
        return f"Layers({dict(self.items())!r})"
