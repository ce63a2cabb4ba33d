"""`widger stock` on a journal of 50,000 entries, as a ratio over reading its lines with json.loads alone.

    python -m tests.benchmarks.stock_50000 [runs]

Turn and turn about, in fresh processes for the whole command and in this one for its parts. What is wanted: the command
within 3 times what json.loads takes.
"""

from __future__ import annotations

import gc
import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

from engine.farm.reading import read_farm
from engine.journal.entry import Entry, to_line
from engine.journal.store import journal_folder, read_journal, standing
from engine.records.records import apply
from tests.engine.records.farms import STOCK
from tests.tui.farms import TINY

ENTRIES = 50_000
WANTED = 3.0
LIVING = 300
"""So many of the lots, the latest, still have plants in the beds; the others are gone, but for what was undone."""
LAST = date(2027, 1, 18)

LOADS = """
import gc, json, sys, time
gc.disable()
lines = open(sys.argv[1], "rb").read().splitlines()
start = time.perf_counter()
read = [json.loads(line) for line in lines]
print(time.perf_counter() - start)
"""
COMMAND = """
import gc, sys, time
gc.disable()
start = time.perf_counter()
from tui.command import main
status = main(["stock", sys.argv[1], "--on", sys.argv[2]])
sys.stdout.flush()
print(time.perf_counter() - start, file=sys.stderr)
sys.exit(status)
"""


def bought_and_sold(
    tell: Callable[..., None], told: int, sales: int, chance: random.Random
) -> tuple[dict[str, str], dict[str, str], int, int]:
    """Tell how a lot comes in, is potted and is sold at the gate: its rows, its pots, what is left, the last sale.

    `told` is how many entries there are before it.
    """
    lot = f"L{told // 10:05}"
    bed = {"lot": lot, "form": "liner", "grade": "", "place": "seed beds"}
    pots = {"lot": lot, "form": "1 L pot", "grade": "", "place": "standing ground"}
    plant = {"species": f"Fictus s{told % 40}", "cultivar": "Pale"}
    tell("receive", **bed, **plant, count=200, origin="bought", **{"from": "a neighbour"})
    tell("pot_up", **bed, to_form="1 L pot", to="standing ground", count=150)
    left, sold = 150, 0
    for _ in range(sales):
        sold = chance.randint(1, 20)
        left -= sold
        tell("sell", **pots, count=sold, to="a customer at the gate")
    return bed, pots, left, sold


def lives(count: int) -> list[Entry]:
    """Lots that come in, are moved, potted, sold, lost and counted; one entry in fifty is undone."""
    chance = random.Random(50)
    made: list[Entry] = []

    def tell(kind: str, **data: object) -> None:
        n = len(made)
        day = LAST - timedelta((count - 1 - n) // 20)
        at = f"{day}T{8 + n % 20 // 2:02}:{n % 2 * 30:02}:{n % 60:02}.{n:06}+00:00"
        made.append(Entry(f"shed-{n:012x}", at, day, kind, data))

    while len(made) < count:
        bed, pots, left, _ = bought_and_sold(tell, len(made), 6, chance)
        if chance.random() < 0.5:
            tell("undo", of=made[-1].id)
        tell("lose", **pots, count=left, cause="vine weevil")
        if count - len(made) > 10 * LIVING:
            tell("plant_out", **bed, count=50, to="the long hedge")
        else:
            tell("move", **bed, to="stock beds", count=chance.randint(1, 50))
    return made[:count]


def in_process(script: str, *given: str) -> float:
    """The seconds that a script in a fresh process says it took; they are its last line."""
    call = [sys.executable, "-c", script, *given]
    done = subprocess.run(call, capture_output=True, text=True, check=True, cwd=os.getcwd())
    return float((done.stderr if script is COMMAND else done.stdout).split()[-1])


def best(do: Callable[[], object], runs: int) -> float:
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        do()
        times.append(time.perf_counter() - start)
    return min(times)


def main(runs: int) -> None:
    with tempfile.TemporaryDirectory() as root:
        farm_file = Path(root) / "hollow.toml"
        farm_file.write_text(TINY + STOCK, encoding="utf-8")
        folder = journal_folder(farm_file)
        folder.mkdir()
        lines = folder / "shed.jsonl"
        lines.write_bytes(b"".join(map(to_line, lives(ENTRIES))))
        ratios, loads, whole = [], [], []
        for _ in range(runs):
            loads.append(in_process(LOADS, str(lines)))
            whole.append(in_process(COMMAND, str(farm_file), LAST.isoformat()))
            ratios.append(whole[-1] / loads[-1])
        gc.disable()
        farm = read_farm(farm_file).farm
        assert farm is not None
        entries = read_journal(folder)[0]
        text = lines.read_bytes().splitlines()
        base = best(lambda: [json.loads(line) for line in text], 5)
        parts = {
            "read_journal": best(lambda: read_journal(folder), 5),
            "standing": best(lambda: standing(entries), 5),
            "apply": best(lambda: apply(farm, standing(entries)), 5),
            "apply, all movements kept": best(lambda: apply(farm, standing(entries), watch=None), 5),
        }
    print(
        f"widger stock on {ENTRIES} entries: {statistics.median(whole):.2f} s, json.loads alone "
        f"{statistics.median(loads):.2f} s: {statistics.median(ratios):.2f} times "
        f"(from {min(ratios):.2f} to {max(ratios):.2f}); wanted: {WANTED:g}"
    )
    for name, seconds in parts.items():
        print(f"  {name:<26} {seconds:.3f} s, {seconds / base:.2f} times")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
