"""Room by place and week: as text for the wall and the year's page, and as JSON for scripts."""

from __future__ import annotations

from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.protocols.room import say_amount, say_number, unit_name
from engine.views.room import WEEKS, RoomLine, Rooms
from tui.cells import dated, day, fit
from tui.paper.page import WIDTH
from tui.strips.bars import MONTHS

LEVELS = "▁▂▃▄▅▆▇█"
OVER = "!"
SIGNS = (
    f"The lots that stand in each place in each week, by their plans: ▁ little of its room, █ all of it, {OVER} more "
    "than there is. Where no room is given, █ is the fullest week."
)
REMEDY = 'A place takes room = "40 trays", or a list, in the farm file.'
NONE = "No lot under way takes up a known amount of room."


def room_sheet(farm: Farm, rooms: Rooms) -> str:
    """A strip of weeks for each place with a limit, its fullest week, and those too full; then what has none."""
    return "\n".join((f"{farm.name or 'Farm'} · room from {dated(rooms.weeks[0])}", "", *room_lines(rooms, WIDTH)))


def room_lines(rooms: Rooms, width: int) -> list[str]:
    """The places line by line, no line wider than `width` (from 70 on the weeks are whole)."""
    if not rooms.lines:
        return wrap(f"{NONE} {REMEDY}", width)
    label = max(16, width - WEEKS - 1)
    lines = [f"{'':<{label}} {_months(rooms)}".rstrip()]
    for line in rooms.lines:
        lines.append(f"{fit(f'{line.place}, {unit_name(line.unit, rooms.units)}', label)} {_strip(line)}".rstrip())
        lines += wrap(_told(rooms, line), width, initial_indent="  ", subsequent_indent="    ")
    return [*lines, "", *wrap(f"{SIGNS} {REMEDY}", width)]


def _told(rooms: Rooms, line: RoomLine) -> str:
    """`fullest: 46 of 40 trays, week of 14 Jun, by E26 and ES27; too full: 14 Jun, 21 Jun`."""
    n = line.fullest
    most = line.load[n]
    if not most:
        return f"holds {say_amount(line.holds or 0, line.unit, rooms.units)}; nothing stands there"
    unit = say_amount(most, line.unit, rooms.units)
    amount = unit
    if line.holds is not None:
        amount = f"{say_number(most, line.unit, rooms.units)} of {say_amount(line.holds, line.unit, rooms.units)}"
    lots = line.lots[n]
    more = f" and {len(lots) - 3} more" if len(lots) > 3 else ""
    told = f"fullest {amount}, week of {day(rooms.weeks[n])}, by {', '.join(lots[:3])}{more}"
    if line.holds is None:
        return f"{told}; no room given"
    return f"{told}; too full: {_weeks(rooms, line.over)}" if line.over else told


def _weeks(rooms: Rooms, over: tuple[int, ...]) -> str:
    """Weeks that follow one another as one span: `14 Jun to 5 Jul, 30 Aug`."""
    spans: list[list[int]] = []
    for n in over:
        if spans and spans[-1][1] == n - 1:
            spans[-1][1] = n
        else:
            spans.append([n, n])
    return ", ".join(
        day(rooms.weeks[a]) if a == b else f"{day(rooms.weeks[a])} to {day(rooms.weeks[b])}" for a, b in spans
    )


def _strip(line: RoomLine) -> str:
    full, over = line.holds or max(line.load) or 1.0, set(line.over)
    steps = (min(len(LEVELS) - 1, int(load / full * len(LEVELS))) for load in line.load)
    return "".join(
        OVER if n in over else LEVELS[step] if load else " "
        for n, (load, step) in enumerate(zip(line.load, steps, strict=True))
    )


def _months(rooms: Rooms) -> str:
    """The first letter of each month, over the week in which it begins."""
    cells = [MONTHS[start.month - 1] if n == 0 or start.day <= 7 else " " for n, start in enumerate(rooms.weeks)]
    return "".join(cells[:WEEKS])


def room_json(rooms: Rooms) -> dict[str, Any]:
    """Weeks by their first day; `load` is the most on any day of each week, in units of the place."""
    return {
        "weeks": [start.isoformat() for start in rooms.weeks],
        "places": [
            {
                "place": line.place,
                "unit": line.unit,
                "holds": None if line.holds is None else round(line.holds, 2),
                "load": [round(load, 2) for load in line.load],
                "fullest": rooms.weeks[line.fullest].isoformat() if max(line.load) else None,
                "too_full": [rooms.weeks[n].isoformat() for n in line.over],
                "lots": [list(lots) for lots in line.lots],
            }
            for line in rooms.lines
        ],
    }
