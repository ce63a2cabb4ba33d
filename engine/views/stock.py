"""The stock on a day in the order in which a grower looks through it: by species, form or place."""

from __future__ import annotations

from collections.abc import Sequence

from engine.almanac.almanac import say_day
from engine.needs.allotment import Allotment, StockLine, allot, order_of
from engine.needs.need_lines import NeedLine
from engine.protocols.forms import ends_as, raised_from
from engine.reading.frozen import replace
from engine.schedule.plan import Day

BY = ("species", "form", "place")


def stock_view(day: Day, by: str = "species") -> Allotment:
    """The stock on a day, in the order of species, form or place; the nursery's records reach up to that day."""
    view = allot(day)
    return replace(
        view, lines=tuple(sorted(view.lines, key=lambda line: (group_of(line, by).lower(), *order_of(line))))
    )


def group_of(line: StockLine, by: str) -> str:
    """What a line stands under: its plant, its form or its place."""
    if by == "form":
        return line.form
    return (line.place or "no place") if by == "place" else line.plant


def is_plant(line: StockLine) -> bool:
    """Whether a line is of plants, not of seed, cuttings or scions: a thousand seeds are no thousand plants."""
    return line.unit != "g" and not raised_from(line.form)


def summed(lines: Sequence[StockLine]) -> tuple[tuple[StockLine, ...], str]:
    """Of lines in one group those that are added up: of the plants, if any stand there; else all, and what they are.

    `seed`, `cuttings`, or `seed and cuttings`; nothing of plants.
    """
    plants = tuple(line for line in lines if is_plant(line))
    if not any(line.there for line in lines) or any(line.there for line in plants):
        return plants, ""
    rest = tuple(line for line in lines if line.there)
    seed = {line.form.lower() == "seed" for line in rest}
    return rest, "seed and cuttings" if len(seed) > 1 else "seed" if True in seed else "cuttings"


def why_none_free(line: StockLine, needs: Sequence[NeedLine]) -> str:
    """Why nothing of what stands there can be given away; nothing where something can, or nothing stands there.

    `all 64 promised: 40 for the May market, 24 for the wind belt`, or what it waits for where it is still under way:
    `lift comes next; ready 19 Oct 27 as bare root`.
    """
    if not line.there or line.free > 0:
        return ""
    coming = line.coming
    if coming is None:
        return f"all {_promised(line, needs)}"
    if coming.missed:
        return f"{coming.next} missed its window, and the next is not accepted yet"
    parts = ["not counted alive yet"] if line.going else []
    parts += [f"{coming.next} comes next"] if coming.next and not line.going else []
    ready = coming.ready
    parts += ["no year fits"] if ready is None else [f"ready {say_day(ready.toordinal(), True)} {ends_as(coming.form)}"]
    parts += [_promised(line, needs)] if line.promised else []
    return "; ".join(parts)


def _promised(line: StockLine, needs: Sequence[NeedLine]) -> str:
    """`64 promised: 40 for the May market, 24 for the wind belt`, or `30 promised for the hall`."""
    parts = [
        (part.count, need.need.who or need.need.id)
        for need in needs
        for part in need.parts
        if not part.comes and part.is_of(line)
    ]
    if len(parts) == 1:
        return f"{line.promised} promised for {parts[0][1]}"
    return f"{line.promised} promised: {', '.join(f'{count} for {who}' for count, who in parts)}"
