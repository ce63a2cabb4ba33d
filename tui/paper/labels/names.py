"""A plant's names made shorter by rule, for a label with no room for them: a word is left out whole or abbreviated."""

from __future__ import annotations

NOT_ALONE = frozenset(
    ("beard", "berry", "bush", "flower", "plant", "puzzle", "root", "shrub", "tree", "vine", "weed", "wort")
)
"""Last words that name no plant by themselves: strawberry tree, monkey puzzle."""
LITTLE = frozenset(("of", "in", "from", "with", "on", "and"))
"""A name with one of these has its meaning across the words: lily of the valley."""
HYBRID = "×"


def short_common(name: str) -> str:
    """A common name without its qualifier: `American elder` is elder. Whole where the last word alone is no name."""
    words = name.split()
    if len(words) < 2 or words[-1].lower() in NOT_ALONE or not words[-1].islower() or LITTLE & {*words}:
        return name
    return words[-1]


def short_latin(name: str) -> str:
    """A Latin name with its genus abbreviated: `C. avellana`; whole where no epithet says which species it is."""
    genus, _, epithets = name.partition(" ")
    if genus == HYBRID:  # a hybrid genus: × Sorbaronia mitschurinii
        return f"{HYBRID} {short_latin(epithets)}" if epithets else name
    sign = HYBRID if genus.startswith(HYBRID) else ""
    letters = genus.removeprefix(sign)
    first = epithets.split(" ")[0]
    if not letters or not letters[0].isupper() or not first or first.rstrip(".") in ("sp", "spp"):
        return name
    return f"{sign}{letters[0]}. {epithets}" if len(letters) > 2 else name
