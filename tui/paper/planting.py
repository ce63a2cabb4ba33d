"""A planting as text and as JSON: each plant with its state, the light that it gets as all grow, and its odds."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.views.light import AGES
from engine.views.planting import PlantingView, PlantLine, light_hours
from tui.cells import clipped, counted, dated, day, iso
from tui.paper.page import WIDTH

TOLD = (1, 3, 5, 10)
"""Years on from now for which the sheet tells the odds; the JSON has every one."""


def plantings_sheet(farm: Farm, views: Sequence[PlantingView]) -> str:
    """Every planting, plant by plant."""
    lines = [f"{farm.name or 'Farm'} · plantings on {dated(views[0].today)}" if views else "No [[planting]] here."]
    for view in views:
        lines += ["", *_planting(view)]
    return "\n".join(line.rstrip() for line in lines)


def title_of(view: PlantingView) -> str:
    """`THE WIND BELT, to be planted by 1 Dec 28: 30 plants in 30 places: 30 wanted`."""
    planting = view.planting
    stands = f"planted {view.light.year}" if view.planted else "to be planted"
    when = f" by {day(planting.by, True)}" if planting.by and not view.planted else ""
    return f"{planting.name.upper()}, {stands}{when}: {said_counts(view)}"


def said_counts(view: PlantingView, places: bool = True) -> str:
    """`34 plants in 30 places: 25 bearing, 5 alive, 4 dead`: an understudy has its first choice's place."""
    counts = ", ".join(f"{count} {state}" for state, count in view.counts().items() if count)
    within = f" in {counted(len(view.posts), 'place')}" if places else ""
    return f"{counted(len(view.lines), 'plant')}{within}: {counts}"


def _planting(view: PlantingView) -> list[str]:
    told = wrap(title_of(view), WIDTH)
    years = [view.years[n - 1] for n in TOLD if n <= len(view.years)]
    spotted = any(line.plant.at is not None for line in view.lines)
    if spotted:
        told.append(f"{'':<44}{'hours of sun in year':<20}{'bears in, %':>15}")
    ages = "".join(f"{age:>5}" for age in AGES) if spotted else " " * 20
    told.append(f"{'':<8}{'plant':<22}{'purpose':<11}{'':<3}{ages}{''.join(f'{y % 100:>4}' for y in years)}")
    hours = light_hours(view) if spotted else {}
    for line in view.lines:
        light = "".join(_hours(hours[age][line.k]) for age in AGES) if spotted else " " * 20
        odds = "".join(_share(line.bears(year)) for year in years)
        sign = {"wanted": "-", "alive": "·", "bearing": "*", "dead": "x"}[line.state]
        name = f"{clipped(line.plant.id, 7):<8}{clipped(line.name, 21):<22}{line.plant.purpose:<11}"
        told.append(f"{name}{sign:<3}{light}{odds}")
    told += ["", "- wanted   · alive   * bearing   x dead"]
    if spotted:
        told += wrap("Sun: direct, on the longest day, over the height of its crown; slopes are left out.", WIDTH)
    told += _outlook(view)
    return told


def _outlook(view: PlantingView) -> list[str]:
    found = view.outlook()
    if not found or not any(each.covered for each in found):
        return []
    told = ["", "PLACES THAT BEAR: first choices, with understudies, likely range"]
    for each in found[::2]:
        bar = "█" * round(24 * each.covered / max(1, len(view.posts)))
        told.append(f"  {each.year} {each.alone:>7.1f} {each.covered:>7.1f}   {each.low:>3} to {each.high:<4} {bar}")
    return told


def _hours(hours: float | None) -> str:
    return f"{'-':>5}" if hours is None else f"{hours:>5.1f}"


def _share(share: float | None) -> str:
    return f"{'-':>4}" if share is None else f"{share * 100:>4.0f}"


def plantings_json(views: Sequence[PlantingView]) -> dict[str, Any]:
    return {"plantings": [_planting_json(view) for view in views]}


def _planting_json(view: PlantingView) -> dict[str, Any]:
    hours = light_hours(view)
    return {
        "name": view.planting.name,
        "by": iso(view.planting.by),
        "positions": [_line_json(view, line, {str(age): hours[age][line.k] for age in AGES}) for line in view.lines],
        "outlook": [
            {
                "year": each.year,
                "alone": round(each.alone, 4),
                "covered": round(each.covered, 4),
                "low": each.low,
                "high": each.high,
            }
            for each in view.outlook()
        ],
    }


def _line_json(view: PlantingView, line: PlantLine, hours: dict[str, float | None]) -> dict[str, Any]:
    plant, life = line.plant, line.life
    covered = {str(year): odds.covered for year in view.years if (odds := line.covered(year)) is not None}
    return {
        "id": plant.id,
        "species": plant.species,
        "cultivar": plant.cultivar,
        "purpose": plant.purpose,
        "layer": line.layer,
        "at_m": list(plant.at) if plant.at else None,
        "beside": plant.beside or None,
        "state": line.state,
        "cause": life.cause or None,
        "planted": iso(life.planted),
        "form": life.form or None,
        "lot": life.lot or None,
        "guard": life.guard,
        "leads": line.leads,
        "light_hours": {age: None if h is None else round(h, 2) for age, h in hours.items()},
        "bears_by": {str(year): round(p, 6) for year in view.years if (p := line.bears(year)) is not None},
        "covered_by": {year: round(p, 6) for year, p in covered.items()},
        "walked": [{"on": iso(seen.day), "state": seen.state, "cause": seen.cause or None} for seen in life.seen],
    }
