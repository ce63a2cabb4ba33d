"""Journals whose entries hold anything: what fits nothing is told by file and line, and every view stands."""

from __future__ import annotations

import random
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest

from engine.journal.entry import Entry, to_line
from engine.journal.store import journal_folder
from tests.tui.conftest import Call
from tests.tui.farms import TINY
from tests.tui.fuzz.inputs import TEXTS, VIEWS, budget, holds_together

KINDS = (
    "done", "look", "hold", "release", "later", "accept", "drop", "note", "came", "batch",
    "change", "receive", "move",
    "pot_up", "grade", "sell", "give", "plant_out", "lose", "count", "split", "join", "doubt",
    "verify", "row", "need",
    "amend", "withdraw", "stock_plant", "grub_out", "saw", "worked", "outage", "undo", "correct", "packed",
    "walked", "took_over", "place", "price", "hours", "unheard-of",
)  # fmt: skip
NAMES = (
    "batch", "lot", "step", "count", "left", "part", "join", "into", "form", "grade", "place",
    "to", "to_form", "species",
    "cultivar", "method", "route", "start", "ready", "need", "by", "sure", "who", "plant",
    "yields", "planted", "material",
    "mark", "do", "days", "temperature_c", "row", "lots", "grades", "finding", "reason", "cause",
    "text", "of", "day", "from",
    "unnamed", "there", "item", "ordered", "unit", "origin", "now", "was", "places",
)  # fmt: skip
GOOD = (
    "Z1", "Z2", "Z3", "M1", "P1", "L1", "soak", "stratify cold", "sow", "collect",
    "Fictus ripensis", "bankside fig", "seed",
    "pot", "1 L pot", "seed beds", "potting shed", "cold store", "leaf drop", "bud swell",
    "radicles", "mould", "lamp-000000",
    "2027-03-01", "2026-12-01", 1, 10, 40, 100, 0.9, True, None, {"first": 10}, [["P1", 1, 2]], ["Z2"], [[1, 5]],
    {"room": ["40 trays"], "under_cover": True}, {"each": 1.2}, {"jan": 6}, {"cold store": "seed beds"}, "rootstock",
)  # fmt: skip
BAD = (*TEXTS, -1, 0, 0.5, 1e15, 10**400, 1e308, [], {}, [[]], {"": {}}, [None], ["x", 3], {"x": 10**30}, {"²": -1})


def any_entry(chance: random.Random, n: int) -> Entry:
    def value() -> Any:
        return chance.choice(GOOD if chance.random() < 0.8 else BAD)

    on = date(2026, 11, 1) + timedelta(chance.randrange(150))
    if chance.random() < 0.05:
        on = chance.choice((date.min, date(1899, 12, 31), date(2200, 12, 31), date.max))
    at = f"{datetime.combine(date(2027, 1, 5), time()) + timedelta(minutes=n)}+00:00".replace(" ", "T")
    if chance.random() < 0.02:
        at = chance.choice(("9999-12-31T23:59:59+00:00", "9999-12-31T23:59:59-14:00", "0001-01-01T00:00:00+14:00"))
    kind = chance.choice(KINDS)
    data = {name: value() for name in chance.sample(NAMES, chance.randrange(7))}
    if chance.random() < 0.8:
        data |= {"batch": chance.choice(("Z1", "Z2", "Z3", "M1")), "lot": chance.choice(("Z1", "L1", "P1"))}
    return Entry(f"{chance.choice(('shed', 'lamp', 'bench'))}-{n:06}", at, on, kind, data)


@pytest.mark.parametrize("part", range(8))
def test_no_journal_breaks_a_view(part: int, tmp_path: Path, call: Call) -> None:
    path = tmp_path / "hollow.toml"
    path.write_text(TINY, encoding="utf-8")
    folder = journal_folder(path)
    folder.mkdir()
    for n in range(part, budget(80), 8):
        chance = random.Random(n)
        entries = [any_entry(chance, k) for k in range(chance.randrange(1, 25))]
        lines = []
        for entry in entries:
            try:
                lines.append(to_line(entry))
            except ValueError:
                continue  # what no device could have written
        (folder / "shed.jsonl").write_bytes(b"".join(lines))
        try:
            holds_together(path, "2027-03-01", call, tuple(chance.sample(VIEWS, 2)))
        except BaseException as fault:
            told = "\n".join(map(str, entries))
            raise AssertionError(f"journal {n} breaks it: {fault!r}\n{told}") from fault
