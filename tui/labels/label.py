"""What a label says of a lot: names, lot, method, the first act with its day, and the source."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from engine.almanac.almanac import say_day
from engine.farm.model import Farm
from engine.journal.records import Lot, Records

DOUBTFUL = "name doubtful"
TIED = "\u00a0"
"""A space at which no line ends."""


@dataclass(frozen=True, slots=True)
class Label:
    """One label. `act` and `day`: the first act done, else "start", else "ready by"; "" and None where none is set."""

    lot: str
    latin: str
    common: str
    cultivar: str
    method: str
    act: str
    day: date | None
    source: str
    doubtful: bool = False
    """The name is unsure (a lost label): it is never given out as a cultivar."""


def label_of(farm: Farm, lot: Lot, doubtful: bool = False) -> Label:
    """The label of a lot as it stands."""
    batch = lot.batch
    species = farm.species_of(batch.species)
    act, day = _begun(lot)
    return Label(
        lot.id,
        clean(species.latin),
        clean(species.common[0]) if species.common else "",
        clean(batch.cultivar),
        clean(batch.method),
        act,
        day,
        clean(batch.note),
        doubtful,
    )


def _begun(lot: Lot) -> tuple[str, date | None]:
    order = {step.do: k for k, step in enumerate(lot.batch.protocol.steps)}
    done = [(act.day, order.get(do, len(order)), do) for do, act in lot.done.items()]
    if done:
        day, _, do = min(done)
        return do, day
    if lot.batch.start:
        return "start", lot.batch.start
    return ("ready by", lot.batch.ready) if lot.batch.ready else ("", None)


def is_doubtful(records: Records, lot: Lot) -> bool:
    """Whether the stock says that a lot's name is doubtful."""
    name = records.stock.names.get(lot.id)
    return name is not None and name.doubtful


def choose(records: Records, names: Sequence[str]) -> tuple[list[Lot], list[str]]:
    """The lots named, by their own id or their batch's, each once, and the names that are no lot's.

    With no name: every lot of which something is left and that was not given up.
    """
    if not names:
        return [lot for lot in records.lots if lot.count and lot.given_up is None], []
    found: dict[str, Lot] = {}
    unknown: list[str] = []
    for name in names:
        of_name = [lot for lot in records.lots if name in (lot.id, lot.batch.id)]
        found |= {lot.id: lot for lot in of_name}
        if not of_name:
            unknown.append(name)
    return list(found.values()), unknown


def paragraphs(label: Label) -> list[tuple[str, str]]:
    """What the label says, the most important first: (face, text), the face one of bold, italic, plain.

    A cultivar's name stands in single quotation marks, as the code of nomenclature for cultivated plants has it; a
    word such as "local" is none and stands bare.
    """
    title = label.common or label.latin
    if label.doubtful:
        title += f", {DOUBTFUL}"
    elif label.cultivar:
        title += f" '{label.cultivar}'" if label.cultivar[0].isupper() else f", {label.cultivar}"
    begun = f"{label.act} {say_day(label.day.toordinal(), True).replace(' ', TIED)}" if label.day else ""
    said = [
        ("bold", title),
        ("italic", label.latin if label.common else ""),
        ("bold", clean(label.lot)),
        ("plain", f"{TIED}· ".join(part for part in (label.method, begun) if part)),
        ("plain", label.source),
    ]
    return [(face, text) for face, text in said if text]


def clean(text: str) -> str:
    """One line of it that may be printed anywhere: no control codes, no marks that turn the line about."""
    kept = []
    for letter in unicodedata.normalize("NFC", text):
        match unicodedata.category(letter):
            case "Cf":
                continue
            case "Cc" | "Zl" | "Zp":
                kept.append(" ")
            case "Cs":
                kept.append("?")
            case _:
                kept.append(letter)
    return " ".join("".join(kept).split())


def labels_json(labels: Iterable[Label]) -> dict[str, Any]:
    return {
        "labels": [
            {
                "lot": label.lot,
                "species": label.latin,
                "common": label.common,
                "cultivar": "" if label.doubtful else label.cultivar,
                "name_doubtful": label.doubtful,
                "method": label.method,
                "act": label.act,
                "date": label.day.isoformat() if label.day else None,
                "source": label.source,
            }
            for label in labels
        ]
    }
