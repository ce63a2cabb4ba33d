"""What a label says of a lot: names, lot, method or form, the first act or the coming in with its day, the source."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from engine.almanac.almanac import say_day
from engine.farm.material import said_material
from engine.farm.model import Farm
from engine.reading.frozen import dataclass, replace
from engine.records.records import Lot, Records
from engine.records.stock import Movement
from tui.paper.labels.lots import StockLot
from tui.paper.labels.names import short_common, short_latin

DOUBTFUL = "name not certain"
PROPAGATED = "propagated"
TIED = "\u00a0"
"""A space at which no line ends."""
DAY_AT_END = re.compile(r"\d+ \w+ \d\d$")
"""A day with its year, as said_material ends with one: it stays on one line."""


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
    origin: str = PROPAGATED
    """For a lot of the stock: opening, bought, collected, found or swapped; the day is then that on which it came."""
    form: str = ""
    grade: str = ""
    place: str = ""
    """Where a lot of the stock stands; with the form and the grade empty for a lot under propagation."""
    made_of: str = ""
    """The rootstock of a batch, and whence and when its seed or wood came."""


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
        made_of=clean(said_material(batch)),
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


def stock_labels(farm: Farm, lot: StockLot, batch_lot: Lot | None, came: Sequence[Movement]) -> list[Label]:
    """The labels of a lot of the stock: one for each form and grade that it stands in, for those stand apart.

    `batch_lot`: the one it was parted from, where that was propagated. `came`: how the lot at its root came in, the
    earliest first. Who it is from is said only where all of it is from somebody known. Where nothing is left, the form
    is that in which it came.
    """
    species = farm.species_of(lot.name.species)
    if batch_lot is not None:
        whole = replace(label_of(farm, batch_lot), lot=lot.id, doubtful=lot.name.doubtful)
    else:
        sources = [moved.told for moved in came]
        day = came[0].on if came and came[0].on != date.min else None
        whole = Label(
            lot.id,
            clean(species.latin),
            clean(species.common[0]) if species.common else "",
            clean(lot.name.cultivar),
            method="",
            act="",
            day=day,
            source=clean(", ".join(dict.fromkeys(sources))) if all(sources) else "",
            doubtful=lot.name.doubtful,
            origin=str(came[0].source) if came else lot.name.origin,
        )
    places: dict[tuple[str, str], dict[str, None]] = {}
    for held in lot.held:
        places.setdefault((held.form, held.grade), {})[held.place] = None
    if not places and came:
        places[str(came[0].target[1]), str(came[0].target[2])] = {}
    return [
        replace(whole, form=clean(form), grade=clean(grade), place=clean(", ".join(p for p in where if p)))
        for (form, grade), where in (places or {("", ""): {}}).items()
    ]


def ways_to_say(label: Label) -> list[list[tuple[str, str]]]:
    """What the label says: whole, then shorter by rule, for one with too little room.

    First the cultivar's name is one piece, which goes to a line of its own; then it may end a line between its words;
    then the genus is abbreviated; then the common name loses its qualifier. A Latin name that stands alone stays whole.
    """
    shorter = replace(label, latin=short_latin(label.latin)) if label.common else label
    shortest = replace(shorter, common=short_common(label.common))
    ways = [paragraphs(label), *(paragraphs(one, tied=False) for one in (label, shorter, shortest))]
    return [way for n, way in enumerate(ways) if way not in ways[:n]]


def paragraphs(label: Label, tied: bool = True) -> list[tuple[str, str]]:
    """What the label says, the most important first: (face, text), the face one of bold, italic, plain.

    A cultivar's name stands in single quotation marks, as the code of nomenclature for cultivated plants has it; a
    word such as "local" is none and stands bare. `tied`: its words stay together on a line.
    """
    cultivar = label.cultivar.replace(" ", TIED) if tied else label.cultivar
    title = label.common or label.latin
    if label.doubtful:
        title += f", {DOUBTFUL}"
    elif label.cultivar:
        title += f" '{cultivar}'" if cultivar[0].isupper() else f", {cultivar}"
    bought_in = label.origin != PROPAGATED
    act = label.origin if bought_in else label.act
    begun = f"{act} {say_day(label.day.toordinal(), True).replace(' ', TIED)}" if label.day else ""
    form = ", ".join(part for part in (label.form, label.grade) if part)
    said = [
        ("bold", title),
        ("italic", label.latin if label.common else ""),
        ("bold", clean(label.lot)),
        ("plain", f"{TIED}· ".join(part for part in dict.fromkeys((label.method, form, begun)) if part)),
        ("plain", DAY_AT_END.sub(lambda day: day[0].replace(" ", TIED), label.made_of)),
        ("plain", f"from {label.source}" if bought_in and label.source else label.source or label.place),
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
                "origin": label.origin,
                "form": label.form,
                "grade": label.grade,
                "place": label.place,
                "made_of": label.made_of,
            }
            for label in labels
        ]
    }
