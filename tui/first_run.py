"""The first run: six answers on the screen, each explained and checked while it is typed; then the farm file."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.events import Resize
from textual.filter import LineFilter
from textual.widgets import Input, Label, Static

from engine.acts.action import Refused, say_refusal
from engine.almanac.frost import example_days
from engine.journal.store import JournalError
from engine.reading.frozen import replace
from tui.first_batches import record_in_hand
from tui.first_run_steps import STEPS, Ask, Given, in_order
from tui.light_or_dark import HARMLESS, begin_look, few_colours
from tui.newfarm import NewFarm, read_new, write_new
from tui.own_faults import Netted, say_fault

LOW = 24
"""On a screen of fewer lines no line is left empty, and what is asked gives way to what comes of it."""


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
    .low .title, .low .why, .low Input, .low #told { margin: 0; }
    .refused { color: $error; text-style: bold; }
    """
    TITLE = "Widger"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "back", "back", priority=True),
        Binding("down", "app.focus_next", show=False),
        Binding("up", "app.focus_previous", show=False),
    ]

    def __init__(self, path: Path, on: date, named: bool = False) -> None:
        """The file that it writes, the day, and whether the grower named that file: a name may be a slip."""
        few = few_colours()
        super().__init__(ansi_color=few)
        begin_look(self, few)
        self.written = 0
        """As the net asks: nothing is written before the last step."""
        self.path, self.on, self.at = path, on, 0
        self.named = named
        self._kept: dict[str, str] = {ask.name: ask.value for step in STEPS for ask in step.asks}
        self._made = [NewFarm()]
        """The farm before each step that was reached."""

    def compose(self) -> ComposeResult:
        step = STEPS[self.at]
        with VerticalScroll(id="steps", can_focus=False):
            yield Label(f"A new farm: {self.at + 1} of {len(STEPS)}   {step.title}", classes="title")
            missing = f"There is no {self.path.name} yet: it is written after the last step. "
            yield Label(Text((missing if self.named and not self.at else "") + step.told), classes="why")
            for ask in step.asks:
                yield Label(self._label(ask, False), id=f"label-{ask.name}")
                yield Input(self._kept[ask.name], id=ask.name, select_on_focus=ask.name != "places", compact=True)
                yield Label("", id=f"fault-{ask.name}", classes="fault")
            yield Static("", id="told")
            yield Label(f"Enter next    Tab next field    Esc {'back' if self.at else 'leave'}", classes="hint")

    def on_mount(self) -> None:
        self._begin()

    def on_resize(self, event: Resize) -> None:
        self.screen.set_class(event.size.height < LOW, "low")
        self.call_after_refresh(self._make_room)

    def _make_room(self) -> None:
        """Leave out the explanation where, with what was made of the answers, it does not fit on a low screen."""
        told, why = self.query("#told").results(Static), self.query(".why").results(Label)
        for words, explanation in zip(told, why, strict=True):
            full = self.query_one("#steps").max_scroll_y > 0
            if self.screen.has_class("low") and full and str(words.render()):
                explanation.display = False

    def _begin(self) -> None:
        self.query_one(f"#{STEPS[self.at].asks[0].name}", Input).focus()
        self.on_descendant_focus()
        self._tell()

    def _label(self, ask: Ask, here: bool) -> Text:
        """What stands over a field, with a sign where one types."""
        made = self._made[self.at]
        spring, autumn = example_days(made.latitude)
        label = ask.label.format(*(autumn if ask.name == "first" else spring))
        return Text(f"{'▸' if here else ' '} {in_order(label, made)}")

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
            told.update(Text("" if empty else say_refusal(refusal)))
            told.set_class(not empty, "refused")
        self.call_after_refresh(self._make_room)

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
            fault.update(Text("! " + say_refusal(refusal)))
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
