"""Widger in a terminal of its own, with a pulse in it: how long its keys were held, and what it shows meanwhile."""

from __future__ import annotations

import fcntl
import json
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from engine.journal.store import journal_folder
from tests.benchmarks.key_repaint import burst

BEAT_S = 0.002
NOTED_S = 0.01
"""A stand-still that is longer than this is told."""
LOOK_S = 0.1
"""So often what the screen shows is looked at, and that the keys live is told."""
LATE_S = 0.4
"""Not told for so long that they live, the keys stand still."""
PAINTED_S = 1.5
"""So long the first paint after a key is waited for."""
Span = tuple[float, float]


class Seen(NamedTuple):
    """What Widger shows: compared, it tells whether a key did something."""

    screen: str = ""
    head: str = ""
    at: str = ""
    """The line under the cursor."""
    top: int = 0
    rows: int = 0
    words: str = ""
    typed: tuple[str, ...] = ()
    said: str = ""
    """What the foot or the form says."""
    busy: bool = False
    """Whether something is worked out beside the screen."""
    entries: int = 0
    """So many entries were read."""
    letters: int = 0
    """So many has the farm file that was read."""


class Still(NamedTuple):
    """A stand-still of the keys, in milliseconds: by the clock; the processor's time that Widger took in it, which
    other programs of a busy machine do not lengthen; and what of that the keys' own thread took.
    """

    wall: float
    used: float
    own: float


def beating(farm: str, today: str, pulse: str) -> None:
    """Open the screens. Each time that the loop stood still is told to a file, and each change of what they show."""
    import asyncio

    from tui.lean_textual import import_textual
    from tui.start import run

    import_textual()
    from tui.app import WidgerApp

    async def beat(app: WidgerApp) -> None:
        with open(pulse, "w", buffering=1, encoding="ascii") as file:
            shown, looked = Seen(), 0.0
            last, used, own = time.perf_counter(), time.process_time(), time.thread_time()
            while True:
                await asyncio.sleep(BEAT_S)
                now = time.perf_counter()
                if now - last > NOTED_S:
                    print(json.dumps([last, now, time.process_time() - used, time.thread_time() - own]), file=file)
                if now - looked > LOOK_S:
                    print(json.dumps([now]), file=file)
                    if (found := _seen(app)) != shown:
                        print(json.dumps(found), file=file)
                    shown, looked = found, now
                last, used, own = time.perf_counter(), time.process_time(), time.thread_time()

    mounted = WidgerApp.on_mount

    def on_mount(app: WidgerApp) -> None:
        mounted(app)
        app.pulse = asyncio.ensure_future(beat(app))  # type: ignore[attr-defined]

    WidgerApp.on_mount = on_mount  # type: ignore[method-assign]
    sys.argv = ["widger", farm, "--on", today]
    run()


def _seen(app: Any) -> Seen:
    from textual.widgets import Input, Label, OptionList, Static

    front, house = app.screen, getattr(app, "house", None)
    listed = getattr(front, "_list", None)
    chosen = [str(each.highlighted) for each in front.query(OptionList)]
    says = [getattr(front, "said", ""), *(str(each.content) for each in front.query(".refusal").results(Label))]
    return Seen(
        type(front).__name__,
        "".join(str(each.content) for each in front.query("#head").results(Static)),
        listed.rows[listed.cursor].key if listed and listed.rows else "".join(chosen),
        listed.scroll_offset.y if listed else 0,
        len(listed.rows) if listed else sum(each.option_count for each in front.query(OptionList)),
        getattr(front, "words", ""),
        tuple(each.value for each in front.query(Input)),
        " ".join(filter(None, says)),
        app._mending or app._taking or any(worker.is_running for worker in app.workers),
        len(house.entries) if house else 0,
        len(house.reading.text) if house else 0,
    )


class Terminal:
    """Widger in a terminal of 120 by 40, with what its pulse tells."""

    def __init__(self, farm: Path, today: date, pulse: Path) -> None:
        self.farm, self._pulse = farm, pulse
        code = "from tests.benchmarks.at_the_keys import beating; "
        code += f"beating({str(farm)!r}, {today.isoformat()!r}, {str(pulse)!r})"
        self.began = time.perf_counter()
        self.pid, self.at = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor", WIDGER_DEVICE="shed")
            os.execv(sys.executable, [sys.executable, "-c", code])
        fcntl.ioctl(self.at, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))

    def until(self, words: bytes, patience: float = 180.0) -> float:
        """The time at which these words were painted."""
        seen, end = b"", time.perf_counter() + patience
        while time.perf_counter() < end:
            if select.select([self.at], [], [], 0.05)[0]:
                seen = seen[-200:] + os.read(self.at, 1 << 16)
                if words in seen:
                    return time.perf_counter()
        raise SystemExit(f"{words!r} was not painted: {seen!r}")

    def press(self, key: bytes, settled: float) -> float:
        """Milliseconds from a key to the end of its first repaint, after which nothing came for so many seconds."""
        start = time.perf_counter()
        os.write(self.at, key)
        select.select([self.at], [], [], PAINTED_S)
        return (burst(self.at, settled) - start) * 1000

    def rest(self, quiet: float) -> None:
        """Read what is painted until nothing has come for so many seconds."""
        burst(self.at, quiet)

    def _told(self) -> list[list[Any]]:
        lines = self._pulse.read_text(encoding="ascii").split("\n")[:-1] if self._pulse.exists() else []
        return [json.loads(line) for line in lines]

    def seen(self) -> Seen:
        """What it shows."""
        shown = [told for told in self._told() if len(told) == len(Seen._fields)]
        return Seen(*shown[-1])._replace(typed=tuple(shown[-1][Seen._fields.index("typed")])) if shown else Seen()

    def lives(self) -> bool:
        """Whether the keys stand still no longer."""
        told = [each for each in self._told() if len(each) == len(("now",))]
        return bool(told) and time.perf_counter() - told[-1][0] < LATE_S

    def stills(self, span: Span) -> list[Still]:
        """The stand-stills in a span, what took most of the processor's time first."""
        told = [each for each in self._told() if len(each) == len(("last", "now", "used", "own"))]
        found = [
            Still((now - last) * 1000, min(used, now - last) * 1000, min(own, now - last) * 1000)
            for last, now, used, own in told
            if last < span[1] and now > span[0]
        ]
        return sorted(found, key=lambda still: still.used, reverse=True)

    def kinds(self, since: int = 0) -> list[str]:
        """The kinds of the entries in this device's journal on the disk, from so many on."""
        file = journal_folder(self.farm) / "shed.jsonl"
        return [json.loads(line)["kind"] for line in file.read_bytes().splitlines()[since:]]

    def close(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.at)
