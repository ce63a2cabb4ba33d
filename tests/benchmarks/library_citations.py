"""Citations drawn at random, to be looked up in their sources.

`python -m tests.benchmarks.library_citations [SEED [COUNT]]` prints so many (1 and 40, if nothing is said): where it
stands, the figure as the library has it, and the page that is said to bear it out. The same seed draws the same while
the library stays as it is.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from random import Random

from engine.almanac.phrases import Phrase
from engine.protocols.model import Step
from tests.engine.library.built import library, of_species

UNPUBLISHED = ("common practice", "from memory")
FIELD = {"wait_days": "wait", "lasts_days": "lasts", "best_days": "best"}


def said(phrases: tuple[Phrase, ...]) -> str:
    return "; ".join(phrase.text for phrase in phrases)


def figure(step: Step, key: str) -> str:
    """A step's figure in words."""
    if key in ("opens", "closes") and len(step.windows) == 1:
        return said(getattr(step.windows[0], key))
    if key == "windows":
        return ", or ".join(f"{said(window.opens)} to {said(window.closes)}" for window in step.windows)
    if key == "best_until":
        return said(step.best_until)
    value = getattr(step, FIELD.get(key, key))
    return "; ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def citations() -> Iterator[tuple[str, str, str]]:
    """Every published figure of a species or of its protocols: where, what, and what is cited."""
    for one in of_species():
        for where, step in one.steps():
            for key, text in step.source.items():
                if not text.startswith(UNPUBLISHED):
                    yield f"{where}, {key}", figure(step, key), text
    for species in library().species.values():
        for key, text in species.source.items():
            if not text.startswith(UNPUBLISHED):
                yield f"{species.latin}, {key}", str(getattr(species, key)), text


def main(seed: int = 1, count: int = 40) -> None:
    """Print the draw: each text that is cited once, however many figures it bears out."""
    texts: dict[str, tuple[str, str]] = {}
    for where, what, text in sorted(citations()):
        texts.setdefault(text, (where, what))
    drawn = Random(seed).sample(sorted(texts), min(count, len(texts)))
    print(f"{len(texts)} different citations, {len(drawn)} drawn by seed {seed}")
    for number, text in enumerate(drawn, 1):
        where, what = texts[text]
        print(f"{number:3} {where}: {what}\n      {text}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
