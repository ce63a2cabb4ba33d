"""A farm of many batches beside a journal of many entries: the records of some twenty years."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

from engine.farm.model import Batch
from engine.farm.reading import read_farm
from engine.journal.entry import Entry, to_line
from engine.journal.store import journal_folder
from tests.benchmarks.key_repaint import FARM, KINDS
from tests.benchmarks.stock_50000 import bought_and_sold

TODAY = date(2026, 11, 18)
LATER = 4
"""One batch in so many is of this autumn; the others began in the years before, and are done with."""
KEPT = 0.05
"""Of the lots that were bought in so many still stand in pots, what is left of them."""
IN_THE_COLD = "stratify cold"


def large_farm(folder: Path, batches: int, entries: int) -> Path:
    """The file of a farm of so many batches, with so many entries beside it."""
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
