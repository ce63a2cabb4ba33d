"""A farm of 5,000 batches and 200,000 entries at the keys, as ratios over the demo farm, in a terminal of 120 by 40.

    python -m tests.benchmarks.size [batches] [entries]

From a key's byte until the last byte of the repaint. What is wanted: no key waits 100 ms. To open, and `widger week`,
are told as well.
"""

from __future__ import annotations

import fcntl
import os
import pty
import random
import select
import signal
import statistics
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
from tests.benchmarks.key_repaint import DOWN, FARM, KINDS, PAGE_DOWN, burst, strike
from tests.benchmarks.stock_50000 import bought_and_sold
from tui.demo import scratch_copy

TODAY = date(2026, 11, 18)
LATER = 4
"""One batch in so many is of this autumn; the others began in the years before, and are done with."""


def large_farm(folder: Path, batches: int, entries: int) -> Path:
    """A farm file of so many batches beside a journal of so many entries: the records of some twenty years."""
    path = folder / "large.toml"
    told = [FARM]
    for n in range(batches):
        species, method = KINDS[n % len(KINDS)]
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

    now = [batch for n, batch in enumerate(batches) if n % LATER == 0]
    for n, batch in enumerate(batches):
        left = batch.count
        if n % LATER:
            for step in batch.protocol.steps:
                left = max(1, round(left * chance.uniform(0.7, 1))) if step.survive is not None else left
                tell("done", batch=batch.id, step=step.do, count=left)
            tell("drop", batch=batch.id, reason="sold out")
        elif n % 2:
            tell("done", batch=batch.id, step=batch.protocol.steps[0].do, count=left)
    while len(made) < entries:
        bed, pots, left, sold = bought_and_sold(tell, len(made), 5, chance)
        if chance.random() < 0.2:
            tell("undo", of=made[-1].id)
            left += sold
        if chance.random() < 0.1:
            tell("correct", of=made[-4].id, now={"to": "the fair"})
        tell("note", batch=chance.choice(now).id, text="looks well")
        tell("lose", **pots, count=left, cause="vine weevil")
        tell("plant_out", **bed, count=50, to="the long hedge")
    return made[:entries]


TOLD = ("line down", "page down", "next week", "back", "a note written", "undone", "the stock", "the year")
WANTED_MS = 100
HOME = b"\x1b[H"


def keys_at(farm: Path) -> dict[str, float]:
    """The median milliseconds of each key on a farm, and the seconds until it is open."""
    start = time.perf_counter()
    pid, terminal = pty.fork()
    if pid == 0:
        os.environ.update(TERM="xterm-256color", COLORTERM="truecolor")
        os.execv(sys.executable, [sys.executable, "-m", "tui.command", str(farm), "--on", TODAY.isoformat()])
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 120, 0, 0))
    found: dict[str, float] = {}

    def press(what: str, key: bytes, times: int = 1) -> None:
        found[what] = statistics.median(strike(terminal, key, times))

    try:
        select.select([terminal], [], [], 120)
        found["open"] = burst(terminal, 1.5, 120) - start
        for _ in range(3):  # the first of each reads what it needs
            strike(terminal, DOWN, 3)
            press("line down", DOWN, 20)
            strike(terminal, HOME, 1)
            press("page down", PAGE_DOWN)
            press("next week", b"\x1b[C")
            press("back", b"\x1b[D")
            strike(terminal, HOME, 1)
            strike(terminal, b"t", 1)
            strike(terminal, b"dry", 1)
            press("a note written", b"\x13")
            press("undone", b"u")
            burst(terminal, 1.0)
            press("the stock", b"2")
            burst(terminal, 1.5)
            press("the year", b"6")
            burst(terminal, 1.5)
            strike(terminal, b"1", 1)
            burst(terminal, 1.0)
    finally:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(terminal)
    return found


def printed(farm: Path) -> float:
    """The seconds that `widger week` takes."""
    start = time.perf_counter()
    call = [sys.executable, "-m", "tui.command", "week", str(farm), "--on", TODAY.isoformat()]
    subprocess.run(call, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    return time.perf_counter() - start


def main(batches: int, entries: int) -> None:
    with tempfile.TemporaryDirectory() as root:
        demo, large = scratch_copy(TODAY, Path(root) / "demo"), large_farm(Path(root), batches, entries)
        few, many = keys_at(demo), keys_at(large)
        print(f"{batches} batches and {entries} entries, over the demo farm; wanted: no key over {WANTED_MS} ms")
        for what in TOLD:
            print(f"{what:<16} {many[what]:7.1f} ms, {few[what]:6.1f} ms: {many[what] / few[what]:5.2f} times")
        print(f"{'to open':<16} {many['open']:7.1f} s,  {few['open']:6.1f} s:  {many['open'] / few['open']:5.2f} times")
        week = printed(large), printed(demo)
        print(f"{'widger week':<16} {week[0]:7.1f} s,  {week[1]:6.1f} s:  {week[0] / week[1]:5.2f} times")


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:3]]
    main(*(given + [5_000, 200_000][len(given) :]))
