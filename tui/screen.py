"""What every screen has: the line of the screens, the head, a list, the facts of its line, and the foot."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import Screen
from textual.widgets import Static

from tui import farm_app
from tui.cells import ends
from tui.facts import Facts
from tui.lines import Lines
from tui.own_faults import Netted
from tui.screen_list import PLACES
from tui.top_and_foot import NAMES, Foot, Where

if TYPE_CHECKING:
    from engine.schedule.plan import Day
    from tui.farm_app import FarmApp

T = TypeVar("T")
WAITS = "being worked out …"
"""Stands at the head while it is."""
WIDE = 110
"""From so many columns on the facts stand beside the list."""
SHOWN = {key: name for name, key in NAMES.items()}
"""How a key is shown, by what Textual calls it."""
Ends = tuple[str, str]
"""What stands at the left and at the right end of a line."""


class FarmScreen(Netted, Screen[None]):
    """A screen on the farm. A subclass names its list, derives its lines, and says what stands around it."""

    app: FarmApp
    TITLE_OF_KEYS: ClassVar[str] = "Keys"
    LEAST_FACTS: ClassVar[int] = 30
    """Columns that the facts have beside the list at the least."""
    HINT_FOR_ALL: ClassVar[str] = ""
    """The keys that work on all lines that are marked."""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "undo", "undo the latest entry", id="undo"),
        Binding("U", "redo", "redo what was undone", id="redo"),
        Binding("e", "mend", "what was recorded: correct it or undo it", id="mend"),
        Binding("space", "mark", "mark the line: the next key acts on all that are marked", id="mark"),
        Binding("slash", "find", "find: plant, lot, step or place", key_display="/", id="find"),
        *(Binding(key, f"app.go('{name}')", told, id=f"go_{name}") for key, name, told, *_ in PLACES),
        Binding("v", "app.light_or_dark", "light or dark", id="light_or_dark"),
        Binding("question_mark", "keys", "help", key_display="?", id="keys"),
        Binding("q", "app.quit", "quit", id="quit"),
        Binding("escape", "clear_find", "clear what was typed, or the marks", show=False, id="clear_find"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.words = ""
        self.said = ""
        self._list: Lines[Any] | None = None
        self._painted = False

    def work(self, name: object, make: Callable[[Day], T], then: Callable[[T], None], whole: bool = False) -> None:
        """Have `make` make what is shown, and hand it to `then`: at once, but where there are so many lots that the
        keys would wait for it, or entries where it goes through the `whole` journal; what was shown stands until then.
        """
        app = self.app
        if len(app.house.records.lots) <= farm_app.MANY and not (whole and app.is_long()):
            then(make(app.day()))
        else:
            from tui.in_a_thread import work_out

            def arrived(found: T) -> None:
                if self.stands:
                    then(found)
                    self.share()

            work_out(self, name, make, arrived)

    # -- what a subclass says

    @abstractmethod
    def make_list(self) -> Lines[Any]:
        """The list of the screen."""

    @abstractmethod
    def derive(self) -> None:
        """Make the lines anew from the farm and its journal."""

    @abstractmethod
    def draw(self) -> None:
        """Put the lines that are wanted into the list, and the head above them."""

    @abstractmethod
    def head(self) -> tuple[Ends, ...]:
        """The lines at the head: two, or as many as the screen's style has room for."""

    @abstractmethod
    def facts(self) -> Text:
        """The facts of the line under the cursor."""

    def hint(self) -> str:
        """The keys that work on the line under the cursor."""
        return ""

    def lot_here(self) -> str:
        """The id of the lot under the cursor, or nothing."""
        return ""

    def flags(self) -> list[str]:
        """What narrows the list just now, and how many of its lines are marked."""
        marked = [f"{len(self.list.marked)} marked"] if self.list.marked else []
        return [*([f"/{self.words}"] if self.words else []), *marked]

    def signs(self) -> str:
        """What the signs of the screen mean, two spaces between them."""
        return ""

    def states(self) -> tuple[tuple[str, str], ...]:
        """What the states of its lines mean."""
        return ()

    # -- what all share

    def compose(self) -> ComposeResult:
        yield Where("where", lambda name: self.call_later(self.app.run_action, f"go('{name}')"))
        yield Static(id="head")
        with Container(id="main"):
            self._list = self.make_list()
            yield self._list
            yield Facts()
        yield Foot(self.app.simulate_key)

    def on_mount(self) -> None:
        self.list.focus()
        self.derive()
        self.share()

    @property
    def list(self) -> Lines[Any]:
        assert self._list is not None
        return self._list

    @property
    def stands(self) -> bool:
        """Whether there is something to draw on: not before it is composed, nor once Widger is closing."""
        return all(map(self.query, ("#where", "#head", "#foot", "Lines", "Facts")))

    def share(self) -> None:
        """Give the list the cells that it needs, and the facts beside it the rest, within reason."""
        facts = self.query_one(Facts)
        if self.size.width >= WIDE or self.app.size.width >= WIDE:
            width = self.size.width or self.app.size.width
            room = width - self.list.natural - 1
            facts.styles.width = max(self.LEAST_FACTS, min(width * 2 // 5, room))
        else:
            facts.styles.width = "100%"

    def restyle(self) -> None:
        """Draw anew what holds colours of its own."""
        self.show_where()
        self.show_head()
        self.show_foot()
        self._show_facts()

    def show_where(self) -> None:
        self.query_one(Where).show(type(self).__name__, self.app.house.farm.name, self.size.width - 1)

    def show_head(self) -> None:
        width = max(40, self.size.width - 2)
        first, *more = self.head()
        text = Text(ends(*first, width), style="bold")
        for line in more:
            text.append("\n" + ends(*line, width), style="not bold")
        self.ink(text)
        self.query_one("#head", Static).update(text, layout=False)  # its height is set

    def ink(self, head: Text) -> None:
        """Colour what presses in the head."""

    def show_foot(self) -> None:
        flags, hint = self.flags(), self.HINT_FOR_ALL if self.list.marked else self.hint()
        told = f"[{', '.join(flags)}]" if flags else ""
        undo = bool(self.said) and self.app.can_undo()  # which looks through the entries
        self.query_one(Foot).show(told, self.said, hint, undo, max(40, self.size.width - 2))

    def tell(self, words: str) -> None:
        """Say what has just happened in the line at the foot, until the cursor moves."""
        self.said = words
        self.show_foot()

    @on(Lines.Moved)
    def _moved(self, message: Lines.Moved) -> None:
        if not message.fresh:
            self.said = ""
        self.show_foot()
        if self._painted:
            self._show_facts()
        else:  # the list first, the facts a frame later
            self._painted = True
            self.call_after_refresh(self._show_facts)
            self.call_after_refresh(self.painted)

    def painted(self) -> None:
        """The first frame is there: what could wait for it is made."""

    def _show_facts(self) -> None:
        self.query_one(Facts).show(self.facts())

    def on_resize(self) -> None:
        self.show_where()
        if self._painted:
            self.share()
            self.show_head()
            self.show_foot()
            self.call_after_refresh(self.show_head)

    def action_find(self) -> None:
        from tui.search_field import Find

        if not self.query(Find):
            self.mount(Find(self.words, self.find), before="#foot")

    def find(self, words: str, keep: bool = False) -> None:
        """Show only what is meant by these words; `keep` when they are as they are to stay."""
        self.words, self.said = words, ""
        if keep:
            self.query("#find").remove()
            self.list.focus()
        self.draw()

    def action_clear_find(self) -> None:
        if self.list.marked:
            self.unmark()
        else:
            self.find("", keep=True)

    def action_mark(self) -> None:
        if not self.list.mark():
            self.tell("this line cannot be marked: go to a task or a lot")

    def unmark(self) -> None:
        """No line is marked any longer."""
        self.said = ""
        self.list.unmark()
        self.show_foot()

    def action_undo(self) -> None:
        from tui.forms.undo import undo

        undo(self)

    def action_redo(self) -> None:
        from tui.forms.undo import redo

        redo(self)

    def action_mend(self) -> None:
        from tui.forms.correct import show_entries

        show_entries(self, self.lot_here())

    def action_keys(self) -> None:
        from tui.forms.help import help_page, signs_of
        from tui.forms.page import PageScreen

        keys: dict[str, str] = {}
        for binding in (*type(self).BINDINGS, *FarmScreen.BINDINGS):
            if isinstance(binding, Binding) and binding.description and not (binding.id or "").startswith("go_"):
                key = binding.key_display or SHOWN.get(binding.key, binding.key)
                keys.setdefault(key, binding.description)
        parts = [
            ("Signs", signs_of(self.signs())), ("States", self.states()),
            ("Keys", [*keys.items(), (f"1 to {len(PLACES)}", "the screens")]),
        ]  # fmt: skip
        end = "Up and down move, Enter opens, Esc goes back; the mouse does the same."
        self.app.push_screen(PageScreen(help_page(self.TITLE_OF_KEYS, parts, end, self.size.width), wide=True))
