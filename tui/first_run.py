"""The first run: six answers on the screen, each explained and checked while it is typed; then the farm file."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.filter import LineFilter
from textual.widgets import Input, Label, Static

from engine.acts.action import Refused, say_refusal
from engine.almanac.frost import USUAL_DAYS, example_days
from engine.almanac.thermometer import read_record
from engine.almanac.years import years_of
from engine.farm.region import region_of, zones_near
from engine.journal.store import JournalError
from engine.reading.frozen import dataclass, replace
from engine.reading.units import to_degrees
from tui.answers import USUAL, batch_of, frost_of, held_of, hours_of, months_of, places_of, spread, where_of
from tui.first_batches import record_in_hand, say_batches, started
from tui.light_or_dark import HARMLESS, begin_look, few_colours
from tui.newfarm import PLACES, NewFarm, read_new, write_new
from tui.own_faults import Netted, say_fault
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


def _in_order(text: str, new: NewFarm) -> str:
    """Days as the farm's country writes them: May 8 in the United States."""
    american = region_of(new.timezone) == "US"
    return _DAY.sub(r"\2 \1", text) if american else text


def _say_frost(new: NewFarm, _: date) -> str:
    if not new.last_frost and not new.first_frost:
        return "no frost"
    last, first = (
        ", ".join(f"{day} ({chance.replace('%', ' %')})" for chance, day in (dates or {}).items())
        for dates in (new.last_frost, new.first_frost)
    )
    told = _in_order(f"last frost {last}; first frost {first}", new)
    guess = f"! With one date the others are a guess, {USUAL_DAYS} days off: better from your weather service's table."
    return f"{told}. {guess}" if new.frost_guessed else told


def _say_places(new: NewFarm, _: date) -> str:
    return ", ".join(f"{name} ({'under cover' if cover else 'open'})" for name, cover in (new.places or {}).items())


def _said(refusal: Refused) -> str:
    return f"{refusal}" + (f" ({refusal.hint})" if refusal.hint else "")


STEPS = (
    Step(
        "Where",
        "Day length and seasons follow from the place. Give latitude, then longitude, in degrees (north and east are "
        "positive), or paste a map link that holds them. The country, with its time zone and units, is guessed.",
        (
            Ask("name", "the farm's name", "My nursery"), Ask("where", "latitude, longitude"),
            Ask("zone", "time zone: its number below, or its name (empty: the first below)"),
            Ask("units", "units: metric or us (empty: as in that country)"),
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
        "How many hours a week you can work in the nursery: each week is measured against them.",
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


class FirstRun(Netted, App[NewFarm]):
    """Six steps; Enter goes on, Esc back; the file is written after the last, and never before."""

    CSS = """
    Screen { background: $background; color: $foreground; }
    #steps { padding: 0 2; }
    .title { text-style: bold; color: $primary; margin-bottom: 1; }
    .why { margin-bottom: 1; }
    .hint { color: $secondary; }
    Label { width: 100%; }
    Input { height: 1; border: none; background: $panel; padding: 0 1; margin-bottom: 1; width: 76; max-width: 100%; }
    Input:focus { background: $accent; color: $background; text-style: bold; }
    Input:focus > .input--cursor { background: $background; color: $foreground; }
    .here { color: $accent; text-style: bold; }
    .fault { color: $error; text-style: bold; display: none; }
    .fault.said { display: block; }
    #told { margin: 0 0 1 0; }
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
        few = few_colours()
        super().__init__(ansi_color=few)
        begin_look(self, few)
        self.written = 0
        """As the net asks: nothing is written before the last step."""
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
                yield Label(self._label(ask, False), id=f"label-{ask.name}")
                yield Input(self._kept[ask.name], id=ask.name, select_on_focus=ask.name != "places", compact=True)
                yield Label("", id=f"fault-{ask.name}", classes="fault")
            yield Static("", id="told")
            yield Label(f"Enter next    Tab next field    Esc {'back' if self.at else 'leave'}", classes="hint")

    def on_mount(self) -> None:
        self._begin()

    def _begin(self) -> None:
        self.query_one(f"#{STEPS[self.at].asks[0].name}", Input).focus()
        self.on_descendant_focus()
        self._tell()

    def _label(self, ask: Ask, here: bool) -> Text:
        """What stands over a field, with a sign where one types."""
        made = self._made[self.at]
        spring, autumn = example_days(made.latitude)
        label = ask.label.format(*(autumn if ask.name == "first" else spring))
        return Text(f"{'▸' if here else ' '} {_in_order(label, made)}")

    def on_descendant_focus(self) -> None:
        """Show by sign and colour which field is typed into."""
        for ask in STEPS[self.at].asks:
            for label in self.query(f"#label-{ask.name}").results(Label):
                here = self.focused is not None and self.focused.id == ask.name
                label.update(self._label(ask, here))
                label.set_class(here, "here")

    def get_line_filters(self) -> Sequence[LineFilter]:
        return [*super().get_line_filters(), HARMLESS]

    def catch(self, error: BaseException, written: bool = False) -> None:
        """Tell a fault that the net has caught, and go on."""
        self._fail(say_fault(error, written))

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
            told.update(Text(STEPS[self.at].says(self._take(self._given()), self.on)))
            told.remove_class("refused")
        except Refused as refusal:
            empty = not any(self._given()[ask.name] for ask in STEPS[self.at].asks if not ask.value)
            told.update(Text("" if empty else _said(refusal)))
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
            for fault in self.query(".fault"):
                fault.remove_class("said")
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
            field = self._at_fault(str(refusal))
            fault = self.query_one(f"#fault-{field.id}", Label)
            fault.update(Text("! " + _said(refusal)))
            fault.add_class("said")
            self.query_one("#told", Static).update("")
            field.focus()
            fault.scroll_visible(animate=False)
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
            record_in_hand(self.path, new, self.on)
        except FileExistsError:
            self._fail(f"{self.path} already exists; nothing was changed")
        except (OSError, ValueError) as fault:
            self._fail(f"{self.path} cannot be written: {getattr(fault, 'strerror', None) or fault}")
        except JournalError as fault:  # the file that was written just now would stand in the way of the next try
            self.path.unlink(missing_ok=True)
            self._fail(say_refusal(fault))
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
