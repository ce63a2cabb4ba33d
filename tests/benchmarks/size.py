"""A farm of 5,000 batches and 200,000 entries at the keys, in a terminal of 120 by 40, and on paper.

    python -m tests.benchmarks.size [batches] [entries] [keys|sheets]

For each act: from the last byte of its last key until the last byte of the repaint, and the longest stand-stills of the
keys from its first key until all was quiet, as wall/processor/own: by the clock; the processor's time that Widger took,
which other programs of a busy machine do not lengthen; and what of that the keys' own thread took. Wanted: none takes
100 ms of the processor, nor does the opening. Every act proves what it did, by the kinds of the entries that the
journal has more than before, or by what the screen then shows; one that does not is told, and the exit is 1. Then what
the sheets cost over reading, folding and planning.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple

from engine.journal.entry import Entry, to_line
from engine.journal.store import journal_folder
from tests.benchmarks.at_the_keys import Seen, Still, Terminal
from tests.benchmarks.great_farm import TODAY, large_farm
from tests.benchmarks.key_repaint import DOWN, PAGE_DOWN
from tui.demo import fresh_copy

WANTED_MS = 100
TOLD_MS = 30
"""Stand-stills that take as much of the processor are told, but for the longest always."""
MOST_TOLD = 4
SETTLED_S = 0.12
"""Nothing painted for so long, and the next key of an act is pressed."""
QUIET_S = 0.8
"""Nothing painted, and nothing worked out beside the screen for so long, and an act is over."""
WRITTEN_S = 2.4
"""After an entry so long: the disk is looked at meanwhile."""
PATIENCE_S = 90.0
"""So long an act may take to be made."""

HOME, END, ENTER, SAVE, TAB, ESC = b"\x1b[H", b"\x1b[F", b"\r", b"\x13", b"\t", b"\x1b"
LEFT, RIGHT, PAGE_UP = b"\x1b[D", b"\x1b[C", b"\x1b[5~"
WHEEL = b"\x1b[<64;20;20M"
A_DAY_SOONER, A_WEEK_LATER = b"a day sooner", b"a week later"
"""In the place of a key: the date in the form's first field, moved so far."""


class Shown(NamedTuple):
    """What was shown, and the kinds of the entries made since."""

    before: Seen
    after: Seen
    kinds: list[str]


Proof = Callable[[Shown], str]
"""What is missing of what an act was to do; nothing where it was made."""


def wrote(*kinds: str) -> Proof:
    return lambda shown: "" if shown.kinds == [*kinds] else f"wrote {shown.kinds or 'nothing'}, not {[*kinds]}"


def opens(screen: str) -> Proof:
    """It shows that screen, with lines where it has a list."""

    def proof(shown: Shown) -> str:
        after = shown.after
        lacks = after.screen != screen or (screen.endswith("Screen") and not after.rows and not after.typed)
        return f"shows {after.screen} with {after.rows} lines, not {screen}" if lacks else ""

    return proof


def shows(screen: str) -> Proof:
    return lambda shown: "" if shown.after.screen == screen else f"shows {shown.after.screen}, not {screen}"


def moves(shown: Shown) -> str:
    """The cursor came to another line, other lines came into view, or the head tells another time."""
    before, after = ((each.at, each.top, each.head) for each in shown[:2])
    return "nothing moved" if before == after else ""


def finds(words: str) -> Proof:
    return lambda shown: "" if (shown.after.words == words and shown.after.rows) else f"{words!r} was not found"


def types(words: str) -> Proof:
    return lambda shown: "" if words in shown.after.typed else f"the form holds {shown.after.typed}, not {words!r}"


def letters(word: str) -> list[bytes]:
    """A word as it is typed."""
    return [letter.encode() for letter in word]


class Act(NamedTuple):
    """What is pressed, and what proves that it did what it was to do."""

    what: str
    keys: Sequence[bytes]
    proof: Proof


def paged(where: str, wheel: bool = True) -> Iterable[Act]:
    """The same in every list: its ends, pages, and the wheel turned where the list is longer than the screen."""
    yield Act(f"  {where}: to its end", (END,), moves)
    yield Act(f"  {where}: a page up", (PAGE_UP,), moves)
    if wheel:
        yield Act(f"  {where}: the wheel", (WHEEL, WHEEL, WHEEL), moves)
    yield Act(f"  {where}: to its top", (HOME,), lambda shown: "its top is not shown" if shown.after.top > 1 else "")
    yield Act(f"  {where}: a line down", (DOWN,), moves)
    yield Act(f"  {where}: a page down", (PAGE_DOWN,), moves)


def found(where: str, words: str) -> Iterable[Act]:
    yield Act(f"  {where}: find {words}", (b"/", *letters(words), ENTER), finds(words))
    yield Act(f"  {where}: find no more", (ESC,), lambda shown: "" if not shown.after.words else "still narrowed")


ACTS: tuple[Act, ...] = (
    Act("a line down", (DOWN,), moves),
    *paged("week"),
    *found("week", "grape"),
    Act("next week", (RIGHT,), moves),
    Act("this week", (b"w",), moves),
    Act("a lot's page", (HOME, ENTER), shows("LotPage")),
    Act("back", (ESC,), shows("WeekScreen")),
    Act("typing a note", (HOME, b"t", *letters("looks dry")), types("looks dry")),
    Act("saved", (SAVE,), wrote("note")),
    Act("undo it", (b"u",), wrote("undo")),
    Act("redo it", (b"U",), wrote("undo")),
    Act("a task done", (HOME, b"d", SAVE), wrote("done")),
    Act("another done", (DOWN, b"d", SAVE), wrote("done")),
    Act("hold one", (DOWN, b"h", b"wet", SAVE), wrote("hold")),
    Act("a mark seen", (b"s", ENTER, SAVE), wrote("saw")),
    Act("undo that", (b"u",), wrote("undo")),
    Act("the cold store", (b"3",), opens("ColdScreen")),
    *paged("cold", wheel=False),
    *found("cold", "amelanchier"),
    Act("a look", (HOME, b"n"), wrote("look")),
    Act("the stock", (b"2",), opens("StockScreen")),
    *paged("stock"),
    Act("  stock: by form", (b"b",), moves),
    Act("  stock: by place", (b"b",), moves),
    Act("  stock: by species", (b"b",), moves),
    Act("find a plant", (b"/", *letters("Fictus s9"), ENTER), finds("Fictus s9")),
    Act("move a lot", (HOME, b"m", TAB, b"seed beds", SAVE), wrote("move")),
    Act("sell some", (b"s", b"1", TAB, b"a neighbour", SAVE), wrote("sell")),
    Act("  stock: find no more", (ESC,), lambda shown: "" if not shown.after.words else "still narrowed"),
    Act("  stock: a lot traced", (HOME, ENTER), shows("LotPage")),
    Act("back", (ESC,), shows("StockScreen")),
    Act("  stock: the yields", (b"y",), shows("PageScreen")),
    Act("back", (ESC,), shows("StockScreen")),
    Act("the batches", (b"4",), opens("BatchesScreen")),
    *paged("batches"),
    Act("  batches: a lot's life", (HOME, ENTER), shows("LotPage")),
    Act("back", (ESC,), shows("BatchesScreen")),
    Act("  batches: an old life", (END, ENTER), shows("LotPage")),
    Act("back", (ESC,), shows("BatchesScreen")),
    *found("batches", "grape"),
    Act("typing a batch", (b"b", *letters("Vitis vinifera"), TAB, b"7", b"5"), types("75")),
    Act("saved", (SAVE,), wrote("batch")),
    Act("undo the batch", (b"u",), wrote("undo")),
    Act("redo the batch", (b"U",), wrote("undo")),
    Act("the needs", (b"5",), shows("NeedsScreen")),
    Act("typing a need", (b"b", *letters("Vitis vinifera"), TAB, TAB, b"4", b"0"), types("40")),
    Act("saved", (SAVE,), wrote("need")),
    Act("  needs: to its top", (HOME,), shows("NeedsScreen")),
    Act("the year", (b"6",), opens("YearScreen")),
    *paged("year"),
    *found("year", "grape"),
    Act("  year: weeks on", (RIGHT,), moves),
    Act("  year: about today", (b"w",), moves),
    Act("  year: the room", (b"r",), shows("PageScreen")),
    Act("back", (ESC,), shows("YearScreen")),
    Act("the site", (b"7",), opens("SiteScreen")),
    *paged("site", wheel=False),
    Act("next year", (RIGHT,), moves),
    Act("this year", (b"w",), moves),
    Act("what changes?", (b"c",), opens("ChoiceScreen")),
    Act("typing the hours", (*letters("hours"), ENTER, b"3", b"5"), types("35")),
    Act("the hours saved", (SAVE,), wrote("hours")),
    Act("undo the hours", (b"u",), wrote("undo")),
    Act("typing a frost date", (b"c", *letters("frost dates"), ENTER, *letters("9 May")), types("9 May")),
    Act("lines for the file", (SAVE,), shows("LinesPage")),
    Act("back", (ESC,), shows("SiteScreen")),
    Act("the plantings", (b"8",), shows("PlantingScreen")),
    Act("the orders", (b"9",), shows("DispatchScreen")),
    Act("the week", (b"1",), opens("WeekScreen")),
    Act("a lot's entries", (HOME, b"e"), opens("EntriesScreen")),
    Act("correct the latest", (ENTER, A_DAY_SOONER, SAVE), wrote("correct")),
    Act("back", (ESC,), shows("WeekScreen")),
    Act("the batches again", (b"4", END), moves),
    Act("an old lot's entries", (b"e",), opens("EntriesScreen")),
    Act("correct an old one", (END, ENTER, A_DAY_SOONER, SAVE), wrote("correct")),
    Act("undo an old one", (HOME, b"x"), wrote("undo")),
    Act("redo it", (b"x",), wrote("undo")),
    Act("back", (ESC,), shows("BatchesScreen")),
    Act("the week again", (b"1",), opens("WeekScreen")),
)
"""What is done, in this order."""


def moved(typed: str, days: int) -> bytes:
    return (date.fromisoformat(typed) + timedelta(days)).isoformat().encode()


class Told:
    """Tells each act as it was made, and remembers what was not made or held the keys too long."""

    def __init__(self) -> None:
        self.over, self.lacking = 0, 0

    def tell(self, what: str, painted: float, stills: Sequence[Still], lacks: str = "") -> None:
        worth = [still for still in stills if still.used > TOLD_MS][:MOST_TOLD] or stills[:1]
        held = "  ".join(f"{wall:.0f}/{used:.0f}/{own:.0f}" for wall, used, own in worth) or "-"
        over = any(still.used > WANTED_MS for still in stills)
        self.over, self.lacking = self.over + over, self.lacking + bool(lacks)
        marks = [f"over {WANTED_MS} ms"] if over else []
        marks += [f"NOT MADE: {lacks}"] if lacks else []
        print("  ".join((f"{what:<26}{painted:8.0f} ms   {held:<36}", *marks)).rstrip(), flush=True)


def opening(terminal: Terminal, told: Told) -> None:
    """Tell how a large farm opens, and how a key is taken meanwhile."""
    shown = terminal.until(b"Opening")
    terminal.until(b"reading the journal")
    asked = time.perf_counter()
    os.write(terminal.at, b"?")
    answered = terminal.until(b"this page")
    os.write(terminal.at, ESC)
    board = terminal.until(b"Week 47")
    terminal.rest(QUIET_S)
    quiet = time.perf_counter()
    print(f"{'':<26}{'painted in':>11}   held the keys: wall/processor/own thread, ms")
    told.tell("a first screen", (shown - terminal.began) * 1000, ())
    told.tell("? while it opens", (answered - asked) * 1000, terminal.stills((shown, board - 0.1)))
    lacks = "" if terminal.seen().screen == "WeekScreen" else "no board is shown"
    told.tell("the board", (board - terminal.began) * 1000, terminal.stills((board - 0.1, quiet)), lacks)


def keys(terminal: Terminal, told: Told) -> None:
    """Tell what each act holds."""
    for act in ACTS:
        made = len(terminal.kinds())
        before, began, painted = terminal.seen(), time.perf_counter(), 0.0
        for key in act.keys:
            if key in (A_DAY_SOONER, A_WEEK_LATER):
                typed = terminal.seen().typed
                key = moved(typed[0], -1 if key == A_DAY_SOONER else 7) if typed else b""
            painted = terminal.press(key, SETTLED_S)
        _until_made(terminal, act.proof, before, made)
        after, kinds = terminal.seen(), terminal.kinds(made)
        lacks = act.proof(Shown(before, after, kinds))
        if not lacks and kinds and not act.proof(Shown(before, after, [])):
            lacks = f"wrote {kinds}"  # what was to write nothing
        told.tell(act.what, painted, terminal.stills((began, time.perf_counter())), lacks and f"{lacks}; {after.said}")


def _until_made(terminal: Terminal, proof: Proof, before: Seen, made: int) -> None:
    """Wait until an act is made, or nothing more comes of it, and all is quiet."""
    end, written = time.perf_counter() + PATIENCE_S, False
    while time.perf_counter() < end:
        terminal.rest(QUIET_S)
        now, kinds = terminal.seen(), terminal.kinds(made)
        if not terminal.lives():
            continue
        if kinds and not written:
            written = True
            terminal.rest(WRITTEN_S)
        elif not now.busy and (written or not proof(Shown(before, now, kinds)) or now == before):
            return
        elif not now.busy and now == terminal.seen():
            terminal.rest(WRITTEN_S)
            if terminal.lives() and terminal.seen() == now and terminal.kinds(made) == kinds:
                return


def from_elsewhere(terminal: Terminal, told: Told) -> None:
    """What another device recorded, and the farm file as it is changed in an editor, are taken up."""
    farm, day = terminal.farm, TODAY.isoformat()
    entry = Entry("office-1", f"{day}T23:00:00+00:00", TODAY, "note", {"batch": "B00000", "text": "from the office"})
    changed = farm.read_text(encoding="utf-8").replace('"50%" = "05-04"', '"50%" = "05-06"  # later', 1)
    for what, file, written in (
        ("another device's entry", journal_folder(farm) / "office.jsonl", to_line(entry)),
        ("frost dates in the file", farm, changed.encode()),
    ):
        began, before = time.perf_counter(), terminal.seen()
        file.write_bytes(written)
        lacks, end = "it was not taken up", began + PATIENCE_S
        while lacks and time.perf_counter() < end:
            terminal.rest(WRITTEN_S)
            now = terminal.seen()
            taken_up = (now.entries, now.letters) != (before.entries, before.letters)
            if taken_up and not now.busy and terminal.lives():
                lacks = ""
        told.tell(what, 0, terminal.stills((began, time.perf_counter())), lacks)


SHEETS = (
    ("week",), ("stock",), ("plan",), ("cold",), ("needs",), ("year",), ("year", "--json"), ("room",), ("calendar",),
    ("labels",), ("labels", "--pdf", "labels.pdf"), ("entries", "--json"), ("check",),
)  # fmt: skip
PLANNED = """
import sys
from datetime import date
from pathlib import Path
from tui.farmhouse import enter
enter(Path(sys.argv[1]), date.fromisoformat(sys.argv[2])).day(date.fromisoformat(sys.argv[2]))
"""


def costs(*call: str, cwd: Path) -> tuple[float, float, int]:
    """The seconds that a call takes, by the clock and of the processor, and how it ended."""
    start = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, *call], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=cwd, env=_at_home()
    ) as child:
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
    return time.perf_counter() - start, used.ru_utime + used.ru_stime, child.returncode


def _at_home() -> dict[str, str]:
    """The same program, from whatever folder it is called."""
    return {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, (os.getcwd(), *sys.path)))}


def sheets(large: Path, demo: Path, told: Told) -> None:
    """Tell what each sheet costs, of the large farm and of the demo farm."""
    _, least, _ = costs("-c", PLANNED, str(large), TODAY.isoformat(), cwd=large.parent)
    print(f"reading, folding and planning take {least:.1f} s of the processor")
    for words in SHEETS:
        wall, used, status = costs(*_call(words, large), cwd=large.parent)
        _, small, _ = costs(*_call(words, demo), cwd=large.parent)
        lacks = "" if status in (0, 1) else f"  NOT MADE: exit {status}"
        told.lacking += bool(lacks)
        told_of = f"{wall:6.1f} s, {used:5.1f} of the processor, {used - least:5.1f} over reading and planning"
        print(f"widger {' '.join(words):<26}{told_of}; the demo farm {small:.1f}{lacks}", flush=True)


def _call(words: Sequence[str], farm: Path) -> list[str]:
    on = [] if words[0] in ("entries", "check") else ["--on", TODAY.isoformat()]
    return ["-m", "tui.start", words[0], str(farm), *on, *words[1:]]


def main(batches: int, entries: int, parts: Sequence[str]) -> int:
    told = Told()
    with tempfile.TemporaryDirectory() as root:
        demo, large = fresh_copy(TODAY, Path(root) / "demo").path, large_farm(Path(root), batches, entries)
        print(f"{batches} batches and {entries} entries; wanted: nothing holds the keys for {WANTED_MS} ms")
        if "keys" in parts:
            terminal = Terminal(large, TODAY, Path(root) / "pulse")
            try:
                opening(terminal, told)
                keys(terminal, told)
                from_elsewhere(terminal, told)
            finally:
                terminal.close()
            print(f"{told.over} over {WANTED_MS} ms, {told.lacking} not made")
        if "sheets" in parts:
            sheets(large, demo, told)
    return 1 if told.lacking else 0


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:] if word.isdigit()]
    parts = [word for word in sys.argv[1:] if not word.isdigit()] or ["keys", "sheets"]
    sys.exit(main(*(given + [5_000, 200_000][len(given) :]), parts))
