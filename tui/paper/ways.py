"""Every way to have so many, side by side, and a need spread over two; as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.needs.costs import Cost
from engine.needs.ways import Split, Way, say_start
from engine.protocols.forms import ends_as, said_takes
from engine.protocols.model import Species
from engine.reading.said import percent, percent_given
from engine.reading.units import say_weight
from engine.schedule.room import say_room
from tui.cells import (
    day,
    hours_cell,
    iso,
)
from tui.paper.page import WIDTH

SPREAD_LEAN = "split over two: the fewest for the same chance"

SPREAD_HALF = "split over two: half by each"


def ways_sheet(
    title: str, by: date | None, sure: float, found: Sequence[Way], pairs: Sequence[Split], width: int = WIDTH
) -> str:
    """Every way side by side, then those that cannot be, then a need spread over two."""
    when = f" by {day(by, True)}" if by else ""
    lines = wrap(f"{title}{when}, {percent_given(sure)} sure", width)
    can = [way for way in found if not way.reason]
    if not found:
        lines.append("No way to raise it is known; write a [[protocol]] of your own.")
    elif not can:
        lines.append("They can't be raised in time: buy in, or tell the customer.")
    for way in can:
        lines += ["", *way_lines(way, width)]
    for lean, title in ((True, SPREAD_LEAN), (False, SPREAD_HALF)):
        if mine := [pair for pair in pairs if pair.lean == lean]:
            lines += ["", title.upper()]
        for pair in mine:
            lines += wrap(say_split(pair), width, initial_indent="  ", subsequent_indent="    ")
    if cannot := [way for way in found if way.reason]:
        lines += ["", "NOT POSSIBLE"]
    for way in cannot:
        lines += wrap(f"{way.title}: {way.reason}", width, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)


def way_lines(way: Way, width: int = WIDTH) -> list[str]:
    told = [f"  {way.title}"]
    ready = f"; ready {day(way.ready, True)} {ends_as(way.form)}" if way.ready else ""
    told += wrap(f"{say_start(way)}{ready}", width, initial_indent="    ", subsequent_indent="    ")
    for text in say_way(way):
        told += wrap(text, width, initial_indent="    ", subsequent_indent="    ")
    return told


def say_way(way: Way, whole: bool = True) -> tuple[str, ...]:
    """What a way takes, in words: `start 318 cuttings, 9 h 12; enough come through with 90%`, and its notes.

    `whole`: done in one lot, whose room is known; in a part of it the room is not told.
    """
    if way.starts is None:
        return (way.reason,)
    expected = f"{way.starts.expected:,.0f} expected"
    seed = f" (about {say_weight(way.seed_kg, way.units)})" if way.seed_kg is not None else ""
    hours = f", {hours_cell(way.hours)}" if way.hours is not None else ""
    start = f"start {way.takes:,} {said_takes(way.protocol)}{seed}{hours}"
    told = [f"{start}; {expected}, {percent(way.chance)} chance of enough"]
    if way.cost is not None:
        told[0] += f"; {way.cost.says()}"
    if way.gives is not None:
        enough = "" if way.gives >= way.takes else ": too few"
        told.append(f"{way.gives:,} {said_takes(way.protocol)} still available from the stock plants that year{enough}")
    if whole and (room := say_room(way.room, way.units)):
        told.append(room)
    return (*told, *way.notes, *(way.overfull if whole else ()))


def say_split(pair: Split) -> str:
    """`hardwood cutting 159 + root cutting 190: falls short with 4.5%, in one 10%`."""
    one, two = pair.spread.two.lots
    names = f"{pair.one.title}, {one.count} + {pair.other.title}, {two.count}"
    costs = f"; costs {pair.cost.sum_only()}" if pair.cost is not None else ""
    if pair.lean:
        return f"{names}: {one.count + two.count:,} in all, the same chance as {pair.one.takes:,} by one{costs}"
    first, second = percent(pair.spread.two.short, 1), percent(pair.spread.one.short, 1)
    return f"{names}: {first} chance of falling short; with one {second}{costs}"


def ways_json(
    species: Species, want: int, by: date | None, sure: float, found: Iterable[Way], pairs: Iterable[Split]
) -> dict[str, Any]:
    return {
        "species": species.latin,
        "count": want,
        "by": iso(by),
        "sure": sure,
        "ways": [way_json(way) for way in found],
        "splits": [_split(pair) for pair in pairs],
    }


def way_json(way: Way) -> dict[str, Any]:
    return {
        "method": way.protocol.method,
        "route": way.protocol.route or None,
        "form": way.form,
        "feasible": not way.reason,
        "reason": way.reason or None,
        "first_step": way.first_step or None,
        "start_from": iso(way.start_from),
        "start_by": iso(way.start_by),
        "ready": iso(way.ready),
        "start": way.starts.count if way.starts else None,
        "expected": round(way.starts.expected, 3) if way.starts else None,
        "chance": round(way.chance, 6) if way.starts else None,
        "hours": None if way.hours is None else round(way.hours, 2),
        "takes": way.takes if way.starts else None,
        "material": way.material or None,
        "stock_plants_have_left": way.gives,
        "seed_kg": None if way.seed_kg is None else round(way.seed_kg, 4),
        "cost": None if way.cost is None else _cost(way.cost),
        "room": [
            {"place": held.place, "unit": held.unit, "amount": round(held.amount, 2),
             "from": date.fromordinal(held.since).isoformat(), "until": date.fromordinal(held.until).isoformat()}
            for held in way.room
        ],
        "too_full": list(way.overfull),
        "notes": list(way.notes),
    }  # fmt: skip


def _cost(cost: Cost) -> dict[str, Any]:
    return {
        "total": round(cost.total, 2),
        "currency": cost.currency or None,
        "parts": [{"item": name, "amount": round(amount, 2)} for name, amount in cost.parts],
        "no_price": list(cost.unpriced),
    }


def _split(pair: Split) -> dict[str, Any]:
    one, two = pair.spread.one, pair.spread.two
    return {
        "ways": [pair.one.title, pair.other.title],
        "lean": pair.lean,
        "starts": [lot.count for lot in two.lots],
        "expected": round(two.expected, 3),
        "short_chance": round(two.short, 6),
        "short_chance_in_one": round(one.short, 6),
        "cost": None if pair.cost is None else _cost(pair.cost),
    }
