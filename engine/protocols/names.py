"""Match the names that growers write: any case, accents aside, in part, one letter wrong."""

from __future__ import annotations

import unicodedata
from functools import lru_cache


@lru_cache(maxsize=65536)  # a name is looked for among all of the library's, an id among all of a large farm's
def plain(name: str) -> str:
    """Lower case, without accents; the hybrid sign is the letter x."""
    if name.isascii():  # as most are
        folded = name.casefold()
        return folded if folded.isalnum() else " ".join(folded.split())
    folded = unicodedata.normalize("NFKD", name.replace("×", "x"))
    return " ".join("".join(c for c in folded if not unicodedata.combining(c)).casefold().split())


def same_name(one: str, other: str) -> bool:
    """Whether two names are the same, case and accents aside."""
    return plain(one) == plain(other)


def one_letter_off(one: str, other: str) -> bool:
    """Whether one name becomes the other by one letter added, lost, changed, or two neighbours swapped."""
    return _one_off(plain(one), plain(other))


def _one_off(a: str, b: str) -> bool:
    if a == b or abs(len(a) - len(b)) > 1:
        return False
    start = 0
    if a[:1] == b[:1]:
        start = next((k for k, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), min(len(a), len(b)))
    rest_a, rest_b = a[start:], b[start:]
    swapped = rest_a[:2] == rest_b[1::-1] and rest_a[2:] == rest_b[2:]
    return rest_a[1:] == rest_b[1:] or rest_a[1:] == rest_b or rest_a == rest_b[1:] or swapped


def matches(wanted: str, names: tuple[str, ...]) -> bool:
    """Whether any of the names is meant: the wanted text is a part of it, or it is one letter off."""
    part = plain(wanted)
    return any(_meant(part, plain(name)) for name in names)


@lru_cache(maxsize=16384)  # of many lots few have names of their own
def _meant(part: str, known: str) -> bool:
    return part in known or _one_off(part, known)
