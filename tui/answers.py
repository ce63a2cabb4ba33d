"""What is typed of a farm itself, in the six answers of a first run and in the forms of the site: numbers, dates and
names; the rules are the farm file's own."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from engine.acts.action import Refused
from engine.acts.batches import find_species, find_way, first_id, must_be_own
from engine.acts.free_ids import first_free
from engine.almanac.frost import USUAL_DAYS
from engine.farm.model import Farm
from engine.farm.places import MONTH_KEYS
from engine.farm.protocols import meant_method, species_named, ways_of
from engine.protocols.library import read_methods
from engine.protocols.names import plain
from engine.reading.limits import MOST_HOURS
from engine.reading.problems import nearest
from engine.reading.said import whole_or_not
from engine.reading.written import read_number
from tui.typed_days import day_in_words

USUAL = {
    "cold store": True, "potting shed": True, "grafting bench": True, "propagation bench": True, "mist bench": True,
    "warm shelf": True, "cold frame": True, "polytunnel": True, "greenhouse": True, "nursery beds": False,
    "seed beds": False, "stock beds": False, "standing ground": False,
}  # fmt: skip
"""Places that many nurseries have, and whether each is under cover."""
_ANGLE = re.compile(
    r"(?<![\d.])(\d{1,3}(?:\.\d{1,20})?)\s*[°º]?\s*(?:(\d{1,2}(?:\.\d{1,20})?)\s*['′’]\s*)?"
    r"(?:(\d{1,2}(?:\.\d{1,20})?)\s*[\"″”]\s*)?([NSEW])\b",
    re.I,
)
_DECIMAL = re.compile(r"[-−]?(?<!\d)\d{1,3}\.\d{1,20}")
_NUMBER = re.compile(r"[-−]?\d+(?:\.\d+)?")
_IN_HAND = re.compile(r"(.*?)[\s,]+in hand", re.I)
_NONE = ("", "none", "no", "-")
_CHANCES = ("90%", "50%", "10%")
"""That a last frost still comes, in the order of the year; that a first one has come, the other way round."""


def where_of(text: str) -> tuple[float, float]:
    """Latitude and longitude in degrees, from numbers, from degrees and minutes, or from a link that holds them.

    Raises Refused.
    """
    angles = _ANGLE.findall(text)
    if len(angles) >= 2:
        sides = {side.upper(): int(d.split(".")[0]) + _fraction(d, m, s) for d, m, s, side in angles}
        north = sides.get("N", -sides["S"] if "S" in sides else None)
        east = sides.get("E", -sides["W"] if "W" in sides else None)
        if north is not None and east is not None:
            return _on_earth(north, east)
    numbers = _DECIMAL.findall(text)
    if len(numbers) < 2:
        numbers = _NUMBER.findall(text)
        if len(numbers) != 2:
            raise Refused("give latitude, then longitude", "such as 52.31, -2.94, or paste a map link that holds them")
    north, east = (float(number.replace("−", "-")) for number in numbers[:2])
    return _on_earth(north, east)


def _fraction(degrees: str, minutes: str, seconds: str) -> float:
    return float(degrees) % 1 + float(minutes or 0) / 60 + float(seconds or 0) / 3600


def _on_earth(north: float, east: float) -> tuple[float, float]:
    if abs(north) > 90 or abs(east) > 180:
        raise Refused(f"{north:g}, {east:g} is not a place on earth", "latitude -90 to 90, then longitude -180 to 180")
    return round(north, 5), round(east, 5)


def frost_of(text: str, spring: bool, units: str = "metric") -> dict[str, str]:
    """Dates at their chances, as the farm file has them: one is the 50% one, three are in the order of the year.

    None where no frost comes. A day in numbers (`9/25`) is read in the order of the units. Raises Refused.
    """
    if not text.strip():
        raise Refused(f"when does the {'last' if spring else 'first'} frost come?", "give a date, or none")
    if text.strip().lower() in _NONE:
        return {}
    days = [_day_first(day_in_words(each, units)) for each in re.split(r"[,;]|\s/\s", text) if each.strip()]
    chances = {1: ("50%",), 3: _CHANCES if spring else _CHANCES[::-1]}.get(len(days))
    if chances is None:
        raise Refused(f"{len(days)} dates", "give one (the 50 % date), or three: early, middle, late; or none")
    return dict(zip(chances, days, strict=True))


def spread(dates: Mapping[str, str], spring: bool) -> dict[str, str]:
    """A lone date with two more at the usual distance before and after it; other dates, and no date, as they are."""
    found = re.fullmatch(r"(\d\d)-(\d\d)", month_day(dates.get("50%", "")))
    if len(dates) != 1 or found is None:
        return dict(dates)
    middle = date(2000, int(found[1]), int(found[2]))
    early, late = (f"{middle + timedelta(days):%m-%d}" for days in (-USUAL_DAYS, USUAL_DAYS))
    return dict(zip(_CHANCES if spring else reversed(_CHANCES), (early, f"{middle:%m-%d}", late), strict=True))


def _day_first(text: str) -> str:
    """`May 8` as `8 May`; else as it is."""
    found = re.fullmatch(r"\s*([A-Za-z]+)\.?\s+(\d{1,2})\s*", text)
    return f"{found[2]} {found[1]}" if found else text.strip()


def months_of(text: str) -> tuple[float, ...]:
    """Twelve numbers from a row of a climate table, or none. Raises Refused."""
    numbers = _NUMBER.findall(text)
    if text.strip().lower() not in _NONE and len(numbers) != 12:
        raise Refused(f"{len(numbers)} numbers", "twelve are needed, January first; empty: skip them")
    return tuple(float(number.replace("−", "-")) for number in numbers)


def places_of(text: str) -> dict[str, bool]:
    """Each place and whether it is under cover: as is usual, or as said after its name in brackets. Raises Refused."""
    found: dict[str, bool] = {}
    for each in filter(None, (part.strip() for part in text.split(","))):
        said = re.fullmatch(r"(.+?)\s*\((.*)\)", each)
        name = " ".join((said[1] if said else each).split())
        told = plain(said[2]) if said else ""
        if told and told not in ("open", "under cover", "covered", "cover"):
            raise Refused(f"{name}: ({told}) is not understood", "write (open) or (under cover)")
        found[name] = "cover" in told if told else USUAL.get(name.lower(), False)
    if not found:
        raise Refused("name at least one place", "such as nursery beds")
    return found


def hours_of(text: str) -> float:
    """Hours a week. Raises Refused."""
    try:
        hours = float(text.strip().replace(",", "."))
    except ValueError:
        raise Refused(f'"{text.strip()}" is not a number of hours', "such as 14") from None
    if not 0 < hours <= 5000:
        raise Refused("hours a week are more than 0", "such as 14")
    return hours


def batch_of(farm: Farm, text: str, on: date, taken: Sequence[str]) -> dict[str, object]:
    """`400 hazel seed, held cold` as a batch of the farm file: its plant, its method and route found by their names.

    What stands between plant and method is the cultivar: `20 apple Bramley bench graft`. A route may be told by
    its number, as a refusal lists them. Raises Refused with what can be said instead.
    """
    first, _, route = text.partition(",")
    count, *words = first.split() or [""]
    if not count.isdigit() or not 0 < int(count) <= 1_000_000 or not words:
        raise Refused("say how many of what, and how", "such as 400 hazel seed")
    if len(words) > 1 and words[-1].isdecimal() and not route.strip():
        route = words.pop()
    for k in range(len(words), 0, -1):
        if species_named(farm, name := " ".join(words[:k])):
            break
    else:
        find_species(farm, " ".join(words))
        raise Refused(f'species "{" ".join(words)}" is not known')
    latin = find_species(farm, name).latin
    ways = ways_of(farm, latin)
    methods = dict.fromkeys(way.method for way in ways)
    cultivar, meant = _cultivar_and_method(farm, latin, name, words[k:], methods)
    routes = [way.route for way in ways if way.method == meant and way.route]
    route = _route_of(route.strip(), routes, f"{name} by {meant}")
    way = find_way(farm, latin, meant, (_only(_like(route, routes)) or route) if route.strip() else "")
    must_be_own(farm, find_species(farm, name), way.method, "you can choose another in the file once it is written")
    ident = first_free(first_id(name, on), {plain(each) for each in taken})
    found: dict[str, object] = {"id": ident, "species": name}
    found |= ({"cultivar": cultivar} if cultivar else {}) | {"method": way.method}
    return found | ({"route": way.route} if way.route else {}) | {"count": int(count)}


def _cultivar_and_method(
    farm: Farm, latin: str, name: str, words: Sequence[str], methods: Mapping[str, None]
) -> tuple[str, str]:
    """What is said after a plant's name: its cultivar, if any, and the method, by as many words as there can be.

    Raises Refused where the last words are no method: with the nearest, or with those by which the plant is raised.
    """
    known = [*methods, *read_methods(), *(a for m in read_methods().values() for a in m.also)]
    names = {plain(each) for each in (*known, *(draft.method for draft in farm.own))}
    for j in range(len(words)):
        said = " ".join(words[j:])
        method = meant_method(farm, latin, said)
        meant = _only([each for each in methods if plain(each) == plain(method)] or _like(method, methods))
        if meant or plain(method) in names:
            return " ".join(words[:j]).strip("'\"‘’“”"), meant or method
    for j in range(len(words)):
        if (near := nearest(said := " ".join(words[j:]), known)).startswith("did you mean"):
            raise Refused(f'method "{said}" is not known', near)
    whole = " ".join([name, *words])
    how = f"end with one of: {', '.join(methods)}" if methods else "end with a method, such as seed"
    raise Refused(f"say how you raise {whole}", how)


def _route_of(said: str, routes: Sequence[str], what: str) -> str:
    """The route that is meant, by its number or its name. Raises Refused with the routes to choose from."""
    if said.isdecimal() and 0 < int(said) <= len(routes):
        return routes[int(said) - 1]
    if len(routes) > 1 and (not said or said.isdecimal()):
        choices = "; ".join(f"{n} {route}" for n, route in enumerate(routes, 1))
        raise Refused(f"{what} has several routes", f"add a comma and the number of one: {choices}")
    return said


def held_of(text: str) -> tuple[str, bool]:
    """What is said of a batch, and whether its seed or wood is in hand already: `80 walnut seed, 1, in hand`."""
    found = _IN_HAND.fullmatch(text.strip())
    return (found[1].strip(), True) if found else (text.strip(), False)


def _like(text: str, names: Sequence[str] | Mapping[str, None]) -> list[str]:
    return [name for name in names if plain(text) and plain(text) in plain(name)]


def _only(names: Sequence[str]) -> str:
    """The one that is meant: the only one, or the one with which all the others begin."""
    shortest = min(names, key=len, default="")
    return shortest if all(name.startswith(shortest) for name in names) else ""


# -- what is changed of a farm that is there


def hours_by_month(text: str) -> float | dict[str, float]:
    """Hours a week: for all months, by month, or both: `14`, `Jan 6, Apr 20`, `20, Jul 8`. Raises Refused."""
    if not any(c.isalpha() for c in text):
        return whole_or_not(_of_a_week(hours_of(text)))
    first, _, rest = text.partition(",")
    found: dict[str, float] = {}
    if read_number(first) is not None and rest.strip():
        found, text = dict.fromkeys(MONTH_KEYS, whole_or_not(_of_a_week(hours_of(first)))), rest
    for part in filter(None, (each.strip() for each in re.split(r",(?!\d)", text))):
        name, _, hours = part.replace("=", " ").partition(" ")
        month = name.lower()[:3]
        if month not in MONTH_KEYS:
            raise Refused(f'"{name}" is not a month', "write 14, or by month: Jan 6, Apr 20; or 20, Jul 8")
        found[month] = whole_or_not(_of_a_week(number_told(hours, f"{name}: how many hours")))
    return found


def _of_a_week(hours: float) -> float:
    """Hours that a week has. Raises Refused."""
    if not 0 <= hours <= MOST_HOURS:
        raise Refused(f"hours a week: from 0 to {MOST_HOURS}, not {hours:g}")
    return hours


def price_of(text: str) -> dict[str, float]:
    """What a thing costs: `1.2 each`, `105 a hundred`, `14 a kg`, `3.5 a packet of 200`; alone it is for each.

    Raises Refused.
    """
    from engine.farm.prices import BY_COUNT, BY_WEIGHT, PACKET

    found = _PRICE.fullmatch(" ".join(text.lower().split()))
    word = (found[2] or "each") if found else ""
    names = {**_ALSO, **{unit: unit for unit in (*BY_COUNT, *BY_WEIGHT, PACKET)}}
    unit = names.get(word) or names.get(word.removesuffix("s"), "")
    if found is None or not unit:
        raise Refused(f'"{text.strip()}" is not a price', PRICES_WRITTEN)
    told = {unit: whole_or_not(number_told(found[1], "price"))}
    if found[3]:
        told["seeds"] = int(found[3].replace(",", ""))
    return told


def month_day(text: str) -> str:
    """A day of any year as the farm file has it: `8 May` is 05-08. Text that is none stays: the file's reader tells."""
    from engine.almanac.phrases import CalendarBase, PhraseFault, parse_phrase

    try:
        base = parse_phrase(text).base
    except PhraseFault:
        return text
    return f"{base.month:02}-{base.day:02}" if isinstance(base, CalendarBase) else text


def mark_of(text: str) -> str | dict[str, list[str]]:
    """The phrase of a mark, or the latest or earliest of several: `latest of last frost; day length rises to 11 h`."""
    words = " ".join(text.split())
    for way in ("latest", "earliest"):
        if words.lower().startswith(f"{way} of "):
            return {way: [part.strip() for part in words[len(way) + 4 :].split(";") if part.strip()]}
    return words


def with_unit(text: str, unit: str) -> float | str | None:
    """A measure as the farm file has it: a number is metric, else it says its unit; of a number alone, `unit`.

    None where nothing is typed.
    """
    words = text.strip().replace("−", "-")
    if not words:
        return None
    number = read_number(words)
    if number is None:
        return words  # the reader of the file says what it makes of it
    return f"{whole_or_not(number)} {unit}" if unit else whole_or_not(number)


def listed(text: str) -> list[str]:
    """What is listed with commas between: `40 trays, 12 m of row`; a thousand's comma parts nothing."""
    return [" ".join(part.split()) for part in re.split(r",(?!\d{3}\b)", text) if part.strip()]


def number_told(text: str, what: str) -> float:
    """A number from 0 on. Raises Refused, naming `what` is asked for."""
    number = read_number(text)
    if number is None or number < 0:
        raise Refused(f'{what}: "{text.strip()}" is not a number' if text.strip() else f"{what}? write a number")
    return number


PRICES_WRITTEN = "write 1.2 each, 105 a hundred, 14 a kg, or 3.5 a packet of 200"
_PRICE = re.compile(r"(\d[\d.,]{0,20}) ?(?:(?:an?|per|the|\/) ?)?([a-z0-9]{0,20})(?: of ([\d,]{1,20}))?(?: seeds)?")
_ALSO = {"100": "hundred", "1000": "thousand", "pound": "lb", "ounce": "oz", "gram": "g", "kilo": "kg"}
