"""The stock on a day in the order in which a grower looks through it: by species, form or place."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from engine.needs.allotment import Allotment, StockLine, allot, order_of
from engine.reading.frozen import replace
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan

BY = ("species", "form", "place")


def stock_view(nursery: Nursery, plans: Sequence[Plan], today: date, by: str = "species") -> Allotment:
    """The stock on a day, in the order of species, form or place; the nursery's records reach up to that day."""
    view = allot(nursery, plans, today)
    return replace(
        view, lines=tuple(sorted(view.lines, key=lambda line: (group_of(line, by).lower(), *order_of(line))))
    )


def group_of(line: StockLine, by: str) -> str:
    """What a line stands under: its plant, its form or its place."""
    if by == "form":
        return line.form
    return (line.place or "no place") if by == "place" else line.plant
