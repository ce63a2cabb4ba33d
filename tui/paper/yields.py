"""What the stock plants gave by year, as plain text within 80 columns and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.farm.stock import StockPlant
from engine.views.yields import YearGiven, YieldHistory
from tui.cells import dated
from tui.paper.page import WIDTH

NONE_KEPT = "No stock plants are kept: add a [[stock_plant]] to the farm file for plants that you cut from."


def yields_sheet(farm: Farm, histories: Sequence[YieldHistory], today: date) -> str:
    """A heading for each plant and material, and a line for each year."""
    told = [f"{farm.name or 'Farm'} · what the stock plants gave by year · {dated(today)}"]
    for one in histories:
        kept = "; ".join(_kept(mother) for mother in one.stock_plants)
        told += ["", *wrap(f"{one.plant.upper()}, {one.material}: {kept}", WIDTH, subsequent_indent="  ")]
        told.append(f"  {'year':>4} {'expected':>9} {'asked':>7} {'gave':>7}  for")
        for year in one.years:
            told += _year_lines(year, today)
    if not histories:
        told += ["", *wrap(NONE_KEPT, WIDTH)]
    return "\n".join(told)


def _kept(mother: StockPlant) -> str:
    planted = f", planted {mother.planted}" if mother.planted is not None else ""
    return f"{mother.id}, {mother.count} at {mother.place}{planted}"


def _year_lines(year: YearGiven, today: date) -> list[str]:
    gave = "" if year.gave is None else str(year.gave)
    head = f"  {year.year:>4} {int(year.expected):>9} {year.asked or '-':>7} {gave:>7}  "
    told = f"{', '.join(year.lots)}{' (so far)' if year.year == today.year else ''}".strip()
    return wrap(f"{head}{told}", WIDTH, subsequent_indent=" " * len(head))


def yields_json(histories: Sequence[YieldHistory]) -> dict[str, Any]:
    """Collected is null for a year still to come."""
    return {
        "stock_plants": [
            {
                "species": one.species,
                "cultivar": one.cultivar,
                "material": one.material,
                "plants": [
                    {"id": m.id, "place": m.place, "count": m.count, "planted": m.planted} for m in one.stock_plants
                ],
                "years": [
                    {
                        "year": year.year,
                        "expected": round(year.expected, 1),
                        "asked": year.asked,
                        "collected": year.gave,
                        "lots": list(year.lots),
                    }
                    for year in one.years
                ],
            }
            for one in histories
        ]
    }
