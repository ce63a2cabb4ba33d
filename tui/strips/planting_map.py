"""A planting to scale in letters, north up: crowns as wide as they are in a year, and each plant where it stands.

A letter is taken to be twice as high as it is wide.
"""

from __future__ import annotations

from math import ceil, floor

from engine.reading.units import FOOT_M, US
from engine.views.planting import PlantingView

SIGNS = {"wanted": "-", "alive": "·", "bearing": "*", "dead": "x"}
CROWNS = {"tall": "▓", "middle": "▒", "shrub": "░", "climber": "░", "herb": ",", "ground": ","}
HERE = "@"
_MARGIN = 1.0
"""Metres that are left round the outermost plants."""
_LENGTHS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)


def planting_map(
    view: PlantingView, year: int, width: int, height: int, cursor: int | None, units: str = "metric"
) -> list[str]:
    """The map of a planting so many years on, in lines of `width`; the last one holds the scale."""
    crowns = view.light.crowns(year)
    spots = [(line.k, line.plant.at) for line in view.lines if line.plant.at is not None]
    if not spots or width < 10 or height < 4:
        return ["no position has a spot: at_m says where"] if not spots else []
    rows = height - 1
    reach = {k: c.radius for k, c in enumerate(crowns) if c is not None}
    west = min(at[0] - reach.get(k, 0) for k, at in spots) - _MARGIN
    east = max(at[0] + reach.get(k, 0) for k, at in spots) + _MARGIN
    south = min(at[1] - reach.get(k, 0) for k, at in spots) - _MARGIN
    north = max(at[1] + reach.get(k, 0) for k, at in spots) + _MARGIN
    metre = min(width / (east - west), 2 * rows / (north - south))  # letters to a metre, across
    columns, lines = min(width, ceil((east - west) * metre)), min(rows, ceil((north - south) * metre / 2))
    grid = [[" "] * columns for _ in range(lines)]

    def column(metres: float) -> float:
        return (metres - west) * metre

    def row(metres: float) -> float:
        return (north - metres) * metre / 2

    for k, crown in sorted(enumerate(crowns), key=lambda item: item[1].top if item[1] else 0):  # the highest above
        if crown is None:
            continue
        fill = CROWNS[view.lines[k].layer]
        for y in range(
            max(0, floor(row(crown.north + crown.radius))), min(lines, ceil(row(crown.north - crown.radius)))
        ):
            off = north - (y + 0.5) * 2 / metre - crown.north
            half = (max(0.0, crown.radius**2 - off**2)) ** 0.5
            for x in range(max(0, round(column(crown.east - half))), min(columns, round(column(crown.east + half)))):
                grid[y][x] = fill
    for k, at in spots:
        x, y = min(columns - 1, int(column(at[0]))), min(lines - 1, int(row(at[1])))
        grid[y][x] = SIGNS[view.lines[k].state]
    if cursor is not None and (at_cursor := view.lines[cursor].plant.at) is not None:
        grid[min(lines - 1, int(row(at_cursor[1])))][min(columns - 1, int(column(at_cursor[0])))] = HERE
    return [*("".join(line).rstrip() for line in grid), _scale(metre, width, year, view, units)]


def _scale(metre: float, width: int, year: int, view: PlantingView, units: str) -> str:
    """The scale in the farm's units, and the year whose crowns are drawn."""
    told = f"year {year}, {view.light.year + year}  N up"
    room = width - len(told) - 6
    unit, letters = ("ft", metre * FOOT_M) if units == US else ("m", metre)
    length = max((n for n in _LENGTHS if n * letters <= room), default=_LENGTHS[0])
    bar = "├" + "─" * max(0, round(length * letters) - 2) + "┤"
    return f"{bar} {length} {unit}  {told}" if len(bar) <= room else told
