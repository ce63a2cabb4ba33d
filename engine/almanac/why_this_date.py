"""Why a date is what it is, and why a phrase has none, in words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from engine.almanac.almanac import nearest_season, say_day, say_days, say_minutes
from engine.almanac.frost import USUAL_DAYS
from engine.almanac.phrases import (
    FROST_MARKS,
    SUN_MARKS,
    WARMTH_MARKS,
    Base,
    DayLengthBase,
    DegreeDaysBase,
    MarkBase,
    MeanBase,
    Phrase,
)
from engine.almanac.species_marks import FARM_LEVEL, definition_of
from engine.reading.said import percent

if TYPE_CHECKING:
    from engine.almanac.almanac import Almanac


def explain(almanac: Almanac, phrase: Phrase, season: int) -> str:
    """The phrase and, where it rests on a mark, that mark's date and what set it."""
    base = phrase.base
    if not isinstance(base, MarkBase) or base.name in SUN_MARKS:
        return phrase.text + _ahead(almanac, base, season)
    value = almanac.day_of(base, season)
    if value is None:
        return phrase.text
    said = _mark_reason(almanac, base, season, value)
    text = phrase.text
    if base.chance is not None and said == _chance(base.chance):  # the phrase has it, as a farm file does: (10%)
        text, said = re.sub(r"\([\d.]+%\)", f"({said})", text), ""
    if phrase.offset == 0:
        return text if said in (base.name, "") else f"{text} ({said})"
    return f"{text} ({base.name} {say_day(value)}{f': {said}' if said else ''})"


def reason(almanac: Almanac, name: str, season: int, chance: float | None = None) -> str:
    """What set the date of a mark in that season."""
    if name in SUN_MARKS:
        return "the solstice or equinox, in the site's time zone"
    if name in WARMTH_MARKS:
        return "of the normal year, by the site's temperatures"
    base = MarkBase(name, chance)
    value = almanac.day_of(base, season)
    if value is None:
        return why_never(almanac, Phrase(base, 0, name))
    return _mark_reason(almanac, base, season, value)


def why_never(almanac: Almanac, phrase: Phrase, above: frozenset[str] = frozenset()) -> str:
    """Why a phrase has no date at this site; `above` names the marks whose definitions led to it."""
    base = phrase.base
    if isinstance(base, DayLengthBase):
        way = "lengthens" if base.rising else "shortens"
        return f"the day never {way} to {say_minutes(base.minutes)} at latitude {almanac.site.latitude:g}"
    if isinstance(base, MeanBase | DegreeDaysBase) or (isinstance(base, MarkBase) and base.name in WARMTH_MARKS):
        if almanac.site.temperature is None:
            return "the site gives no temperatures ([site.temperature] with mean_max and mean_min, twelve each)"
        from engine.almanac import warmth_reached

        return warmth_reached.why_never(almanac.site.temperature, base)
    if isinstance(base, MarkBase):
        if base.name in FROST_MARKS:
            if (almanac.site.last_frost if base.name == "last frost" else almanac.site.first_frost) is not None:
                told = f"the site gives one {base.name} date only, so no other chance is known"
                return f"{told}: add its date at {percent(base.chance or 0.5)} ({USUAL_DAYS} days off, as a guess)"
            return f"the site has no {base.name} (frost-free)"
        definition, _ = definition_of(base.name, almanac.layers)
        if definition is not None:
            if definition.frost_free_under is not None and almanac.site.first_frost and almanac.site.last_frost:
                return f"it comes only where the frost-free season is under {definition.frost_free_under} days"
            if definition.where_comes is not None and almanac.comes(definition.where_comes) is None:
                return why_never(almanac, definition.where_comes, above | {base.name})
            if definition.where_never is not None and almanac.comes(definition.where_never) is not None:
                return f"it comes only where {definition.where_never.text} never does"
            above |= {base.name}
            rest = [p for p in definition.phrases if not (isinstance(p.base, MarkBase) and p.base.name in above)]
            if not rest:
                return f'the mark "{base.name}" depends on itself'
            return "; ".join(dict.fromkeys(why_never(almanac, p, above) for p in rest))
    return "it never comes"


def _ahead(almanac: Almanac, base: Base, season: int) -> str:
    """`, 9 days ahead by your thermometer`, where that moved it."""
    if almanac.usual is None:
        return ""
    now, usual = almanac.day_of(base, season), almanac.usual.day_of(base, season)
    if now is None or usual is None or now == usual:
        return ""
    return f", {say_days(abs(usual - now))} {'ahead' if now < usual else 'behind'} by your thermometer"


def _chance(chance: float) -> str:
    return f"{percent(chance)} chance"


def _mark_reason(almanac: Almanac, base: MarkBase, season: int, value: int) -> str:
    return _set_by(almanac, base, season, value) + _ahead(almanac, base, season)


def _set_by(almanac: Almanac, base: MarkBase, season: int, value: int) -> str:
    definition, found = definition_of(base.name, almanac.layers)
    if found <= FARM_LEVEL and almanac.sighted(base, season, found, definition) == value:
        return f"seen {say_day(value)}"
    if definition is None:
        frost = almanac.site.last_frost if base.name == "last frost" else almanac.site.first_frost
        if frost is not None and frost.single:
            return "the one date the site gives"
        chance = 0.5 if base.chance is None else base.chance
        return _chance(chance)
    for day, phrase in almanac.parts(definition, base.name, season, found):
        if day == value:
            inner = phrase.base
            if isinstance(inner, MarkBase) and inner.name not in SUN_MARKS:
                k = nearest_season(lambda s, p=phrase: almanac.occurrence(p, s), value)  # type: ignore[misc]
                own = inner.name == base.name
                below = found - 1 if own else None
                rest = almanac.day_of(inner, season if own or k is None else k, below)
                if own:
                    return f"{phrase.text}, where the site has {say_day(rest)}" if rest is not None else phrase.text
                if rest is not None and almanac.is_seen(inner, rest):
                    return f"{phrase.text}, {inner.name} seen {say_day(rest)}"
            return phrase.text
    return definition.text
