"""The needs and plantings with what covers them, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.farm.planting import Planting
from engine.needs.coverage import Coverage, PlantingLine, PositionLine
from engine.needs.need_lines import NeedLine
from engine.reading.said import percent
from tui.cells import (
    counted,
    dated,
    day,
    iso,
)
from tui.paper.page import WIDTH


def needs_sheet(farm: Farm, covered: Coverage, troubled: Sequence[str]) -> str:
    """Every need with what covers it, the plantings with their odds, and lots in trouble."""
    lines = [f"{farm.name or 'Farm'} · needs on {dated(covered.on)}, at the certainty each asks for", ""]
    if not covered.needs:
        lines.append("Nothing is needed: the farm has no [[need]] and no [[planting]].")
    else:
        lines.append(f"{'by':>11}  {'wanted':>6} {'sent':>5} {'on hand':>7} {'coming':>6} {'short':>6}  need, plant")
    for line in covered.needs:
        lines += _need_lines(line)
    for planting in covered.plantings:
        lines += _planting_lines(planting, covered.on)
    if troubled:
        lines += ["", *wrap(f"! missed their window, or no year fits: {', '.join(troubled)}", WIDTH)]
    if covered.short():
        lines += ["", *wrap("widger ways SPECIES COUNT --by DATE shows how what is short can still be had.", WIDTH)]
    return "\n".join(line.rstrip() for line in lines)


def _need_lines(line: NeedLine) -> list[str]:
    need = line.need
    by = day(need.by, True) if need.by else "whenever"
    who = f" for {need.who}" if need.who and need.who not in need.id else ""
    what = f"{need.id}: {plant_of(line)}{who}"
    counts = f"{need.count:>6} {line.met or '-':>5} {line.from_hand or '-':>7} {line.to_come or '-':>6}"
    head = f"{by:>11}  {counts} {line.short or '-':>6}  "
    first, *rest = wrap(what, WIDTH - len(head)) or [""]
    told = [head + first, *(" " * len(head) + more for more in rest)]
    if line.to_come or (line.short and line.chance > 0):
        told += _more(f"{percent(line.chance)} chance of the full count; {percent(need.sure)} asked for")
    if line.short or line.to_come:
        for lapse in line.lapses:
            told += _more(f"! {lapse}")
    if told_of := unsorted_of(line):
        told += _more(told_of)
    if lots := ", ".join(f"{count} of {lot}" for lot, count in line.taken):
        told += _more(lots)
    return told


def unsorted_of(line: NeedLine) -> str:
    """What is to be said of plants to come that may be of the grade that a need names; or nothing."""
    if not line.unsorted:
        return ""
    return f"{line.unsorted} likely to come: how many are {line.need.grade} is known once they are graded"


def plant_of(line: NeedLine) -> str:
    """The plant of a need with its cultivar, form and grade."""
    plant = f"{line.plant} {line.need.cultivar}".rstrip()
    return f"{plant}, {line.need.kind}" if line.need.kind else plant


def planting_title(planting: Planting, today: date) -> str:
    """The name of a planting, with the day by which it is to be planted or the year in which it was."""
    if planting.by is None:
        return planting.name.upper()
    when = f"by {day(planting.by, True)}" if planting.by >= today else f"planted {planting.by.year}"
    return f"{planting.name.upper()}, {when}"


def _planting_lines(line: PlantingLine, today: date) -> list[str]:
    count = sum(here.position.count for here in line.positions)
    short = sum(each.short for each in line.needs)
    lack = f"; {short} plants short" if short else "; all its plants are covered"
    title = f"{planting_title(line.planting, today)}: {counted(count, 'position')}{lack}"
    told = ["", *wrap(title, WIDTH)]
    years = [year for year, _ in next((here.odds for here in line.positions if here.odds), ())]
    if years:
        told.append(f"  {'bears in':<31}" + "".join(f"{year:>9}" for year in years))
    for here in line.positions:
        told += _position_lines(here)
    if years:
        alone = "".join(f"{line.bearing(year)[0]:>9.1f}" for year in years)
        covered = "".join(f"{line.bearing(year)[1]:>9.1f}" for year in years)
        told += [f"  {'crop positions bearing, alone':<31}{alone}", f"  {'with their understudies':<31}{covered}"]
    return told


def _position_lines(line: PositionLine) -> list[str]:
    here = line.position
    told = []
    first, *rest = wrap(f"{here.count} {line.plant}", 30)
    odds = line.odds or ()
    told.append(f"  {first:<31}" + "".join(f"{percent(found.alone):>9}" for _, found in odds))
    told += [f"  {more}" for more in rest]
    if not odds:
        told[0] += "years to bearing are not known"
    if line.understudies:
        first, *rest = wrap(f"with {', '.join(line.understudies)}", 28)
        told.append(f"    {first:<29}" + "".join(f"{percent(found.covered):>9}" for _, found in odds))
        told += [f"    {more}" for more in rest]
    if line.told:
        told += wrap(f"! {line.told}", WIDTH, initial_indent="    ", subsequent_indent="      ")
    return told


def _more(text: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent=" " * 13, subsequent_indent=" " * 13)


def needs_json(covered: Coverage, troubled: Sequence[str]) -> dict[str, Any]:
    return {
        "on": covered.on.isoformat(),
        "needs": [need_json(line) for line in covered.needs],
        "plantings": [_planting(line) for line in covered.plantings],
        "lots_in_trouble": list(troubled),
    }


def need_json(line: NeedLine) -> dict[str, Any]:
    need = line.need
    return {
        "id": need.id,
        "species": need.species,
        "cultivar": need.cultivar,
        "form": need.form,
        "grade": need.grade,
        "count": need.count,
        "by": iso(need.by),
        "sure": need.sure,
        "for": need.who,
        "gone_out": line.met,
        "on_hand": line.from_hand,
        "on_hand_unsure": line.unsure,
        "coming": line.to_come,
        "short": line.short,
        "chance": round(line.chance, 6),
        "lots": [{"lot": lot, "count": count} for lot, count in line.taken],
    }


def _planting(line: PlantingLine) -> dict[str, Any]:
    planting = line.planting
    return {
        "name": planting.name,
        "by": iso(planting.by),
        "season": planting.season or None,
        "needs": [each.need.id for each in line.needs],
        "short": sum(each.short for each in line.needs),
        "positions": [_position(here) for here in line.positions],
    }


def _position(line: PositionLine) -> dict[str, Any]:
    here = line.position
    return {
        "species": here.species,
        "cultivar": here.cultivar,
        "count": here.count,
        "spacing_m": here.spacing_m,
        "understudies": [{"species": u.species, "cultivar": u.cultivar, "count": u.count} for u in here.understudies],
        "bears": [
            {"year": year, "alone": round(odds.alone, 6), "with_understudies": round(odds.covered, 6)}
            for year, odds in line.odds or ()
        ],
        "told": line.told or None,
    }
