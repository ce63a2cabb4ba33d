"""A farm of 5,000 batches and 200,000 entries at the keys, in a terminal of 120 by 40.

    python -m tests.benchmarks.size [batches] [entries]

For each key and each record: from its last byte until the last byte of the repaint, and the longest that the loop of
the keys stood still meanwhile and until all was quiet. A pulse every two milliseconds in Widger itself measures that;
of a stand-still the processor's time is told too, which other programs of a busy machine do not lengthen. What is
wanted: nothing holds the keys for 100 ms, nor does the opening. What some sheets take to print is told as well.
"""

from __future__ import annotations

import fcntl
import os
import pty
import random
import select
import signal
import struct
import subprocess
import sys
import tempfile
import termios
import time
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

from engine.farm.model import Batch
from engine.farm.reading import read_farm
from engine.journal.entry import Entry, to_line
from engine.journal.store import journal_folder
from tests.benchmarks.key_repaint import DOWN, FARM, KINDS, PAGE_DOWN, burst
from tests.benchmarks.stock_50000 import bought_and_sold
from tui.demo import scratch_copy

TODAY = date(2026, 11, 18)
LATER = 4
"""One batch in so many is of this autumn; the others began in the years before, and are done with."""
KEPT = 0.05
"""Of the lots that were bought in so many still stand in pots, what is left of them."""
IN_THE_COLD = "stratify cold"


def large_farm(folder: Path, batches: int, entries: int) -> Path:
    """A farm file of so many batches beside a journal of so many entries: the records of some twenty years."""
    path = folder / "large.toml"
    told = [FARM]
    for n in range(batches):
        species, method = KINDS[n // LATER % len(KINDS)]
        start = date(2026, 11, 1 + n % 9) if n % LATER == 0 else date(2025 - n % 19, 11, 1 + n % 9)
        route = '\nroute = "stuck in autumn"' if species == "Ribes uva-crispa" else ""
        told.append(
            f'[[batch]]\nid = "B{n:05}"\nspecies = "{species}"\nmethod = "{method}"{route}\n'
            f"count = {50 + n % 300}\nstart = {start}\n"
        )
    path.write_text("\n".join(told), encoding="utf-8")
    records = journal_folder(path)
    records.mkdir()
    farm = read_farm(path).farm
    assert farm is not None
    (records / "shed.jsonl").write_bytes(b"".join(map(to_line, history(farm.batches, entries))))
    return path


def history(batches: Sequence[Batch], entries: int) -> list[Entry]:
    """What was told of them: acts done with what came through, lots sold out, notes, and what is bought in and sold."""
    chance = random.Random(2027)
    made: list[Entry] = []

    def tell(kind: str, **data: object) -> None:
        n = len(made)
        day = TODAY - timedelta((entries - 1 - n) // 30)
        at = f"{day}T08:00:{29 - (entries - 1 - n) % 30:02}+00:00"
        made.append(Entry(f"shed-{n:012x}", at, day, kind, data))

    begun: list[tuple[Batch, str]] = []
    now = [batch for n, batch in enumerate(batches) if n % LATER == 0]
    for n, batch in enumerate(batches):
        left, steps = batch.count, [step.do for step in batch.protocol.steps]
        if n % LATER:
            for step in batch.protocol.steps:
                left = max(1, round(left * chance.uniform(0.7, 1))) if step.survive is not None else left
                tell("done", batch=batch.id, step=step.do, count=left)
            tell("drop", batch=batch.id, reason="sold out")
        elif n % 3:
            begun += [(batch, do) for do in steps[: steps.index(IN_THE_COLD) + 1 if IN_THE_COLD in steps else 1]]
    while len(made) < entries - len(begun):
        bed, pots, left, sold = bought_and_sold(tell, len(made), 5, chance)
        if chance.random() < 0.2:
            tell("undo", of=made[-1].id)
            left += sold
        if chance.random() < 0.1:
            tell("correct", of=made[-4].id, now={"to": "the fair"})
        tell("note", batch=chance.choice(now).id, text="looks well")
        if chance.random() > KEPT:
            tell("lose", **pots, count=left, cause="vine weevil")
        tell("plant_out", **bed, count=50, to="the long hedge")
    del made[max(0, entries - len(begun)) :]
    for batch, do in begun:
        tell("done", batch=batch.id, step=do, count=batch.count)
    return made


# -- Widger with a pulse


def beating(farm: str, pulse: str) -> None:
    """Open the screens; each time that the loop stood still for more than a few milliseconds is told to a file."""
    import asyncio

    from tui.lean_textual import import_textual
    from tui.start import run

    import_textual()
    from tui.app import WidgerApp

    async def beat() -> None:
        with open(pulse, "w", buffering=1, encoding="ascii") as file:
            last, used = time.perf_counter(), time.process_time()
            while True:
                await asyncio.sleep(0.002)
                now, since = time.perf_counter(), time.process_time()
                if now - last > 0.01:
                    print(last, now, since - used, file=file)
                last, used = time.perf_counter(), time.process_time()

    mounted = WidgerApp.on_mount

    def on_mount(app: WidgerApp) -> None:
        mounted(app)
        app.pulse = asyncio.ensure_future(beat())  # type: ignore[attr-defined]

    WidgerApp.on_mount = on_mount  # type: ignore[method-assign]
    sys.argv = ["widger", farm, "--on", TODAY.isoformat()]
    run()


def _letters(word: str) -> list[bytes]:
    """A word as it is typed."""
    return [letter.encode() for letter in word]


Span = tuple[float, float]
HOME, END, ENTER, SAVE, TAB, ESC = b"\x1b[H", b"\x1b[F", b"\r", b"\x13", b"\t", b"\x1b"
SETTLED_S = 0.12
"""Nothing painted for so long, and the next key of an act is pressed."""
QUIET_S = 3.0
"""Nothing painted for so long, and an act is over, with what it set going beside the keys."""
ACTS: tuple[tuple[str, tuple[bytes, ...], bool], ...] = (
    ("a line down", (DOWN,), False),
    ("a page down", (PAGE_DOWN,), False),
    ("next week", (b"\x1b[C",), False),
    ("this week", (b"w",), False),
    ("a lot's page", (HOME, ENTER), False),
    ("back", (ESC,), False),
    ("a note", (HOME, b"t", b"dry", SAVE), True),
    ("undo it", (b"u",), True),
    ("redo it", (b"U",), True),
    ("a task done", (HOME, b"d", SAVE), True),
    ("another done", (DOWN, b"d", SAVE), True),
    ("hold one", (DOWN, b"h", b"wet", SAVE), True),
    ("a mark seen", (b"s", ENTER, SAVE), True),
    ("undo that", (b"u",), True),
    ("the cold store", (b"3",), False),
    ("a look", (HOME, b"n"), True),
    ("the stock", (b"2",), False),
    ("find a plant", (b"/", *_letters("Fictus s9"), ENTER), False),
    ("move a lot", (HOME, b"m", TAB, b"seed beds", SAVE), True),
    ("sell some", (b"s", b"1", TAB, b"a neighbour", SAVE), True),
    ("the batches", (b"4",), False),
    ("a new batch", (b"b", *_letters("Vitis vinifera"), TAB, SAVE), True),
    ("undo the batch", (b"u",), True),
    ("redo the batch", (b"U",), True),
    ("the needs", (b"5",), False),
    ("the year", (b"6",), False),
    ("the week", (b"1",), False),
    ("a lot's entries", (HOME, b"e"), False),
    ("correct the latest", (ENTER, b"2026-11-17", SAVE), True),
    ("correct an old one", (END, ENTER, b"2026-11-16", SAVE), True),
    ("undo an old one", (END, b"x"), True),
)
"""What is pressed, in this order, and whether it writes an entry."""
WANTED_MS = 100


class Terminal:
    """Widger in a terminal of its own, with what its pulse tells."""

    def __init__(self, farm: Path, pulse: Path) -> None:
        self.farm, self._pulse = farm, pulse
        code = f"from tests.benchmarks.size import beating; beating({str(farm)!r}, {str(pulse)!r})"
        self.began = time.perf_counter()
        self.pid, self._at = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor")
            os.execv(sys.executable, [sys.executable, "-c", code])
        fcntl.ioctl(self._at, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))

    def until(self, words: bytes, patience: float = 180.0) -> float:
        """The time at which these words were painted."""
        seen, end = b"", time.perf_counter() + patience
        while time.perf_counter() < end:
            if select.select([self._at], [], [], 0.05)[0]:
                seen = seen[-200:] + os.read(self._at, 1 << 16)
                if words in seen:
                    return time.perf_counter()
        raise SystemExit(f"{words!r} was not painted: {seen!r}")

    def write(self, key: bytes) -> None:
        os.write(self._at, key)

    def press(self, *keys: bytes) -> tuple[float, Span]:
        """Milliseconds from the last key to the end of its first repaint, and the span until all was quiet."""
        first = time.perf_counter()
        for key in keys:
            start = time.perf_counter()
            self.write(key)
            select.select([self._at], [], [], 3.0)
            painted = burst(self._at, SETTLED_S)
        burst(self._at, QUIET_S)
        return (painted - start) * 1000, (first, time.perf_counter())

    def held(self, span: Span) -> tuple[float, float]:
        """The longest stand-still in a span and the most of the processor's time in one, in milliseconds."""
        told = [[float(word) for word in line.split()] for line in self._pulse.read_text(encoding="ascii").splitlines()]
        within = [(now - last, used) for last, now, used in told if last < span[1] and now > span[0]]
        longest, used = (max((each[n] for each in within), default=0.0) * 1000 for n in (0, 1))
        return longest, min(longest, used)

    def lines(self) -> int:
        """How many entries the journal holds on the disk."""
        return sum(file.read_bytes().count(b"\n") for file in journal_folder(self.farm).glob("*.jsonl"))

    def close(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self._at)


def told(what: str, painted: float, held: tuple[float, float], more: str = "") -> None:
    over = f"  over {WANTED_MS} ms" if held[1] > WANTED_MS else ""
    print(f"{what:<20} {painted:8.0f} ms   {held[0]:6.0f} ms ({held[1]:.0f} of the processor){over}{more}", flush=True)


def opening(terminal: Terminal) -> None:
    """Tell how a large farm opens, and how a key is taken meanwhile."""
    shown = terminal.until(b"Opening")
    terminal.until(b"reading the journal")
    asked = time.perf_counter()
    terminal.write(b"?")
    answered = terminal.until(b"this page")
    terminal.write(ESC)
    board = terminal.until(b"Week 47")
    _, (_, quiet) = terminal.press(b"w")
    print(f"{'':<20} {'painted in':>11}   held the keys")
    told("a first screen", (shown - terminal.began) * 1000, (0, 0))
    told("? while it opens", (answered - asked) * 1000, terminal.held((shown, board - 0.1)))
    told("the board", (board - terminal.began) * 1000, terminal.held((board - 0.1, quiet)))


def keys(terminal: Terminal) -> None:
    """Tell what each key holds, and each thing recorded."""
    for what, pressed, writes in ACTS:
        before = terminal.lines()
        painted, span = terminal.press(*pressed)
        wrote = terminal.lines() - before
        told(what, painted, terminal.held(span), "" if wrote == writes else f"  wrote {wrote} entries")


SHEETS = (("week",), ("stock",), ("year", "--json"))


def printed(farm: Path, *words: str) -> float:
    """The seconds that a sheet takes to print."""
    start = time.perf_counter()
    call = [sys.executable, "-m", "tui.start", words[0], str(farm), "--on", TODAY.isoformat(), *words[1:]]
    subprocess.run(call, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    return time.perf_counter() - start


def main(batches: int, entries: int) -> None:
    with tempfile.TemporaryDirectory() as root:
        demo, large = scratch_copy(TODAY, Path(root) / "demo"), large_farm(Path(root), batches, entries)
        print(f"{batches} batches and {entries} entries; wanted: nothing holds the keys for {WANTED_MS} ms")
        for words in SHEETS:
            times = printed(large, *words), printed(demo, *words)
            ratio = times[0] / times[1]
            print(f"widger {' '.join(words):<13} {times[0]:6.1f} s, {ratio:5.1f} times as long as for the demo farm")
        terminal = Terminal(large, Path(root) / "pulse")
        try:
            opening(terminal)
            keys(terminal)
        finally:
            terminal.close()


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:3]]
    main(*(given + [5_000, 200_000][len(given) :]))
