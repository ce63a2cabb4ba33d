"""What an entry of the stock says, in a few words."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from engine.almanac.almanac import say_day, say_days
from engine.farm.places import MONTH_KEYS
from engine.journal.entry import Entry
from engine.protocols.forms import is_pot, plural, so_many
from engine.protocols.roles import role_of
from engine.reading.said import percent_given
from engine.reading.units import say_warmth
from engine.records.kinds import NEED_KINDS, PLANTING_KINDS, STOCK_PLANT_KINDS
from engine.records.values import number


def said_of_stock(kind: str, data: Mapping[str, Any]) -> str:
    """An entry in words, its lot and day left out; the kind itself where it is none of the stock's."""
    count, to = data.get("count"), data.get("to")
    for_whom = f" to {to}" if to else ""
    form, grade = str(data.get("form") or ""), str(data.get("grade") or "")
    many = so_many(count, form, grade)
    match kind:
        case "receive":
            source = f" from {data['from']}" if data.get("from") else ""
            origin = str(data.get("origin") or "bought")
            return f"{many} came to {data.get('place')}, {origin}{source}"
        case "move":
            return f"{many} moved from {data.get('place') or 'no place'} to {to}"
        case "pot_up":
            return f"{many} {_made(str(data.get('to_form') or 'pot'))} at {to or data.get('place')}"
        case "grade":
            grades = data.get("grades")
            told = ", ".join(f"{n} {name}" for name, n in grades.items()) if isinstance(grades, Mapping) else ""
            return f"{plural(form)} at {data.get('place')} graded: {told}"
        case "sell" | "give":
            unnamed = " without its name" if data.get("unnamed") else ""
            need = f" for {data['need']}" if data.get("need") else ""
            return f"{many} {'sold' if kind == 'sell' else 'given'}{unnamed}{for_whom}{need}"
        case "plant_out":
            return f"{many} planted out{f', {to}' if to else ''}"
        case "lose":
            return f"{many} lost{f', {cause}' if (cause := data.get('cause')) else ''}"
        case "count":
            return f"{many} counted at {data.get('place')}"
        case "split":
            return f"{many} split off as {data.get('into')}"
        case "join":
            return f"joined to {data.get('into')}"
        case "doubt":
            return "name not certain"
        case "verify":
            return "name certain"
        case "row":
            lots = data.get("lots")
            return f"{data.get('place')}, row {data.get('row')}: {len(lots) if isinstance(lots, list) else 0} lots"
    return kind


def _made(form: str) -> str:
    """`potted up in 1 L pots`, or `now liners`: that plants became of that form."""
    if not is_pot(form):
        return f"now {plural(form)}"
    return f"potted up{'' if form.lower() == 'pot' else f' in {plural(form)}'}"


def held(data: Mapping[str, Any]) -> str:
    """A form and grade: `liner, first`."""
    return ", ".join(str(part) for part in (data.get("form"), data.get("grade")) if part)


_OWN = frozenset({"made", "was"})
"""What an entry holds for Widger's own use: which entry made the thing that it names, what stood there before."""
_PER = {"each": "each", "hundred": "a hundred", "thousand": "a thousand", "oz": "an oz"}


def said(entry: Entry, units: str = "metric") -> str:
    """An entry in a few words, and its day; figures in the farm's units."""
    return f"{said_undated(entry, units)} ({say_day(entry.on.toordinal())})"


def said_undated(entry: Entry, units: str = "metric") -> str:
    """An entry in a few words, its day left out."""
    data = entry.data
    what = {
        "done": f"{data.get('step')} done, {_how_many(data)}"
        + (f" of {data['ordered']} ordered" if data.get("ordered", data.get("count")) != data.get("count") else "")
        + (f", from {data['from']}" if data.get("from") else "")
        + (f", potted at {data['place']}" if data.get("run") and data.get("place") else "")
        + (f", {data['left']} left" if data.get("left") else ""),
        "came": f"{data.get('count')} {data.get('item')} came to {data.get('step')}"
        + (f", from {data['from']}" if data.get("from") else ""),
        "look": f"looked at {data.get('step')}: {data.get('finding')}",
        "hold": f"{data.get('step')} held: {data.get('reason')}",
        "release": f"{data.get('step')} no longer held",
        "later": f"{data.get('step')} put off to {_day(data.get('to'))}",
        "drop": f"{data.get('step') or 'the whole lot'} dropped",
        "accept": "the next window accepted",
        "note": f"note: {data.get('text')}",
        "saw": f"saw {data.get('mark')}",
        "packed": f"{data.get('need')}: {data.get('count')} packed",
        "worked": f"{data.get('do')}, {data.get('place')}",
        "correct": ", ".join(filter(None, ("corrected", _what_is_right(data)))),
        "undo": "undone",
        "outage": f"{data.get('place')} at {_warmth(data, units)} for {say_days(data.get('days') or 0)}",
    }.get(entry.kind)
    what = what or said_of_planting(entry.kind, data) or said_of_setting(entry.kind, data)
    what = what or said_of_batch(entry.kind, data) or said_of_stock(entry.kind, data)
    named = ("batch", "lot", "need", "plant") if entry.kind == "correct" else ("batch", "lot")
    lot = next((f"{data[key]}: " for key in named if key in data), "")
    return f"{lot}{what}"


def _day(told: object) -> str:
    """`12 Apr 27` for a day as an entry has it; anything else as it is."""
    try:
        return say_day(date.fromisoformat(str(told)).toordinal(), True)
    except ValueError:
        return str(told)


def _warmth(data: Mapping[str, Any], units: str) -> str:
    celsius = number(data.get("temperature_c"))
    return f"{data.get('temperature_c')} °C" if celsius is None else say_warmth(celsius, units)


def _what_is_right(data: Mapping[str, Any]) -> str:
    """What a correction says: `on 5 Mar 27, count 170`."""
    now, gone = data.get("now"), data.get("without")
    told = [f"on {_day(data['day'])}"] if "day" in data else []
    told += [f"{key} {value}" for key, value in now.items() if key not in _OWN] if isinstance(now, Mapping) else []
    told += [f"no {key}" for key in gone if key not in _OWN] if isinstance(gone, list) else []
    return ", ".join(told)


def _how_many(data: Mapping[str, Any]) -> str:
    """How many an act was done to, or found and sent on: `170`, `66 alive, 60 go on`, `280 sound, 270 kept`."""
    if data.get("there", data.get("count")) != data.get("count"):
        role = role_of(str(data.get("step")))
        return f"{data['there']} {role.found}, {data.get('count')} {role.sent_on}"
    return str(data.get("count", "not counted"))


def said_of_batch(kind: str, data: Mapping[str, Any]) -> str:
    """A new batch or need, or a change to one, in a few words, a batch's name left out; nothing for other kinds."""
    if kind in NEED_KINDS:
        return said_of_need(kind, data)
    if kind in STOCK_PLANT_KINDS:
        return said_of_stock_plant(kind, data)
    dates = [("start", "from"), ("ready", "by")]
    if kind == "batch":
        plant = f"{data.get('species')} {data.get('cultivar', '')}".rstrip()
        route = f", {data['route']}" if data.get("route") else ""
        when = ", ".join(f"{word} {_day(data[key])}" for key, word in dates if data.get(key))
        return f"new batch, {data.get('count')} {plant}, {data.get('method')}{route}, {when}{_made_of(data)}"
    if kind == "change":
        told = [f"{data['count']} of it"] if "count" in data else []
        told += [f"{word} {_day(data[key])}" if data[key] else f"no {key} date" for key, word in dates if key in data]
        told += [f"cultivar {data['cultivar'] or 'none'}"] if "cultivar" in data else []
        told += [f"by {data['method']}"] if data.get("method") else []
        told += [str(data["route"])] if data.get("route") else []
        told += [_where_instead(data["places"])] if "places" in data else []
        told += [f"no {key}" for key in ("rootstock", "from", "came") if key in data and not data[key]]
        told += [_made_of(data).removeprefix(", ")] if _made_of(data) else []
        return f"now {', '.join(told)}"
    return ""


def _where_instead(places: object) -> str:
    """`at seed frame instead of seed beds`."""
    told = places.items() if isinstance(places, Mapping) else ()
    return ", ".join(f"at {name} instead of {word}" for word, name in told) or "at the places of its protocol"


def _made_of(data: Mapping[str, Any]) -> str:
    """The rootstock of a new batch, and whence and when its seed or wood came, as the end of a sentence."""
    words = (("rootstock", "on"), ("from", "its seed or wood from"), ("came", "came"))
    return "".join(f", {word} {_day(data[key])}" for key, word in words if data.get(key))


def said_of_need(kind: str, data: Mapping[str, Any]) -> str:
    """A new need, or what becomes of one, in a few words after its id."""
    told = [f"{data['count']} of it"] if "count" in data and kind == "amend" else []
    if "by" in data:
        told.append(f"by {_day(data['by'])}" if data["by"] else "whenever")
    if (sure := number(data.get("sure"))) is not None:
        told.append(f"{percent_given(sure)} sure")
    if kind == "amend":
        told += [f"{key} {data[key] or 'any'}" for key in ("form", "grade", "cultivar") if key in data]
    if "who" in data:
        told.append(f"for {data['who'] or 'nobody named'}")
    if kind == "need":
        plant = f"{data.get('species')} {data.get('cultivar', '')}".rstrip()
        form = [kind] if (kind := held(data)) else []
        wanted = f"{data.get('count')} {plant}"
        return f"{data.get('need')}: wanted, {', '.join((wanted, *form, *told))}"
    if kind == "withdraw":
        return f"{data.get('need')}: withdrawn" + (f", {data['reason']}" if data.get("reason") else "")
    return f"{data.get('need')}: now {', '.join(told)}"


def said_of_stock_plant(kind: str, data: Mapping[str, Any]) -> str:
    """New stock plants, or that they were grubbed out, in a few words after their id."""
    if kind == "grub_out":
        return f"{data.get('plant')}: grubbed out" + (f", {data['reason']}" if data.get("reason") else "")
    plant = f"{data.get('species')} {data.get('cultivar', '')}".rstrip()
    planted = f", planted {data['planted']}" if data.get("planted") else ""
    return f"{data.get('plant')}: {data.get('count')} stock plants, {plant}{planted}"


def said_of_setting(kind: str, data: Mapping[str, Any]) -> str:
    """A place, a price or the hours of a week as they are set now; nothing for other kinds."""
    now = data.get("now")
    told = now if isinstance(now, Mapping) else {}
    if kind == "hours":
        return f"hours a week: {say_hours(now)}"
    if kind == "price":
        of = f" of {data['species']}" if data.get("species") else ""
        if "gone" in told:
            return f"{data.get('item')}{of}: price removed"
        return f"{data.get('item')}{of} costs {say_price(told)}"
    if kind != "place":
        return ""
    if "name" in told:
        return f"place {data.get('place')} renamed {told['name']}"
    if "gone" in told:
        return f"place {data.get('place')} removed"
    parts = [("under cover" if told["under_cover"] else "in the open")] if "under_cover" in told else []
    for key, word in (("room", "room for"), ("serves", "stands for")):
        if key in told:
            listed = told[key] if isinstance(told[key], list) else [told[key]]
            parts.append(f"{word} {', '.join(map(str, listed))}" if listed else f"no {key} said")
    if "lot_loss_per_year" in told:
        share = number(told["lot_loss_per_year"])
        parts.append("no yearly loss said" if share is None else f"{percent_given(share)} of lots lost whole a year")
    return f"place {data.get('place')}: {', '.join(parts)}"


def say_hours(now: object) -> str:
    """`14`, or by month `Jan 6, Apr 20`, `14, Jul 8` where most are alike; `not said`."""
    if isinstance(now, Mapping):
        by_month = [(month.title(), number(now.get(month))) for month in MONTH_KEYS]
        given = [hours for _, hours in by_month if hours is not None]
        usual = max(given, key=given.count) if len(given) == len(by_month) and len(set(given)) < len(given) else None
        first = [] if usual is None else [f"{usual:g}"]
        return ", ".join(first + [f"{month} {hours:g}" for month, hours in by_month if hours not in (None, usual)])
    return f"{each:g}" if (each := number(now)) is not None else "not said"


def say_price(told: Mapping[str, Any]) -> str:
    """`1.2 each`, `105 a hundred`, `3.5 a packet of 200`: of a [[price]] table what it costs."""
    each = {unit: value if (read := number(value)) is None else f"{read:.10g}" for unit, value in told.items()}
    amount = " ".join(f"{value} {_PER.get(unit, f'a {unit}')}" for unit, value in each.items() if unit != "seeds")
    return amount + (f" of {told['seeds']}" if told.get("seeds") else "")


def said_of_planting(kind: str, data: Mapping[str, Any]) -> str:
    """What a walk found of a plant, or that it took a place over; nothing for other kinds."""
    if kind not in PLANTING_KINDS:
        return ""
    where = f"{data.get('planting')} {data.get('position')}"
    if kind == "took_over":
        return f"{where}: takes the place of its first choice"
    told = [f"{data.get('state')}" if data.get("state") != "note" else "note"]
    told += [str(data["cause"])] if data.get("cause") else []
    return f"{where}: {', '.join(told)}" + (f"; {data['note']}" if data.get("note") else "")
