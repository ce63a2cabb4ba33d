"""What a grower must know of the plant under the cursor: the map about it, its light, its odds, and what now."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text

from engine.reading.said import percent
from engine.views.light import AGES
from engine.views.planting import PlantingView, PlantLine
from engine.views.planting_now import what_now
from tui.cells import day, hours_cell, hours_said
from tui.facts import GUTTER, in_parts
from tui.paper.planting import title_of
from tui.strips.planting_map import planting_map

FACTS = 6
"""Lines under the map at the least; no more than two fifths of all."""


def facts_of(
    view: PlantingView,
    line: PlantLine,
    year: int,
    width: int,
    height: int,
    now: Sequence[str] | None,
    units: str = "metric",
) -> Text:
    """The map of the planting so many years on, and what is to be said of one plant; `now` None: not yet known."""
    seen = [f"{day(each.day, True)}: {each.state}{f', {each.cause}' if each.cause else ''}" for each in line.life.seen]
    parts = {
        "do": now or (), "odds": chances(view, line), "light": light_of(view, line, year), "seen": seen[-1:],
        "note": [f"{day(on, True)}: {words}" for on, words in line.life.notes[-1:]],
    }  # fmt: skip
    told = in_parts(f"{line.plant.id} · {line.name} · {standing(line)}", parts)
    beneath = sum(1 + len(each) // max(8, width - GUTTER) for each in told.plain.split("\n"))
    room = height - max(FACTS, min(beneath, height * 2 // 5))
    drawn = planting_map(view, year, width, max(0, room), line.k, units)
    return Text("".join(f"{each}\n" for each in drawn), style="not bold", end="").append_text(told)


def standing(line: PlantLine) -> str:
    """`bearing, planted 2016`."""
    life = line.life
    planted = f", planted {day(life.planted, True)}" if life.planted else ""
    cause = f", {life.cause}" if life.cause else ""
    return f"{line.state}{cause}{planted}"


def thought_of(view: PlantingView, line: PlantLine, year: int) -> tuple[str, ...]:
    """What takes longer than a key may wait: what is to be done now, and its light over the season of a year."""
    told = list(what_now(view, line))
    if (mean := view.light.season_hours(line.k, year)) is not None:
        wanted = view.light.growers[line.k].habit.hours_wanted
        told.append(f"{hours_cell(mean)} of sun on an average summer day; needs {hours_said(wanted)}")
    return tuple(told)


def light_of(view: PlantingView, line: PlantLine, year: int) -> list[str]:
    """Its light on the longest day of a year."""
    hours = view.light.hours_at(line.k, year)
    return [] if hours is None else [f"{hours_cell(hours)} of sun on the longest day of {view.light.year + year}"]


def chances(view: PlantingView, line: PlantLine) -> list[str]:
    """How likely it bears, in some of the years ahead."""
    if line.state == "dead":
        return []
    odds = [(when, share) for when in view.years[:10:3] if (share := line.bears(when)) is not None]
    told = ", ".join(f"{percent(share)} in {when}" for when, share in odds)
    return [f"chance to bear: {told or 'not known'}"] if told or line.plant.purpose == "crop" else []


def page_of(view: PlantingView, line: PlantLine) -> Text:
    """All that is known of a plant: its life, its light by year, its odds, and the planting's outlook."""
    text = Text(f"{view.planting.name} · {line.plant.id} · {line.name}", style="bold")
    life = line.life
    told = [standing(line)]
    if life.form or life.lot:
        told.append(f"planted as {life.form or 'what it was'}{f', from {life.lot}' if life.lot else ''}")
    told += [f"{day(seen.day, True)}: {seen.state}{f', {seen.cause}' if seen.cause else ''}" for seen in life.seen]
    told += [f"{day(on, True)}: {words}" for on, words in life.notes]
    if life.guard is not None:
        told.append(f"its guard is {'on' if life.guard else 'off'}")
    for before in life.earlier:
        told.append(
            f"one planted here before, {before.planted}: {before.state}{f', {before.cause}' if before.cause else ''}"
        )
    told += ["", *what_now(view, line)]
    k = line.k
    if line.plant.at is not None:
        told += ["", "SUN, hours: on the longest day, on an average summer day, in the whole season"]
        for age in AGES:
            hours, season = view.light.hours_at(k, age), view.light.season_hours(k, age)
            if hours is not None and season is not None:
                whole = season * view.light.season_days(k)
                told.append(f"  year {age:>2}, {view.light.year + age}  {hours:>5.1f}  {season:>5.1f}  {whole:>6.0f}")
    odds = [(year, share, line.covered(year)) for year in view.years if (share := line.bears(year)) is not None]
    if odds:
        told += ["", "CHANCE that it bears; that its place does"]
        told += [f"  {y}  {percent(p):>5}" + (f"  {percent(c.covered):>5}" if c else "") for y, p, c in odds[::2]]
    text.append("\n" + "\n".join(told), style="not bold")
    text.append(f"\n\n{title_of(view)}", style="bold")
    outlook = [each for each in view.outlook()[::2] if each.covered]
    if outlook:
        text.append("\nplaces that bear: first choices, with understudies, likely range", style="not bold")
    for year in outlook:
        bar = "█" * round(30 * year.covered / max(1, len(view.posts)))
        text.append(
            f"\n  {year.year} {year.alone:>6.1f} {year.covered:>6.1f}  {year.low:>3} to {year.high:<3} {bar}",
            style="not bold",
        )
    return text
