"""What now: a first choice that died and what may stand in, what will lack light and from when, what crowds what."""

from __future__ import annotations

from datetime import date

from engine.farm.planting import Planting
from engine.farm.stock import Need
from engine.needs.ways import ways
from engine.schedule.plan import Day
from engine.views.planting import PlantingView, PlantLine

LIVING = ("alive", "bearing")
YEARS_TRIED = 6


def stand_in(view: PlantingView, line: PlantLine) -> PlantLine | None:
    """The understudy that may take the place of a dead first choice: one that bears before one that only lives."""
    if line.plant.beside or line.state != "dead" or line.post.lead is not line.post.first:
        return None
    found = [each for each in line.post.others if each.life.state in LIVING]
    found.sort(key=lambda each: each.life.state != "bearing")
    return view.line(found[0].plant.id) if found else None


def what_now(view: PlantingView, line: PlantLine) -> list[str]:
    """What is to be thought of at one plant, in words; nothing where all is well."""
    told = []
    if line.state == "dead" and not line.plant.beside:
        other = stand_in(view, line)
        if line.post.lead is not line.post.first:
            told.append(f"{line.post.lead.plant.id} has taken its place")
        elif other is not None:
            told.append(
                f"! {other.plant.id}, {other.name}, {other.state}, may take its place: p; or n asks for a new one"
            )
        else:
            told.append("! it has no understudy: n asks for a new one")
    if line.leads and line.plant.beside:
        told.append(f"it has taken the place of {line.plant.beside}")
    if line.life.guard is False and line.state in LIVING:
        told.append("! its guard is off")
    if line.state != "dead":
        since = max(view.age, 1)
        if (year := view.light.short_from(line.k, since)) is not None:
            when = "now" if year <= view.age else f"from {view.light.year + year}"
            wanted = view.light.growers[line.k].habit.hours_wanted
            told.append(f"! too little sun {when}: under the {wanted:g} h a day that it needs")
        for other, year in crowding(view, line):
            when = "now" if year <= view.age else f"from {view.light.year + year}"
            told.append(f"! {other.plant.id}, {other.name}, crowds it {when}: h thins the one under the cursor")
    return told


def crowding(view: PlantingView, line: PlantLine) -> list[tuple[PlantLine, int]]:
    """The living neighbours that it and they come to crowd each other, and in which year of the planting."""
    return [
        (view.lines[j if k == line.k else k], year)
        for k, j, year in view.light.crowding()
        if line.k in (k, j) and view.lines[k].state in LIVING and view.lines[j].state in LIVING
    ]


def when_anew(day: Day, planting: Planting, line: PlantLine) -> tuple[date, str]:
    """By when a new plant can stand there, and by which way: the first season in which one fits, of those to come."""
    today = day.today
    due = planting.by or today
    for n in range(YEARS_TRIED):
        year = today.year + n
        by = date(year, due.month, 28 if (due.month, due.day) == (2, 29) else due.day)
        if by <= today:
            continue
        wanted = Need("", line.plant.species, line.plant.cultivar, planting.form, 1, by, planting.sure)
        found = ways(day, wanted)
        if way := next((each for each in found if not each.reason), None):
            return by, way.title
    year = today.year + 1
    return date(
        year, due.month, 28 if (due.month, due.day) == (2, 29) else due.day
    ), "buy it in: there is no way of raising it that fits"
