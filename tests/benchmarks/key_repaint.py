"""How long a key takes to repaint a board of 300 tasks, in a pseudo-terminal of 120 by 40.

    python -m tests.benchmarks.key_repaint [keys]

From the key's byte written to the terminal until the last byte of the repaint is read. The aim is a median under 50 ms.
Told as well: a page down, and done (the entry written, its batch dated again, the board drawn).
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
from pathlib import Path

FARM = """
[farm]
name = "Three hundred"
hours_per_week = 40
[site]
latitude = 52.0
longitude = -2.0
timezone = "Europe/London"
[site.last_frost]
"90%" = "04-18"
"50%" = "05-04"
"10%" = "05-20"
[site.first_frost]
"10%" = "09-27"
"50%" = "10-12"
"90%" = "10-28"
"""
KINDS = (
    ("Sambucus canadensis", "hardwood cutting"),
    ("Ribes uva-crispa", "hardwood cutting"),
    ("Pyrus communis", "bench graft"),
    ("Crambe maritima", "root cutting"),
    ("Vitis vinifera", "hardwood cutting"),
    ("Amelanchier alnifolia", "seed"),
)
DOWN, PAGE_DOWN = b"\x1b[B", b"\x1b[6~"


def three_hundred(path: Path) -> None:
    """A farm whose board holds 300 tasks and more in the middle of November."""
    batches = [
        f'[[batch]]\nid = "B{n:03}"\nspecies = "{species}"\nmethod = "{method}"\n'
        f"count = {50 + n}\nstart = 2026-11-0{n % 9 + 1}\n"
        for n in range(300)
        for species, method in (KINDS[n % len(KINDS)],)
    ]
    path.write_text(FARM + "\n".join(batches), encoding="utf-8")


def burst(terminal: int, quiet: float = 0.06, patience: float = 20.0) -> float:
    """Read until nothing has come for `quiet` seconds; the time of the last byte."""
    last = time.perf_counter()
    end = last + patience
    while time.perf_counter() < end:
        if select.select([terminal], [], [], quiet)[0]:
            os.read(terminal, 1 << 20)
            last = time.perf_counter()
        else:
            break
    return last


def strike(terminal: int, key: bytes, times: int) -> list[float]:
    """Milliseconds from each key to the end of its repaint."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        os.write(terminal, key)
        select.select([terminal], [], [], 5.0)
        found.append((burst(terminal) - start) * 1000)
    return found


def main(keys: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        farm = Path(folder) / "farm.toml"
        three_hundred(farm)
        pid, terminal = pty.fork()
        if pid == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor")
            os.execv(sys.executable, [sys.executable, "-m", "tui.start", str(farm), "--on", "2026-11-18"])
        fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
        try:
            time.sleep(0.5)
            burst(terminal, 1.5)
            for what, key, times in (("line down", DOWN, keys), ("page down", PAGE_DOWN, 8)):
                took = strike(terminal, key, times)
                print(f"{what:<10} median {statistics.median(took):5.1f} ms, from {min(took):.1f} to {max(took):.1f}")
            strike(terminal, b"\x1b[H", 1)
            strike(terminal, b"d", 1)
            strike(terminal, b"\r", 2)
            took = strike(terminal, b"\r", 1)
            print(f"done       {took[0]:12.1f} ms, its entry on the disk and the board drawn again")
        finally:
            os.kill(pid, signal.SIGKILL)
            os.waitpid(pid, 0)
            os.close(terminal)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
