"""From TOML tables to protocols and species, every fault noted where it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from engine.almanac.marks import Definition, mark_name, name_fault, read_definition, too_deep
from engine.almanac.phrases import PhraseFault
from engine.almanac.windows import Window
from engine.odds.ranges import WIDEST
from engine.protocols.forms import MATERIALS
from engine.protocols.model import AIMS, LIGHTS, After, Days, Protocol, Species, Step
from engine.protocols.roles import Role, form_by, known_steps, role_of, usual_within
from engine.reading.amounts import pair_of_celsius
from engine.reading.frozen import dataclass, field, replace
from engine.reading.limits import LONGEST_CHAIN, MOST_AN_HOUR, SELDOMEST
from engine.reading.problems import nearest
from engine.reading.table import Table
from engine.reading.texts import plain

StepFields = Mapping[str, Any]
ONE_WINDOW = ("opens", "closes")
WINDOWS = "write windows = [{opens = […], closes = […]}, …]"
_NO_STEP = "take it out of omit"
_IN_DAYS = ("wait_days", "lasts_days", "best_days")


@dataclass(frozen=True, slots=True)
class Draft:
    """A protocol as one file writes it: only what it names. Drafts are laid over one another to make a Protocol."""

    species: str
    method: str
    route: str
    steps: tuple[StepFields, ...]
    tables: tuple[Table, ...]
    table: Table
    also: tuple[str, ...] = ()
    omit: tuple[str, ...] = ()
    whole: bool | None = None
    note: str = ""
    origin: str = "library"
    nature: Mapping[str, Any] = field(default_factory=dict)
    """What the method takes, what form comes of it, whether it multiplies: as far as this file says so."""
    like: str = ""
    """The known method whose nature a new one has."""
    extends: str = ""
    """The route of the same species and method on which this one goes on, in the library."""

    def titled(self, method: str) -> str:
        """What it is for, with the settled name of its method."""
        return f"{self.species or 'any species'}, {method}" + (f", {self.route}" if self.route else "")


def forms_of(drafts: Iterable[Draft]) -> Iterator[str]:
    """The forms that these name: what comes of a method, or of a step."""
    for draft in drafts:
        yield from (str(each["form"]) for each in (draft.nature, *draft.steps) if each.get("form"))


def read_draft(table: Table, origin: str) -> Draft | None:
    """Read a [[protocol]] table; None where its method is missing or it has no steps to speak of."""
    species = table.text("species", required=origin == "farm") or ""
    method = table.text("method", required=True)
    steps_tables = table.tables("step")
    fields = [read_step(step, of_farm=origin == "farm") for step in steps_tables]
    kept = [(f, t) for f, t in zip(fields, steps_tables, strict=True) if f.get("do")]
    seen: set[str] = set()
    for values, step_table in kept:
        if values["do"] in seen:
            step_table.fault("do", f'two steps are called "{values["do"]}"', "step names are unique within a protocol")
        seen.add(values["do"])
    nature = {
        key: value for key, read in _NATURE.items() if key in table.values and (value := read(table, key)) is not None
    }
    draft = Draft(
        species=species,
        method=(method or "") if origin == "library" else (method or "").lower(),
        route=table.text("route") or "",
        steps=tuple(f for f, _ in kept),
        tables=tuple(t for _, t in kept),
        table=table,
        also=table.texts("also") or (),
        omit=table.texts("omit") or (),
        whole=table.flag("whole"),
        note=table.text("note") or "",
        origin=origin,
        nature=nature,
        like=table.text("like") or "",
        extends=(table.text("extends") or "") if origin == "library" else "",
    )
    table.finish(_NATURE)
    return draft if method else None


def _says_room(text: str, table: Table) -> bool:
    """A farm's own is checked at once; the library's by its tests, and it is read where it is asked for."""
    from engine.protocols.room import RoomFault, read_room

    try:
        read_room(text)
    except RoomFault as fault:
        table.fault("room", f"room: {fault}", fault.hint)
        return False
    return True


def read_step(table: Table, of_farm: bool = False) -> StepFields:
    """The fields that a [[protocol.step]] names, read; faults are noted."""
    do = table.text("do", required=True)
    values: dict[str, Any] = {} if do is None else {"do": do}
    for key, given in table.values.items():
        read = _STEP.get(key)
        value = given if read is Table.text and plain(given) else None if read is None else read(table, key)
        if value is not None:
            values[key.removesuffix("_days") if key in _IN_DAYS else key] = value
    if "windows" in values and (beside := next((key for key in ONE_WINDOW if key in table.values), None)):
        table.fault(beside, f"{beside} stands beside windows", f"put it into one of them: {WINDOWS}")
        values = {key: value for key, value in values.items() if key not in ONE_WINDOW}
    if of_farm and "room" in values and not _says_room(values["room"], table):
        del values["room"]
    table.finish(_STEP)
    return values


def read_species(table: Table) -> Species | None:
    """Read a [[species]] table of the library or of a farm file."""
    latin = table.text("latin", required=True)
    marks = read_marks(table.table("marks"))
    bearing = table.raw("bearing_years")
    if bearing is not None and not (isinstance(bearing, dict) and all(map(_pair_of_numbers, bearing.values()))):
        table.fault("bearing_years", "bearing_years is a table of pairs", "write bearing_years = {seed = [4, 6]}")
        bearing = None
    species = Species(
        latin=latin or "",
        common=table.texts("common") or (),
        form=table.text("form") or "",
        cautions=table.texts("cautions") or (),
        marks=marks,
        bearing_years={k: (float(v[0]), float(v[1])) for k, v in (bearing or {}).items()},
        spread_m=_pair(table, "spread_m"),
        spacing_m=_pair(table, "spacing_m"),
        seeds_per_kg=_pair(table, "seeds_per_kg"),
        seed_keeps_days=table.whole("seed_keeps_days", 0, 20_000),
        drying_kills=table.flag("drying_kills") or False,
        hardy_c=table.number("hardy_c", -70, 20),
        bloom_days=_pair(table, "bloom_days"),
        bloom_bears_c=table.number("bloom_bears_c", -30, 5),
        height_m=_pair(table, "height_m"),
        grown_years=table.number("grown_years", 1, 200),
        light=table.choice("light", LIGHTS) or "",
        evergreen=table.flag("evergreen") or False,
        source=_read_source(table) or {},
    )
    table.finish()
    return species if latin else None


def read_marks(table: Table | None) -> dict[str, Definition]:
    """Marks by name from a [marks] table."""
    marks: dict[str, Definition] = {}
    for key in table.values if table else ():
        assert table is not None
        name = mark_name(key)
        try:
            definition = read_definition(table.raw(key))
            if fault := name_fault(name):
                raise fault
            marks[name] = definition
        except PhraseFault as fault:
            table.fault(key, f"{key}: {fault}", fault.hint)
    deep = set(too_deep(marks))
    for key in table.values if table and deep else ():
        if marks.get(mark_name(key)) is not None and mark_name(key) in deep:
            assert table is not None
            told = f'mark "{key}" depends on more than {LONGEST_CHAIN} others, one on the next'
            table.fault(key, told, "base it on frost, light or a date, or on fewer marks")
    return {name: definition for name, definition in marks.items() if name not in deep}


def build(drafts: list[Draft], species: str, general: Draft | None = None) -> Protocol:
    """Lay drafts over one another, the first undermost, and make the protocol. Faults go to the drafts' tables.

    `general` is the method whose nature it has, as far as the drafts do not say otherwise.
    """
    top = drafts[-1]
    nature: dict[str, Any] = {} if general is None else dict(general.nature)
    steps: list[dict[str, Any]] = []
    home: dict[str, Table] = {}
    for draft in drafts:
        nature |= draft.nature
        steps = [s for s in steps if s["do"] not in draft.omit]
        for name in draft.omit:
            if name not in home:
                draft.table.fault("omit", f'omit: no step is called "{name}"', nearest(name, home) or _NO_STEP)
        for values, table in zip(draft.steps, draft.tables, strict=True):
            _lay(steps, values, table)
            home[values["do"]] = table
    names = [s["do"] for s in steps]
    made: list[Step] = []
    for values in steps:
        table = home[values["do"]]
        for after in values.get("after") or ():
            if after.do not in names:
                table.fault("after", f'after: no step is called "{after.do}"', nearest(after.do, names))
        kept = tuple(a for a in values.get("after") or () if a.do in names)
        fields = {k: v for k, v in values.items() if k not in ("before", *ONE_WINDOW)}
        if "after" in fields:
            fields["after"] = kept
        fields.setdefault("role", role_of(fields["do"]))
        fields.setdefault("form", form_by(fields["do"]))
        if "survive" in fields and not fields.keys() & {"batches_run", "batches_within"}:
            fields["batches_within"] = usual_within(fields["role"])
            fields["source"] = {**fields.get("source", {}), "batches_within": known_steps().within_source}
        if values.get("opens") or values.get("closes"):
            fields.setdefault("windows", (Window(values.get("opens", ()), values.get("closes", ())),))
        step = Step(**fields)
        best = _best_within(step, table)
        made.append(step if best is step.best else replace(step, best=best))
    note = next((d.note for d in reversed(drafts) if d.note), "")
    return Protocol(species, top.method, top.route, tuple(made), note, top.origin, **nature)


def _lay(steps: list[dict[str, Any]], values: StepFields, table: Table) -> None:
    for step in steps:
        if step["do"] == values["do"]:
            over = _written_over(step, values, table)
            for key in over:
                step.pop(key, None)
            # A figure that is written over takes no source from the one beneath.
            given = values.keys() | over
            given |= {f"{key}_days" for key in given}
            source = {k: v for k, v in step.get("source", {}).items() if k not in given} | values.get("source", {})
            # A danger of the general method stays a danger: cautions add up, where all else is replaced.
            cautions = tuple(dict.fromkeys((*step.get("cautions", ()), *values.get("cautions", ()))))
            kept = values if "windows" not in step else {k: v for k, v in values.items() if k not in ONE_WINDOW}
            step.update(kept, source=source, cautions=cautions)
            return
    before = values.get("before")
    at = next((k for k, s in enumerate(steps) if s["do"] == before), len(steps))
    if before is not None and at == len(steps):
        table.fault("before", f'before: no step is called "{before}"', nearest(before, (s["do"] for s in steps)))
    steps.insert(at, dict(values))


def _written_over(step: StepFields, values: StepFields, table: Table) -> set[str]:
    """What else of a step beneath falls by what is laid over it: its windows, the best of its days, a mean's range."""
    whole = "windows" in values or all(key in values for key in ONE_WINDOW)  # another season: its best time is another
    falls = {"best": "lasts" in values, "batches_run": "survive" in values, "best_until": whole}
    over = {key for key, fallen in falls.items() if fallen and key not in values}
    if "windows" in values:
        return over | set(ONE_WINDOW)
    if "windows" in step and (given := [key for key in ONE_WINDOW if key in values]):
        if len(given) == len(ONE_WINDOW):
            return over | {"windows"}
        told = f"{given[0]}: this step has several windows, and it does not say which of them"
        table.fault(given[0], told, f"write both opens and closes for one window, or {WINDOWS}")
    return over


def _best_within(step: Step, table: Table) -> Days | None:
    best, lasts = step.best, step.lasts
    if best is None:
        return None
    if best.most is None:
        table.fault("best_days", "best_days is a pair of days", "write best_days = [60, 90]")
    elif best.least < lasts.least or (lasts.most is not None and best.most > lasts.most):
        hint = "widen lasts_days, or give best_days within it"
        table.fault("best_days", f"best_days, {best}, reaches beyond lasts_days, {lasts}", hint)
    else:
        return best
    return None


def _read_windows(table: Table, key: str) -> tuple[Window, ...] | None:
    """Several windows; one of which nothing can be used is left out."""
    value = table.raw(key)
    if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
        table.fault(key, f"{key} is a list of windows", WINDOWS)
        return None
    windows: list[Window] = []
    for item in table.tables(key):
        window = Window(*(item.phrases(side) or () for side in ONE_WINDOW))
        if not any(side in item.values for side in ONE_WINDOW):
            item.fault(None, "a window says when it opens, when it closes, or both", WINDOWS)
        elif not window.always:
            windows.append(window)
        item.finish(ONE_WINDOW)
    return tuple(windows)


def _read_after(table: Table, key: str) -> tuple[After, ...]:
    value = table.raw(key)
    found: list[After] = []
    for item in value if isinstance(value, list) else [value]:
        if isinstance(item, str):
            found.append(After(item))
        elif isinstance(item, dict) and isinstance(item.get("do"), str) and set(item) <= {"do", "wait_days"}:
            wait = table.days_of(item.get("wait_days"), key)
            found.append(After(item["do"], None if wait is None else Days(*wait)))
        else:
            table.fault(key, "after names earlier steps", 'write after = ["soak"], or {do = "soak", wait_days = 3}')
    return tuple(found)


def _read_source(table: Table, key: str = "source") -> dict[str, str] | None:
    source = table.raw(key)
    if source is None or (isinstance(source, dict) and all(isinstance(v, str) for v in source.values())):
        return source
    table.fault(key, "source is a table of texts", 'write source = {lasts_days = "common practice"}')
    return None


def _pair(table: Table, key: str) -> tuple[float, float] | None:
    value = table.raw(key)
    if value is None:
        return None
    if not _pair_of_numbers(value):
        table.fault(key, f"{key} is a pair of numbers, the smaller first", f"write {key} = [1, 2]")
        return None
    return float(value[0]), float(value[1])


def _pair_of_numbers(value: Any) -> bool:
    return (
        isinstance(value, list)
        and len(value) == 2
        and all(isinstance(v, int | float) and not isinstance(v, bool) and abs(v) <= 1e9 for v in value)
        and value[0] <= value[1]
    )


def _read_days(table: Table, key: str) -> Days | None:
    days = table.days(key)
    return None if days is None else Days(*days)


def _read_runs(table: Table, key: str) -> tuple[float, float] | None:
    """Between which shares nine batches of ten come out; told where it does not hold the mean, or tells nothing."""
    value, mean = table.raw(key), table.values.get("survive")
    if not (_pair_of_numbers(value) and 0 <= value[0] < value[1] <= 1):
        table.fault(key, f"{key} is a pair of shares from 0 to 1, the smaller first", f"write {key} = [0.25, 0.6]")
        return None
    low, high = float(value[0]), float(value[1])
    if isinstance(mean, bool) or not isinstance(mean, int | float):
        table.fault(key, f"{key} needs the mean beside it", "write survive = 0.42 in the same step")
    elif not low <= mean <= high:
        table.fault(key, f"survive = {mean:g} is outside {key} = [{low:g}, {high:g}]", "correct one of them")
    elif high - low >= WIDEST:
        table.fault(key, f"{key} = [{low:g}, {high:g}] is too wide to mean anything", "say the range of most batches")
    else:
        return low, high
    return None


def _read_temperature(table: Table, key: str) -> tuple[float, float] | None:
    pair = pair_of_celsius(table.raw(key))
    if pair is None or not pair[0] <= pair[1]:
        table.fault(key, f"{key} is a pair of degrees Celsius", f'write {key} = [1, 5], or {key} = ["34 F", "41 F"]')
        return None
    return pair


_STEP: Mapping[str, Callable[[Table, str], Any]] = {
    "place": Table.text,
    "opens": Table.phrases,
    "closes": Table.phrases,
    "windows": _read_windows,
    "best_until": Table.phrases,
    "after": _read_after,
    "wait_days": _read_days,
    "lasts_days": _read_days,
    "best_days": _read_days,
    "look_days": lambda table, key: table.whole(key, 1, SELDOMEST),
    "look_for": Table.text,
    "aim": lambda table, key: table.choice(key, AIMS),
    "survive": lambda table, key: table.number(key, 0, 1),
    "batches_run": _read_runs,
    "batches_within": lambda table, key: table.number(key, 0.01, 0.45),
    "per_hour": lambda table, key: table.number(key, 0.01, MOST_AN_HOUR),
    "temperature_c": _read_temperature,
    "medium": Table.text,
    "room": Table.text,
    "note": Table.text,
    "cautions": Table.texts,
    "source": _read_source,
    "before": Table.text,
    "role": lambda table, key: None if (role := table.choice(key, Role)) is None else Role(role),
    "form": Table.text,
}
"""How each key of a [[protocol.step]] is read, but for its name."""
_NATURE: Mapping[str, Callable[[Table, str], Any]] = {
    "takes": lambda table, key: table.choice(key, MATERIALS),
    "onto": Table.text,
    "form": Table.text,
    "multiplies": Table.flag,
}
"""How the keys of a [[protocol]] are read that say what its method is."""
