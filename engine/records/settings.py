"""Places, prices and hours that the journal sets: as if the farm file said so, from the start, by the file's own rules.

The kinds of entries and their data:

    place  place (its name), now: of a [[place]] table what is new, or {"name": its new name}, or {"gone": true}; was
    price  item, species (none: any), now: of a [[price]] table what it costs, `{"each": 1.2}`, or {"gone": true}; was
    hours  now: hours_per_week, a number or by month; was

`was` is what the file said there, null where it said nothing. Where it says something else by now, the file was changed
since, and stands: what a grower writes there is never hidden by an entry that is older. A place that was renamed serves
for its old name, by which steps, the file and older entries still mean it: also where the file has the new name by now.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from engine.farm.model import Farm, Place
from engine.farm.places import MONTH_KEYS, read_hours, read_place
from engine.farm.protocols import species_named
from engine.journal.entry import Entry
from engine.protocols.names import same_name
from engine.reading.frozen import replace
from engine.reading.problems import Findings
from engine.reading.table import Table
from engine.records.kinds import SETTING_KINDS
from engine.records.strays import stray
from engine.records.values import Unfit, text_in

if TYPE_CHECKING:
    from engine.farm.prices import Price

NAME, GONE = "name", "gone"
"""What an entry sets of a place that gets another name, and of what is no more."""
_KEPT = 8
"""So many states of the journal are remembered: a correction looks at several."""
Said = dict[str, Any]
"""A table as the farm file would have it."""


class Misread(Unfit):
    """What an entry sets, and the file's own reader refuses, with its remedy."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


def as_set(farm: Farm, entries: Iterable[Entry], strays: list[str]) -> Farm:
    """The farm of a file as these entries set it, the same for the same entries; what sets nothing is told in `strays`.

    `entries` are those that stand, in order: the later one stands over the one before.
    """
    told = tuple(entry for entry in entries if entry.kind in SETTING_KINDS)
    if not told:
        return farm
    key = tuple((entry.id, entry.kind, repr(entry.data)) for entry in told)
    if key not in farm.set_by:
        if len(farm.set_by) > _KEPT:
            farm.set_by.clear()
        own: list[str] = []
        farm.set_by[key] = _as_set(farm, told, own), tuple(own)
    found, own_strays = farm.set_by[key]
    strays.extend(own_strays)
    return found


def _as_set(farm: Farm, entries: Iterable[Entry], strays: list[str]) -> Farm:
    now = farm
    for entry in entries:
        try:
            if not overtaken(farm, entry):
                now = set_by(now, entry.kind, entry.data)
        except Unfit as reason:
            strays.append(stray(entry, entry.data.get("place") or entry.data.get("item") or "", str(reason)))
    return farm if now is farm else replace(now, unset=farm)


def set_by(farm: Farm, kind: str, data: Mapping[str, Any]) -> Farm:
    """The farm as one entry sets it. Raises Unfit with what the file's reader says."""
    if kind == "place":
        return _with_place(farm, text_in(data, "place"), _table(data))
    if kind == "price":
        return _with_price(farm, text_in(data, "item"), text_in(data, "species"), _table(data))
    return _with_hours(farm, data.get("now"))


def overtaken(farm: Farm, entry: Entry) -> bool:
    """Whether the file says something else by now than when the entry was recorded; `farm` is of the file alone."""
    data = entry.data
    if _renames(data):
        both = [place_of(farm, name) for name in (text_in(data, "place"), str(data["now"][NAME]))]
        return None not in both and both[0] is not both[1]
    return "was" in data and _plain(data["was"]) != _plain(said_there(farm, entry.kind, data))


def set_aside(farm: Farm, entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Of the entries that stand, those that set nothing any more, since the file says something else by now."""
    return tuple(e for e in entries if e.kind in SETTING_KINDS and not _unreadable(e) and overtaken(farm.of_file, e))


def _unreadable(entry: Entry) -> bool:
    now = entry.data.get("now")
    return entry.kind == "place" and not (isinstance(now, Mapping) and now)


def _renames(data: Mapping[str, Any]) -> bool:
    """Whether an entry gives a place another name."""
    now = data.get("now")
    return isinstance(now, Mapping) and set(now) == {NAME} and isinstance(now[NAME], str) and "place" in data


def _renamed(farm: Farm, old: str, new: str) -> Place | None:
    """The place that bears the new name, or is to; None where there is neither, or one of each."""
    before, after = place_of(farm, old), place_of(farm, new)
    return None if before is not None and after is not None and before is not after else before or after


def said_there(farm: Farm, kind: str, data: Mapping[str, Any]) -> Any:
    """What a farm says where an entry would set something: of a place only those keys. None where it says nothing."""
    if kind == "hours":
        return said_hours(farm)
    if kind == "price":
        price = price_of(farm, text_in(data, "item"), _latin(farm, text_in(data, "species")))
        return None if price is None else said_price(price)
    place = place_of(farm, text_in(data, "place"))
    if place is not None and _renames(data):
        return {NAME: place.name}
    return None if place is None else {key: said_place(place).get(key) for key in _table(data)}


# -- as a table of the file has it


def said_place(place: Place) -> Said:
    """A place as its table in the file would have it, all keys."""
    return {
        "under_cover": place.under_cover, "room": list(place.room), "serves": list(place.serves),
        "lot_loss_per_year": place.lot_loss_per_year,
    }  # fmt: skip


def said_price(price: Price) -> Said:
    """What a thing costs, as its table in the file would have it."""
    from engine.farm.prices import BY_COUNT, BY_WEIGHT, PACKET

    if price.whole:
        return {PACKET: price.amount, "seeds": int(price.count or 0)}
    units: Mapping[str, float] = BY_COUNT if price.kg is None else BY_WEIGHT
    size = price.count if price.kg is None else price.kg
    return {next(unit for unit, of in units.items() if of == size): price.amount}


def said_hours(farm: Farm) -> float | Said | None:
    """The hours of a week as the file would have them: one number for all months, or by month."""
    hours = farm.hours_by_month
    if len(set(hours)) == 1:
        return hours[0]
    return {month: each for month, each in zip(MONTH_KEYS, hours, strict=True) if each is not None}


def place_of(farm: Farm, name: str) -> Place | None:
    """The place of that name that the farm lists; None where it lists none."""
    return next((place for place in farm.places if same_name(place.name, name)), None)


def price_of(farm: Farm, item: str, latin: str) -> Price | None:
    """What that thing costs for just that species ("": for any); None where the farm does not say."""
    return next((price for price in farm.prices if (price.item, price.species) == (item, latin)), None)


# -- set


def _with_place(farm: Farm, name: str, told: Said) -> Farm:
    before = place_of(farm, name)
    if GONE in told:
        return replace(farm, places=tuple(each for each in farm.places if each is not before))
    if NAME in told:
        return _with_name(farm, name, str(told[NAME]))
    known: Said = {} if before is None else {"name": before.name, **said_place(before)}
    table = {"name": name, **known, **told}
    findings = Findings()
    place = read_place(Table({key: value for key, value in table.items() if value is not None}, (), findings))
    _check(findings, place)
    assert place is not None
    if before is None:
        return replace(farm, places=(*farm.places, place))
    return replace(farm, places=tuple(place if each is before else each for each in farm.places))


def _with_name(farm: Farm, old: str, new: str) -> Farm:
    place = _renamed(farm, old, new)
    if place is None:
        raise Misread(f'no place is called "{old}", or another is called "{new}" already')
    words = dict.fromkeys([*place.serves, place.name, old])
    serves = tuple(word for word in words if word != new)
    now = replace(place, name=new, serves=serves)
    return replace(farm, places=tuple(now if each is place else each for each in farm.places))


def _with_price(farm: Farm, item: str, species: str, told: Said) -> Farm:
    from engine.farm.prices import read_price

    if GONE in told:
        gone = price_of(farm, item, _latin(farm, species))
        return replace(farm, prices=tuple(each for each in farm.prices if each is not gone))
    findings = Findings()
    table = {"item": item, **told} | ({"species": species} if species else {})
    price = read_price(Table(table, (), findings))
    _check(findings, price)
    assert price is not None
    price = replace(price, species=_latin(farm, species))
    others = (each for each in farm.prices if (each.item, each.species) != (price.item, price.species))
    return replace(farm, prices=(*others, price))


def _with_hours(farm: Farm, told: object) -> Farm:
    findings = Findings()
    hours = read_hours(Table({"hours_per_week": told}, (), findings))
    _check(findings, None if all(each is None for each in hours) else hours)
    return replace(farm, hours_by_month=hours)


def _latin(farm: Farm, species: str) -> str:
    found = species_named(farm, species) if species else None
    return species if found is None else found.latin


def _table(data: Mapping[str, Any]) -> Said:
    told = data.get("now")
    if not isinstance(told, Mapping) or not told or (NAME in told and not _renames(data)):
        raise Misread("what it sets cannot be read")
    return dict(told)


def _check(findings: Findings, read: object) -> None:
    """Raises Misread with the first fault that the file's reader finds."""
    for _, message, hint in findings.found:
        raise Misread(message, hint)
    if read is None:
        raise Misread("it says nothing")


def _plain(value: Any) -> Any:
    """A value as it is compared: 14 and 14.0 are the same, and so are no room and none said."""
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items() if each not in (None, [])}
    return list(value) if isinstance(value, tuple) else value
