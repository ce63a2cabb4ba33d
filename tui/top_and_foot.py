"""What stands around every list: the line of the screens above it, the keys that matter here below it."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text
from textual import events
from textual.widgets import Static

from tui.inks import ink
from tui.own_faults import Netted
from tui.screen_list import PLACES

MOST_KEYS = 7
"""So many keys stand at the foot at the most, beside `?`, which shows the rest."""
NAMES = {
    "←": "left", "→": "right", "?": "question_mark", "Enter": "enter", "Esc": "escape", "Tab": "tab", "Space": "space"
}  # fmt: skip
"""What Textual calls a key that is shown by a sign or a name."""
SHORT = {"planting": "plantings", "dispatch": "orders"}
SHORTEST = {"batches": "batch", "planting": "plant", "dispatch": "orders"}
"""What the line of the screens calls one where its own words do not fit, by its name."""
LEAST_NAME = 6
"""A farm's name of which less than this could be shown is left out."""

Span = tuple[int, int, str]
"""Where something that can be clicked begins and ends, and what it is."""


class Clickable(Netted, Static):
    """A line of which parts can be clicked: `clicked` is told what each of them is."""

    def __init__(self, name: str, clicked: Callable[[str], object]) -> None:
        super().__init__(id=name)
        self._clicked = clicked
        self.spans: tuple[Span, ...] = ()

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        at = offset.x if offset is not None and offset.y == 0 else -1
        for begin, end, what in self.spans:
            if begin <= at < end:
                self._clicked(what)


class Where(Clickable):
    """The line of the screens, the present one marked, and the farm's name."""

    def show(self, here: str, farm: str, width: int) -> None:
        """Draw it for the screen of this class, as wide as given."""
        parts, gap, apart = _fitting(width, len(farm))
        text, spans = Text(end="", no_wrap=True), []
        marked, bold = ink(self.app, "here"), ink(self.app, "key")
        for (key, name, *_, kind), word in zip(PLACES, parts, strict=True):
            if text:
                text.append(" " * gap)
            begin = len(text)
            if kind == here:
                text.append(f"{key}{apart}{word}", style=marked)
            else:
                text.append(key, style=bold)
                text.append(f"{apart}{word}", style="not bold")
            spans.append((begin, len(text), name))
        self.spans = tuple(spans)
        room = width - len(text) - 2
        if room >= min(len(farm), LEAST_NAME) and farm:
            told = farm if len(farm) <= room else f"{farm[: room - 1]}…"
            text.append(" " * (width - len(text) - len(told)) + told, style="bold")
        self.update(text, layout=False)


def _fitting(width: int, farm: int) -> tuple[list[str], int, str]:
    """The names of the screens, the gap between them, and what stands between a key and its name.

    As full as they go beside a farm's name of so many letters.
    """
    full = [told.removeprefix("the ") for _, _, told, *_ in PLACES]
    brief = [SHORT.get(name, name) for _, name, *_ in PLACES]
    fixed = 2 * len(PLACES)
    for names, gap, wanted in ((full, 3, farm), (full, 2, farm), (brief, 1, farm), (full, 1, 0), (brief, 1, 0)):
        if fixed + sum(map(len, names)) + gap * (len(PLACES) - 1) + (wanted + 2 if wanted else 0) <= width:
            return names, gap, " "
    brief = [SHORTEST.get(name, name) for _, name, *_ in PLACES]
    while sum(map(len, brief)) + 2 * len(PLACES) - 1 > width and max(map(len, brief)) > 1:
        longest = max(range(len(brief)), key=lambda n: len(brief[n]))
        brief[longest] = brief[longest][:-1]
    return brief, 1, ""


class Foot(Clickable):
    """What was just said, and the keys that work on the line under the cursor; at its end `?`."""

    def __init__(self, clicked: Callable[[str], object]) -> None:
        super().__init__("foot", lambda sign: clicked(NAMES.get(sign, sign)))
        self._long = False

    def show(self, flags: str, said: str, hint: str, undo: bool, width: int) -> None:
        """`flags` narrow the list just now; `said` stands before the keys, and `undo` goes with it."""
        last = [*(["u undo"] if said and undo else []), "? help"]
        room = width - sum(map(len, last)) - 2 * len(last)
        text, spans = Text(end=""), list[Span]()
        if flags:
            text.append(f"{flags} ", style="bold")
        text.append(said, style="not bold")
        # What was said is never cut short: it takes more lines, and the keys a line of their own.
        long = bool(said) and len(text) > room
        keys = hint.split("  ")[:MOST_KEYS] if hint else []
        if long:
            text.append("\n")
            self._keys(text, [], [*keys, *last], len(text) + width)
        else:
            self._keys(text, spans, keys, room)
            text.truncate(room, overflow="ellipsis")
            text.append(" " * (room - len(text)))
            self._keys(text, spans, last, width)
        self.spans = tuple(spans)
        # A line that stays one line asks for no new layout: the cursor would feel it.
        self.update(text, layout=long or self._long)
        self._long = long

    def _keys(self, text: Text, spans: list[Span], items: list[str], room: int) -> None:
        """Put items like `d done` beneath each other, whole ones alone, with the keys of each bold."""
        bold = ink(self.app, "key")
        for item in items:
            if len(text) + 2 * bool(len(text)) + len(item) > room:
                return
            if text:
                text.append("  ")
            words = item.split(" ")
            first = next((n for n, word in enumerate(words) if _key(word) and (not n or words[n - 1][-1] in ":;")), -1)
            last = first
            while first >= 0 and last + 1 < len(words) - 1 and _key(words[last + 1]):
                last += 1
            begin = len(text)
            for n, word in enumerate(words):
                at = len(text)
                text.append(word, style=bold if first <= n <= last and first >= 0 else "not bold")
                if 0 <= first <= n < last:
                    spans.append((at, len(text), word))
                if n < len(words) - 1:
                    text.append(" ")
            if first >= 0:
                spans.append((begin, len(text), words[last]))


def _key(word: str) -> bool:
    return len(word) == 1 or word in NAMES
