"""Whole process to first painted board, of a farm and of `widger demo`, as a ratio over a bare Textual app's.

    python -m tests.benchmarks.first_paint [runs]

All run in the same pseudo-terminal, 120 by 40, turn and turn about; the clock stops when the words looked for are
painted. The aim is a ratio of 1.3, at most 1.45. The first of each is not counted: it compiles and keeps for the others
what an installation compiles and keeps once.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import statistics
import struct
import sys
import tempfile
import termios
import time
from datetime import date
from pathlib import Path

BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("painted")
Bare().run()
"""


def paint(argv: list[str], words: bytes, patience: float = 20.0) -> tuple[float, float]:
    """Seconds from the start of the process until its terminal shows the words: by the wall clock, and of processor."""
    start = time.perf_counter()
    pid, terminal = pty.fork()
    if pid == 0:
        os.environ["TERM"] = "xterm-256color"
        os.environ["COLORTERM"] = "truecolor"
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # the installed command is compiled once, when it is installed
        os.execv(argv[0], argv)
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
    seen = b""
    try:
        while time.perf_counter() - start < patience:
            if select.select([terminal], [], [], 0.05)[0]:
                seen += os.read(terminal, 65536)
                if words in seen:
                    wall = time.perf_counter() - start
                    break
        else:
            raise SystemExit(f"{argv}: {words!r} was not painted in {patience} s; the screen ends {seen[-400:]!r}")
    finally:
        os.kill(pid, signal.SIGKILL)
        _, _, used = os.wait4(pid, 0)
        os.close(terminal)
    return wall, used.ru_utime + used.ru_stime


def main(runs: int) -> None:
    from tui.demo import fresh_copy

    with tempfile.TemporaryDirectory() as folder:
        farm = fresh_copy(date(2027, 3, 2), Path(folder)).path
        bare = [sys.executable, "-c", BARE]
        # What the installed `widger` does, which is a script of these two lines.
        widger = [sys.executable, "-c", "from tui.start import run; run()"]
        os.environ["TMPDIR"] = folder  # where the demo puts its copies
        board, demo = [*widger, str(farm), "--on", "2027-03-02"], [*widger, "demo"]
        calls = [(bare, b"painted"), (board, b"Week "), (demo, b"Week ")]  # the head, in one frame with the list
        for argv, words in calls:
            paint(argv, words)
        times: list[list[tuple[float, float]]] = [[] for _ in calls]
        for _ in range(runs):
            for found, (argv, words) in zip(times, calls, strict=True):
                found.append(paint(argv, words))
    for n, what in enumerate(("wall clock", "processor")):
        base = [each[n] for each in times[0]]
        for name, found in zip(("the board", "the demo"), times[1:], strict=True):
            ratios = [each[n] / bare_s for each, bare_s in zip(found, base, strict=True)]
            print(
                f"{what:<11} bare app {statistics.median(base) * 1000:5.0f} ms   "
                f"{name:<9} {statistics.median(each[n] for each in found) * 1000:5.0f} ms   "
                f"ratio {statistics.median(ratios):.2f} (from {min(ratios):.2f} to {max(ratios):.2f}), median of {runs}"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
