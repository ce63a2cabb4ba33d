"""The six steps of a first run: what each asks, why, and how what is typed is put into the farm."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

from engine.acts.action import Refused
from engine.almanac.frost import USUAL_DAYS, day_in_words
from engine.almanac.thermometer import read_record
from engine.almanac.years import years_of
from engine.farm.region import region_of, zones_near
from engine.reading.frozen import dataclass, replace
from engine.reading.units import to_degrees
from tui.answers import USUAL, batch_of, frost_of, held_of, hours_of, months_of, places_of, spread, where_of
from tui.first_batches import say_batches, started
from tui.newfarm import PLACES, NewFarm, read_new
from tui.thermometer import Unreadable, record_text

Given = Mapping[str, str]
_DAY = re.compile(r"\b(\d{1,2}) (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b")


@dataclass(frozen=True, slots=True)
class Ask:
    """One field of a step: its name, what stands over it, and what it holds at first."""

    name: str
    label: str
    value: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One of the six: what is asked, why, the fields, and how what was typed is put into the farm.

    `take` raises Refused; the name of the field at fault is the refusal's `hint` where several fields could be.
    """

    title: str
    told: str
    asks: tuple[Ask, ...]
    take: Callable[[NewFarm, Given, Path, date], NewFarm]
    says: Callable[[NewFarm, date], str]


def _where(new: NewFarm, given: Given, path: Path, on: date) -> NewFarm:  # noqa: ARG001
    north, east = where_of(given["where"])
    near = [each.zone for each in zones_near(north, east)]
    zone = given["zone"] or "1"
    if zone.isdecimal():
        if not 0 < int(zone) <= len(near):
            raise Refused(f"{zone} is none of the zones shown", f"from 1 to {len(near)}, or a zone's name")
        zone = near[int(zone) - 1]
    units = given["units"].lower() or ("us" if region_of(zone) == "US" else "metric")
    return replace(
        new, name=given["name"] or new.name, latitude=north, longitude=east, timezone=zone, units=units,
        last_frost={}, first_frost={},
    )  # fmt: skip


def _frost(new: NewFarm, given: Given, path: Path, on: date) -> NewFarm:  # noqa: ARG001
    if given["last"].lower().endswith(".csv"):
        return _recorded(new, given["last"], path)
    last, first = frost_of(given["last"], True, new.units), frost_of(given["first"], False, new.units)
    guessed = [key for key, dates in (("last_frost", last), ("first_frost", first)) if len(dates) == 1]
    return replace(new, last_frost=spread(last, True), first_frost=spread(first, False), frost_guessed=guessed)


def _recorded(new: NewFarm, name: str, path: Path) -> NewFarm:
    try:
        years = years_of(read_record(record_text(path.parent / name), new.units), new.latitude >= 0)
    except Unreadable as fault:
        raise Refused(str(fault)) from None
    if years.last_frost is None or years.first_frost is None:
        raise Refused(f"{name} has {years.count} whole winters", "ten are needed for frost dates")
    last, first = (
        {f"{point.chance:.0%}": f"{point.month:02}-{point.day:02}" for point in frost.points}
        for frost in (years.last_frost, years.first_frost)
    )
    high: tuple[float, ...] = ()
    low: tuple[float, ...] = ()
    if years.temperature is not None:
        high, low = (
            tuple(round(to_degrees(c, new.units), 1) for c in months)
            for months in (years.temperature.mean_max, years.temperature.mean_min)
        )
    return replace(new, last_frost=last, first_frost=first, frost_guessed=(), mean_max=high, mean_min=low, record=name)


def _warmth(new: NewFarm, given: Given, path: Path, on: date) -> NewFarm:  # noqa: ARG001
    high, low = months_of(given["high"]), months_of(given["low"])
    return replace(new, mean_max=high, mean_min=low) if high or low or not new.record else new


def _places(new: NewFarm, given: Given, path: Path, on: date) -> NewFarm:  # noqa: ARG001
    return replace(new, places=places_of(given["places"]))


def _hours(new: NewFarm, given: Given, path: Path, on: date) -> NewFarm:  # noqa: ARG001
    return replace(new, hours=hours_of(given["hours"]))


def _batches(new: NewFarm, given: Given, path: Path, on: date) -> NewFarm:
    farm = read_new(replace(new, batches=()), on, str(path)).farm
    if farm is None:  # told by the step at fault
        return new
    found: list[dict[str, object]] = []
    in_hand: list[str] = []
    for text in filter(None, given.values()):
        said, held = held_of(text)
        found.append(batch_of(farm, said, on, [str(each["id"]) for each in found]))
        in_hand += [str(found[-1]["id"])] if held else []
    return started(replace(new, batches=found, in_hand=in_hand), on, str(path))


def _say_where(new: NewFarm, _: date) -> str:
    told = f"{new.latitude:g}, {new.longitude:g}; {new.timezone}; {new.units}"
    near = zones_near(new.latitude, new.longitude)
    if len(near) < 2:
        return told
    choices = "   ".join(f"{n} {each.zone} ({each.name})" for n, each in enumerate(near, 1))
    return f"{told}\nAnother country? Its number as time zone: {choices}"


def in_order(text: str, new: NewFarm) -> str:
    """Days as the farm's country writes them: May 8 in the United States."""
    american = region_of(new.timezone) == "US"
    return _DAY.sub(r"\2 \1", text) if american else text


def _say_frost(new: NewFarm, _: date) -> str:
    if not new.last_frost and not new.first_frost:
        return "no frost"
    last, first = (
        ", ".join(f"{day_in_words(day)} ({chance.replace('%', ' %')})" for chance, day in (dates or {}).items())
        for dates in (new.last_frost, new.first_frost)
    )
    told = in_order(f"last frost {last}; first frost {first}", new)
    guess = f"! With one date the others are a guess, {USUAL_DAYS} days off: better from your weather service's table."
    return f"{told}. {guess}" if new.frost_guessed else told


def _say_places(new: NewFarm, _: date) -> str:
    return ", ".join(f"{name} ({'under cover' if cover else 'open'})" for name, cover in (new.places or {}).items())


STEPS = (
    Step(
        "Where",
        "Day length and seasons follow from the place. Give latitude, then longitude, in degrees (north and east are "
        "positive), or paste a map link that holds them. The country, with its time zone and units, is guessed.",
        (
            Ask("name", "the farm's name", "My nursery"), Ask("where", "latitude, longitude"),
            Ask("zone", "time zone, by number or name (empty: the first below)"),
            Ask("units", "units: metric or us (empty: that country's)"),
        ),
        _where,
        _say_where,
    ),
    Step(
        "Frost",
        "Your average last frost in spring and first frost in autumn. Three dates each are better, at 90, 50 and 10 %, "
        "from a weather service's table of frost chances: what is tender waits for the 10 %. Or name a file with a "
        "daily record of ten years beside the farm file (date,min,max). Where no frost comes: none.",
        (
            Ask("last", "last spring frost ({1}; or {0}, {1}, {2}; or thermometer.csv; or none)"),
            Ask("first", "first autumn frost ({1}; or {0}, {1}, {2}; or none)"),
        ),
        _frost,
        _say_frost,
    ),
    Step(
        "Temperatures",
        "With the mean daily highs and lows of the twelve months, buds, soil and leaves are dated by warmth. Paste the "
        "rows of any climate table, in your units. Empty: skip; dates then rest on frost and light.",
        (Ask("high", "twelve mean highs, January first"), Ask("low", "twelve mean lows, January first")),
        _warmth,
        lambda new, _: "twelve highs and twelve lows" if new.mean_max else "skipped",
    ),
    Step(
        "Places",
        f"Where plants and work are, with commas between. Usual ones: {', '.join(USUAL)}. Rename, add or leave out; "
        "write (under cover) or (open) after a name of your own.",
        (Ask("places", "places", ", ".join(PLACES)),),
        _places,
        _say_places,
    ),
    Step(
        "Hours",
        "How many hours a week you can work in the nursery: Widger measures each week against them.",
        (Ask("hours", "hours a week", "14"),),
        _hours,
        lambda new, _: f"{new.hours:g} hours a week",
    ),
    Step(
        "First batches",
        "Up to three: how many, the plant, its cultivar if it has one, the method, and after a comma the route where "
        "there are several. Common or Latin names. `in hand` at the end: its seed or wood is collected already. "
        "Empty: none.",
        (
            Ask("b1", "first (400 hazel seed, held cold)"), Ask("b2", "second (60 American elder hardwood)"),
            Ask("b3", "third (20 apple Bramley bench graft)"),
        ),
        _batches,
        say_batches,
    ),
)  # fmt: skip
