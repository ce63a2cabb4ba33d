"""The marks of the season and what each rests on, unless the farm file or a species says otherwise.

A mark is a phrase, or the latest or earliest of several: frost rules at cold sites, light at mild ones, and temperature
where the site gives it. The rules on frost and light are from a grower's practice and memory, tried against the frost
rows of Iowa and Seattle, not from a source; those on temperature were tried against published days of bud swell, thawed
soil and leaf drop, and stand beside the reason for each.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from engine.almanac.phrases import FROST_MARKS, SUN_MARKS, WARMTH_MARKS, MarkBase, Phrase, PhraseFault, parse_phrase
from engine.reading.frozen import dataclass
from engine.reading.limits import LONGEST_CHAIN
from engine.reading.texts import REMEDY, unfit

DEFAULT_MARKS: Mapping[str, Any] = {
    "soil workable": {"latest": ["last frost - 5 weeks", "day length rises to 11 h"]},
    "bud swell": {"latest": ["last frost - 4 weeks", "day length rises to 11 h"]},
    "bark slips (spring)": "bud swell + 3 weeks",
    "bark slips (spring) ends": "bud swell + 8 weeks",
    "softwood firm": "bud swell + 8 weeks",
    "softwood firm ends": {"latest": ["longest day + 2 weeks", "softwood firm + 2 weeks"]},
    "soil warm": "last frost (10%)",
    # When the first soft fruit of the year ripens, from which the others are counted.
    "first fruit": "longest day",
    "bark slips (summer)": "longest day + 4 weeks",
    "bark slips (summer) ends": {"earliest": ["day length falls to 13 h", "first frost - 4 weeks"]},
    "leaf drop": {"earliest": ["first frost + 3 weeks", "day length falls to 9 h 30 m + 1 week"]},
    "soil cold": "first frost + 4 weeks",
    # Where leaves hang late, wood rests all the same for three weeks at least before the buds swell.
    "deep dormancy": {"earliest": ["leaf drop + 6 weeks", "bud swell - 4 weeks"]},
    "deep dormancy ends": "bud swell - 1 week",
    # Where the season is longer the ground does not freeze hard enough to stop the work.
    "ground freeze": {"earliest": ["first frost + 8 weeks"], "where_frost_free_days_under": 170},
    "ground freeze ends": {"earliest": ["soil workable"], "where_frost_free_days_under": 170},
    # Where beds can be worked from autumn to spring, what is dormant may be planted or stuck all winter.
    "open winter": {"earliest": ["leaf drop"], "where_never": "ground freeze"},
    "open winter ends": {"earliest": ["soil workable"], "where_never": "ground freeze"},
    "beds open": {"earliest": ["soil workable", "open winter"]},
}
WARM_MARKS: Mapping[str, Any] = {
    # A growing season is said to begin at a mean of 5 or 6 C (Mitchell & Hulme 2002, Weather 57:196; textbooks).
    "soil workable": {"latest": ["mean rises to 6 C", "shortest day + 6 weeks"]},
    # 85 met the published days (mean error 5.3) better than 75 (6.3), and the last days of cutting wood in Oregon.
    "bud swell": "degree days above 5 C reach 85",
    "softwood firm": {"latest": ["degree days above 5 C reach 400", "longest day - 8 weeks"]},
    # In a cool spring growth is slower and bark slips longer: growers graft nuts at a mean of about 14 C.
    "bark slips (spring) ends": {"latest": ["bud swell + 8 weeks", "mean rises to 14 C"]},
    # Where no day's mean is below 10 C, soil is warm as soon as it is workable.
    "soil warm": {"latest": ["mean rises to 10 C", "shortest day + 6 weeks"]},
    # Fruit ripens by the warmth of the season: 600 degrees have come about the longest day at 42 to 52 degrees north,
    # weeks sooner in the south (black cherry, Mississippi, June and July: Agriculture Handbook 727, Prunus table 2).
    "first fruit": {"earliest": ["degree days above 5 C reach 600", "longest day + 3 weeks"]},
    # In a long summer this year's buds are ripe by June: California budded in July, Florida from June (Wickson 1914,
    # One Thousand Questions in California Agriculture; Hume 1906, The Pecan and its Culture).
    "bark slips (summer)": {"earliest": ["degree days above 5 C reach 1500", "longest day + 4 weeks"]},
    # 7 C met the published days of leaf drop better than 9 C did, which had North Otago bare 26 days too soon. Where
    # neither comes, leaves drop about 4 weeks before the coldest day (Melbourne: at the beginning of June).
    "leaf drop": {
        "earliest": [
            "mean falls to 7 C",
            "day length falls to 9 h 30 m + 1 week",
            "coldest day - 4 weeks",
            "first frost + 4 weeks",
        ]
    },
    "soil cold": {"earliest": ["mean falls to 7 C", "coldest day - 3 weeks"]},
    "deep dormancy": {"earliest": ["mean falls to 5 C", "coldest day - 4 weeks"]},
    "ground freeze": "mean falls to -2 C",
    "ground freeze ends": {"earliest": ["mean rises to 2 C"], "where_comes": "ground freeze"},
    "open winter": {"earliest": ["leaf drop"], "where_never": "mean falls to 2 C"},
    "open winter ends": {"earliest": ["soil workable"], "where_never": "mean falls to 2 C"},
}
"""What the defaults become where the site gives its monthly temperatures."""


@dataclass(frozen=True, slots=True)
class Definition:
    """What a mark rests on: one phrase, or the latest or earliest of several."""

    phrases: tuple[Phrase, ...]
    latest: bool = True
    frost_free_under: int | None = None
    """The mark comes only where the frost-free season is shorter than so many days."""
    where_comes: Phrase | None = None
    """The mark comes only where this does."""
    where_never: Phrase | None = None
    """The mark comes only where this never does."""

    @property
    def text(self) -> str:
        """The definition as a farm file could write it."""
        if len(self.phrases) == 1:
            return self.phrases[0].text
        return ("latest of " if self.latest else "earliest of ") + "; ".join(p.text for p in self.phrases)

    def rests_on(self) -> frozenset[str]:
        """The names of the marks that it asks for itself."""
        phrases = (*self.phrases, *(p for p in (self.where_comes, self.where_never) if p is not None))
        named = {phrase.base.name for phrase in phrases if isinstance(phrase.base, MarkBase)}
        return frozenset(named if self.frost_free_under is None else {*named, *FROST_MARKS})


Definitions = Mapping[str, Definition]


def mark_name(text: str) -> str:
    """The name of a mark as it is kept: lower case, single spaces."""
    return " ".join(text.lower().split())


def name_fault(name: str) -> PhraseFault | None:
    """What is wrong with the name of a mark that a phrase would read otherwise: as a date, a chance, an offset."""
    if wrong := unfit(name):
        return PhraseFault(f"the name of a mark {wrong}", REMEDY)
    try:
        read = parse_phrase(name)
    except PhraseFault:
        read = None
    if read is not None and read.base == MarkBase(name) and not read.offset:
        return None
    return PhraseFault(
        f'no mark can be called "{name}": in a phrase it could not be read as a name',
        'give it a name in words, such as "rooks nest", without a day, a number at its end, a chance, + or -',
    )


def read_definition(value: Any) -> Definition:
    """A definition as the farm file writes it. Raises PhraseFault where it cannot be read."""
    if isinstance(value, str):
        return Definition((parse_phrase(value),))
    if isinstance(value, Mapping):
        ways = [way for way in ("latest", "earliest") if way in value]
        unknown = set(value) - {"latest", "earliest", "where_frost_free_days_under", "where_comes", "where_never"}
        under, comes, never = (value.get(f"where_{key}") for key in ("frost_free_days_under", "comes", "never"))
        readable = (under is None or isinstance(under, int)) and all(
            p is None or isinstance(p, str) for p in (comes, never)
        )
        if len(ways) == 1 and not unknown and readable:
            texts = value[ways[0]]
            if isinstance(texts, list) and texts and all(isinstance(t, str) for t in texts):
                where, nowhere = (None if p is None else parse_phrase(p) for p in (comes, never))
                return Definition(tuple(parse_phrase(t) for t in texts), ways[0] == "latest", under, where, nowhere)
    raise PhraseFault(
        "a mark is a phrase, or the latest or earliest of several",
        'write "last frost - 5 weeks" or {earliest = ["first frost + 2 weeks", "day length falls to 9 h 30 m"]}',
    )


DEFAULTS: Definitions = {name: read_definition(value) for name, value in DEFAULT_MARKS.items()}


@cache
def warm_defaults() -> Definitions:
    """The defaults of a site that gives its temperatures."""
    return {**DEFAULTS, **{name: read_definition(value) for name, value in WARM_MARKS.items()}}


def unknown_marks(phrase: Phrase, known: Mapping[str, Definition]) -> PhraseFault | None:
    """The fault of a phrase on a mark that nobody has defined, with the nearest good spelling."""
    base = phrase.base
    given = (*FROST_MARKS, *SUN_MARKS, *WARMTH_MARKS)
    if not isinstance(base, MarkBase) or base.name in given or base.name in known:
        return None
    names = [*given, *known, "day length rises to 10 h", "day length falls to 14 h", "mean rises to 10 C"]
    from difflib import get_close_matches  # only a fault needs it

    near = get_close_matches(base.name, names, 1, 0.5)
    return PhraseFault(
        f'"{phrase.text}": no mark is called "{base.name}"',
        f'did you mean "{near[0]}"?' if near else "`widger dates` lists the marks",
    )


def too_deep(marks: Definitions) -> tuple[str, ...]:
    """The marks of one layer that rest on more than LONGEST_CHAIN others in a row, or on a circle of as many."""
    rests = {
        name: {base.name for phrase in definition.phrases if isinstance(base := phrase.base, MarkBase)}
        & marks.keys() - {name}
        for name, definition in marks.items()
    }
    bears: dict[str, list[str]] = {}
    for name, others in rests.items():
        for other in others:
            bears.setdefault(other, []).append(name)
    depth = {name: 0 for name, others in rests.items() if not others}
    waiting = {name: len(others) for name, others in rests.items() if others}
    ready = list(depth)
    for name in ready:  # it grows as those are found that rest on what is known
        for user in bears.get(name, ()):
            waiting[user] -= 1
            if not waiting[user]:
                del waiting[user]
                depth[user] = 1 + max(depth[other] for other in rests[user])
                ready.append(user)
    deep = [name for name, steps in depth.items() if steps > LONGEST_CHAIN]
    return (*deep, *(waiting if len(waiting) > LONGEST_CHAIN else ()))


def circle(definitions: tuple[Definitions, ...], name: str) -> tuple[str, ...] | None:
    """The chain of marks by which `name` depends on itself, or None; a layer may refine a lower one by its name."""

    def walk(current: str, level: int, path: tuple[str, ...]) -> tuple[str, ...] | None:
        here = next((k for k in range(level, -1, -1) if current in definitions[k]), None)
        if here is None:  # a mark may refine itself only where a lower layer has it
            return path if current in path[:-1] else None
        if (current, here) in seen:
            return path if current == name else None
        seen.add((current, here))
        for phrase in definitions[here][current].phrases:
            base = phrase.base
            if isinstance(base, MarkBase):
                down = here - 1 if base.name == current else len(definitions) - 1
                if found := walk(base.name, down, (*path, base.name)):
                    return found
        return None

    seen: set[tuple[str, int]] = set()
    return walk(name, len(definitions) - 1, (name,))
