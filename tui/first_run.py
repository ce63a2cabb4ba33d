"""The first run: six answers on the screen, each explained and checked while it is typed; then the farm file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input, Label, Static

from engine.acts.action import Refused
from engine.almanac.thermometer import read_record
from engine.almanac.years import years_of
from engine.farm.region import region_of, zone_near
from engine.reading.frozen import dataclass, replace
from tui.answers import USUAL, batch_of, frost_of, hours_of, months_of, places_of, where_of
from tui.newfarm import PLACES, NewFarm, read_new, write_new
from tui.palette import THEMES
from tui.thermometer import Unreadable, record_text

Given = Mapping[str, str]


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
    says: Callable[[NewFarm], str]


def _where(new: NewFarm, given: Given, path: Path, on: date) -> NewFarm:  # noqa: ARG001
    north, east = where_of(given["where"])
    zone = given["zone"] or zone_near(north, east)
    units = given["units"].lower() or ("us" if region_of(zone) == "US" else "metric")
    return replace(
        new, name=given["name"] or new.name, latitude=north, longitude=east, timezone=zone, units=units,
        last_frost={}, first_frost={},
    )  # fmt: skip


def _frost(new: NewFarm, given: Given, path: Path, on: date) -> NewFarm:  # noqa: ARG001
    if given["last"].lower().endswith(".csv"):
        return _recorded(new, given["last"], path)
    return replace(new, last_frost=frost_of(given["last"], True), first_frost=frost_of(given["first"], False))


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
            tuple(round(c * 1.8 + 32 if new.units == "us" else c, 1) for c in months)
            for months in (years.temperature.mean_max, years.temperature.mean_min)
        )
    return replace(new, last_frost=last, first_frost=first, mean_max=high, mean_min=low, record=name)


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
    for text in filter(None, given.values()):
        found.append(batch_of(farm, text, on, [str(each["id"]) for each in found]))
    return replace(new, batches=found)


def _say_frost(new: NewFarm) -> str:
    if not new.last_frost and not new.first_frost:
        return "no frost"
    last, first = (
        ", ".join(f"{day} ({chance.replace('%', ' %')})" for chance, day in (dates or {}).items())
        for dates in (new.last_frost, new.first_frost)
    )
    return f"last frost {last}; first frost {first}"


def _say_places(new: NewFarm) -> str:
    return ", ".join(f"{name} ({'under cover' if cover else 'open'})" for name, cover in (new.places or {}).items())


def _say_batches(new: NewFarm) -> str:
    told = [
        f"{each['id']}: {each['count']} {each['species']}, {each['method']}"
        + (f", {each['route']}" if each.get("route") else "")
        for each in new.batches or ()
    ]
    return "\n".join(told) or "none yet: b on the batches screen begins one"


STEPS = (
    Step(
        "Where",
        "Day length and seasons follow from the place. Give latitude, then longitude, in degrees (north and east are "
        "positive), or paste a map link that holds them. The time zone and the units are guessed; correct them here.",
        (
            Ask("name", "the farm's name", "My nursery"), Ask("where", "latitude, longitude"),
            Ask("zone", "time zone (empty: as guessed)"), Ask("units", "units: metric or us (empty: as guessed)"),
        ),
        _where,
        lambda new: f"{new.latitude:g}, {new.longitude:g}; {new.timezone}; {new.units}",
    ),
    Step(
        "Frost",
        "One date each is enough: the day after which frost still comes (before which it has come) in one year of two. "
        "Three are better, at 90, 50 and 10 %: a weather service's freeze-probability table has them. Or name a file "
        "with a daily record of ten years beside the farm file (date,min,max). Where no frost comes: none.",
        (
            Ask("last", "last spring frost (8 May; or 24 Apr, 8 May, 22 May; or thermometer.csv; or none)"),
            Ask("first", "first autumn frost (3 Oct; or 19 Sep, 3 Oct, 17 Oct; or none)"),
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
        lambda new: "twelve highs and twelve lows" if new.mean_max else "skipped",
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
        "How many hours a week you can work in the nursery: each week is measured against them.",
        (Ask("hours", "hours a week", "14"),),
        _hours,
        lambda new: f"{new.hours:g} hours a week",
    ),
    Step(
        "First batches",
        "Up to three: how many, the plant, the method, and after a comma the route where there are several. "
        "Common or Latin names. Empty: none; add them later on the batches screen.",
        (
            Ask("b1", "first (400 hazel seed, held cold)"), Ask("b2", "second (60 elder hardwood)"),
            Ask("b3", "third"),
        ),
        _batches,
        _say_batches,
    ),
)  # fmt: skip


class FirstRun(App[NewFarm]):
    """Six steps; Enter goes on, Esc back; the file is written after the last, and never before."""

    CSS = """
    Screen { background: $background; color: $foreground; }
    #steps { padding: 1 2; }
    .title { text-style: bold; color: $primary; margin-bottom: 1; }
    .why { margin-bottom: 1; }
    .hint { color: $secondary; }
    Label { width: 100%; }
    Input { height: 1; border: none; background: $panel; padding: 0 1; margin-bottom: 1; width: 76; max-width: 100%; }
    #told { margin: 1 0; }
    .refused { color: $error; text-style: bold; }
    """
    TITLE = "Widger"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "back", "back", priority=True),
        Binding("down", "app.focus_next", show=False),
        Binding("up", "app.focus_previous", show=False),
    ]

    def __init__(self, path: Path, on: date) -> None:
        super().__init__()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = "widger-dark"
        self.path, self.on, self.at = path, on, 0
        self._kept: dict[str, str] = {ask.name: ask.value for step in STEPS for ask in step.asks}
        self._made = [NewFarm()]
        """The farm before each step that was reached."""

    def compose(self) -> ComposeResult:
        step = STEPS[self.at]
        with VerticalScroll(id="steps", can_focus=False):
            yield Label(f"A new farm: {self.at + 1} of {len(STEPS)}   {step.title}", classes="title")
            yield Label(Text(step.told), classes="why")
            for ask in step.asks:
                yield Label(Text(ask.label))
                yield Input(self._kept[ask.name], id=ask.name, select_on_focus=True, compact=True)
            yield Static("", id="told")
            yield Label(f"Enter next    Tab next field    Esc {'back' if self.at else 'leave'}", classes="hint")

    def on_mount(self) -> None:
        self._begin()

    def _begin(self) -> None:
        first = next((ask.name for ask in STEPS[self.at].asks if not self._kept[ask.name]), STEPS[self.at].asks[0].name)
        self.query_one(f"#{first}", Input).focus()
        self._tell()

    def _given(self) -> dict[str, str]:
        return {ask.name: self.query_one(f"#{ask.name}", Input).value.strip() for ask in STEPS[self.at].asks}

    def _take(self, given: Given) -> NewFarm:
        """The farm with this step's answers. Raises Refused by the rules of the farm file."""
        new = STEPS[self.at].take(self._made[self.at], given, self.path, self.on)
        tried = new if new.batches is not None else replace(new, batches=())
        for problem in read_new(tried, self.on, str(self.path)).problems:
            raise Refused(problem.message, problem.hint)
        return new

    def _tell(self) -> None:
        told = self.query_one("#told", Static)
        try:
            told.update(Text(STEPS[self.at].says(self._take(self._given()))))
            told.remove_class("refused")
        except Refused as refusal:
            empty = not any(self._given()[ask.name] for ask in STEPS[self.at].asks if not ask.value)
            told.update(Text("" if empty else f"{refusal}" + (f" ({refusal.hint})" if refusal.hint else "")))
            told.set_class(not empty, "refused")

    def _at_fault(self, told: str) -> Input:
        """The field that was refused: the first with which, and all before it, the same is said."""
        given, asks = self._given(), STEPS[self.at].asks
        for n in range(1, len(asks) + 1):
            known = {ask.name for ask in asks[:n]}
            try:
                self._take({name: text if name in known else "" for name, text in given.items()})
            except Refused as refusal:
                if str(refusal) == told and not (asks[n - 1].value and len(asks) > 1):
                    return self.query_one(f"#{asks[n - 1].name}", Input)
        return self.query_one(f"#{asks[-1].name}", Input)

    def on_input_changed(self) -> None:
        if self.query("#told") and all(self.query(f"#{ask.name}") for ask in STEPS[self.at].asks):
            self._tell()

    async def on_input_submitted(self, event: Input.Submitted) -> None:
        fields = list(self.query(Input))
        after = fields.index(event.input) + 1
        if after < len(fields):
            fields[after].focus()
            return
        try:
            new = self._take(self._given())
        except Refused as refusal:
            told = self.query_one("#told", Static)
            told.update(Text(f"{refusal}" + (f" ({refusal.hint})" if refusal.hint else "")))
            told.add_class("refused")
            self._at_fault(str(refusal)).focus()
            return
        self._kept |= self._given()
        if self.at + 1 == len(STEPS):
            self._write(new)
            return
        self._made[self.at + 1 :] = [new]
        self.at += 1
        await self.recompose()
        self._begin()

    def _write(self, new: NewFarm) -> None:
        try:
            write_new(self.path, new, self.on)
        except FileExistsError:
            self._fail(f"{self.path} already exists; nothing was changed")
        except (OSError, ValueError) as fault:
            self._fail(f"{self.path} cannot be written: {getattr(fault, 'strerror', None) or fault}")
        else:
            self.exit(new)

    def _fail(self, told: str) -> None:
        self.query_one("#told", Static).update(Text(told))
        self.query_one("#told", Static).add_class("refused")

    async def action_back(self) -> None:
        """To the step before, with what was typed; from the first, out, and nothing is written."""
        if not self.at:
            self.exit(None)
            return
        self._kept |= self._given()
        self.at -= 1
        await self.recompose()
        self._begin()
