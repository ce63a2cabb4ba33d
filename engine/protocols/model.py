"""Protocols as data: a species by a method and route, its ordered steps with windows, waits, figures and sources."""

from __future__ import annotations

from collections.abc import Mapping

from engine.almanac.almanac import say_days
from engine.almanac.marks import Definitions
from engine.almanac.phrases import Phrase
from engine.almanac.windows import Window
from engine.odds.ranges import usual_range
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass, field, replace

AIMS = ("early", "middle", "late")
LIGHTS = ("sun", "half", "shade")
"""What a plant asks for."""
LAYERS = ("tall", "middle", "shrub", "herb", "ground", "climber")
"""Of a planting, from above."""

UNPUBLISHED = ("common practice", "from memory")
"""How a source begins that names no publication."""


@dataclass(frozen=True, slots=True)
class Days:
    """At least so many days and, where there is one, at most so many."""

    least: int
    most: int | None

    def __str__(self) -> str:
        if self.most is None:
            return f"at least {say_days(self.least)}"
        return say_days(self.least) if self.least == self.most else f"{self.least} to {say_days(self.most)}"


@dataclass(frozen=True, slots=True)
class After:
    """An earlier act that this one waits for, with a wait of its own where it has one."""

    do: str
    wait: Days | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """An act on a day, which may start something that lasts. Survival is a share (0 to 1), rates are units an hour."""

    do: str
    place: str = ""
    windows: tuple[Window, ...] = ()
    """It may be done in any of them, in the order of a season; none: on any day."""
    best_until: tuple[Phrase, ...] = ()
    after: tuple[After, ...] | None = None
    """None: the step before it."""
    wait: Days | None = None
    """From the end of what it comes after to this act; on a first step, from the batch's start."""
    lasts: Days = Days(0, 0)
    best: Days | None = None
    """Within what it lasts, what is meant; its least is only what is enough."""
    look_days: int | None = None
    look_for: str = ""
    aim: str = "early"
    survive: float | None = None
    batches_run: tuple[float, float] | None = None
    """The shares between which nine batches of ten come out; None: by `batches_within`."""
    batches_within: float = 0.2
    """Where no range is given, how far from `survive` nine batches of ten come out at most; by role, unless said."""
    per_hour: float | None = None
    temperature_c: tuple[float, float] | None = None
    medium: str = ""
    room: str = ""
    note: str = ""
    cautions: tuple[str, ...] = ()
    source: Mapping[str, str] = field(default_factory=dict)
    role: Role = Role.CARE
    form: str = ""
    """What a lot is after it; nothing where it stays what it was."""

    @property
    def phrases(self) -> tuple[Phrase, ...]:
        """Every phrase that opens or closes one of its windows."""
        return tuple(phrase for window in self.windows for phrase in (*window.opens, *window.closes))

    @property
    def runs(self) -> tuple[float, float] | None:
        """The shares between which nine batches of ten come out; None where the step loses nothing."""
        if self.survive is None:
            return None
        return self.batches_run or usual_range(self.survive, self.batches_within)

    @property
    def endures(self) -> bool:
        """Whether it starts something that lasts."""
        return self.lasts.least != 0 or self.lasts.most != 0


@dataclass(frozen=True, slots=True)
class Protocol:
    """One species by one method and route. `origin` says where it comes from, for `widger check`.

    The method `takes` something from a stock plant (cuttings, scions, seed …) and, where that is put on something else,
    `onto` says what; a lot begins in a `form`, and `multiplies` where one plant gives several.
    """

    species: str
    method: str
    route: str
    steps: tuple[Step, ...]
    note: str = ""
    origin: str = "library"
    takes: str = "cuttings"
    onto: str = ""
    form: str = "cutting"
    multiplies: bool = False

    def index(self, do: str) -> int:
        """The number of the step of that name. Raises LookupError where there is none."""
        for k, step in enumerate(self.steps):
            if step.do == do:
                return k
        raise LookupError(f'{self.method} of {self.species} has no step "{do}"')

    def first(self, role: Role) -> int | None:
        """The first step of that role; None where there is none."""
        return next((k for k, step in enumerate(self.steps) if step.role is role), None)

    def role(self, do: str) -> Role:
        """The role of the step of that name."""
        return self.steps[self.index(do)].role

    def after(self, k: int) -> tuple[After, ...]:
        """What step k comes after: as it says, else the step before it."""
        own = self.steps[k].after
        if own is not None:
            return own
        return (After(self.steps[k - 1].do),) if k else ()

    def before(self, do: str) -> frozenset[str]:
        """Every step that this one waits for, near and far."""
        found: set[str] = set()
        todo = [do]
        while todo:
            for after in self.after(self.index(todo.pop())):
                if after.do not in found:
                    found.add(after.do)
                    todo.append(after.do)
        return frozenset(found)

    def at(self, places: Mapping[str, str]) -> Protocol:
        """The same protocol with other places where its steps name some of these."""
        if not any(step.place in places for step in self.steps):
            return self
        return replace(self, steps=tuple(replace(s, place=places.get(s.place, s.place)) for s in self.steps))

    def without(self, dropped: frozenset[str]) -> Protocol:
        """The same protocol where some steps are not done: what came after them comes after what they waited for."""
        if not dropped:
            return self
        kept: list[Step] = []
        for k, step in enumerate(self.steps):
            if step.do not in dropped:
                after = tuple(dict.fromkeys(self._beyond(k, dropped)))
                kept.append(replace(step, after=after))
        return replace(self, steps=tuple(kept))

    def _beyond(self, k: int, dropped: frozenset[str]) -> list[After]:
        found: list[After] = []
        for after in self.after(k):
            if after.do in dropped:
                found += [After(a.do, after.wait) for a in self._beyond(self.index(after.do), dropped)]
            else:
                found.append(after)
        return found


@dataclass(frozen=True, slots=True)
class Species:
    """A species of the library: names, habit, cautions, and how its marks differ from the site's."""

    latin: str
    common: tuple[str, ...] = ()
    form: str = ""
    cautions: tuple[str, ...] = ()
    marks: Definitions = field(default_factory=dict)
    bearing_years: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    spread_m: tuple[float, float] | None = None
    spacing_m: tuple[float, float] | None = None
    seeds_per_kg: tuple[float, float] | None = None
    seed_keeps_days: int | None = None
    drying_kills: bool = False
    hardy_c: float | None = None
    """The coldest night that established plants stand, degrees Celsius."""
    bloom_days: tuple[float, float] | None = None
    """Days from bud swell in which it blooms; before it: negative. None where the frost table's own hold."""
    bloom_bears_c: float | None = None
    """What its open bloom bears, degrees Celsius; None where the frost table's own holds."""
    height_m: tuple[float, float] | None = None
    grown_years: float | None = None
    """Years from planting until it is full grown."""
    light: str = ""
    """What light it asks for: sun, half or shade; nothing where its form says it (engine/protocols/habit.py)."""
    evergreen: bool = False
    source: Mapping[str, str] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """What a grower calls it: the first common name, else the Latin one."""
        return self.common[0] if self.common else self.latin

    def called(self, name: str) -> Species:
        """The same by another of its common names; itself where that is none of them."""
        if name not in self.common[1:]:
            return self
        return replace(self, common=(name, *(each for each in self.common if each != name)))
