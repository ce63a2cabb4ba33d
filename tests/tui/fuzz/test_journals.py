"""Journals whose entries hold anything: what fits nothing is told by file and line, and every view stands."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from contextlib import suppress
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest

from engine.journal.entry import Entry, parse, to_line
from engine.journal.store import journal_folder
from engine.reading.frozen import replace
from tests.tui.conftest import Call
from tests.tui.farms import TINY
from tests.tui.fuzz.every import EVERY
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
    "the brook orchard", "A.2", "AU", "O1", "N1", "the row", "lean-to", "Rowan House", "alive", "dead",
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
    folder = journal_folder(path)
    folder.mkdir()
    for n in range(part, budget(80), 8):
        chance = random.Random(n)
        path.write_text(chance.choice((TINY, EVERY)), encoding="utf-8")
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


def with_another(entry: Entry, chance: random.Random) -> Entry:
    """The entry with one thing that is not as it was: a value, a name, the day, the kind, or what it is about."""
    data = dict(entry.data)
    match chance.randrange(5):
        case 0 if data:
            del data[chance.choice(list(data))]
        case 1:
            return replace(entry, on=entry.on + timedelta(chance.choice((-400, -30, -1, 1, 30, 400))))
        case 2:
            return replace(entry, kind=chance.choice(KINDS))
        case 3 if numbers := [name for name, value in data.items() if type(value) is int]:
            data[chance.choice(numbers)] = chance.choice((0, 1, 7, 10**6, -1))
        case _:
            data[chance.choice([*data, *NAMES[:3]])] = chance.choice((*GOOD, *BAD))
    return replace(entry, data=data)


@pytest.mark.parametrize("part", range(2))
def test_no_fault_in_a_true_history_breaks_a_view(
    part: int, tmp_path: Path, call: Call, demo_of: Callable[[date], Path]
) -> None:
    """The demo farm's entries, of which a few say something else, come twice or are lacking, from two devices."""
    on = date(2027, 3, 29)
    source = demo_of(on)
    path = shutil.copytree(source.parent, tmp_path / "farm") / source.name
    folder = journal_folder(path)
    (history,) = folder.glob("*.jsonl")
    true = [parse(line)[1] for line in history.read_bytes().splitlines()]
    for n in range(part, budget(4, 0.06), 2):
        chance = random.Random(n)
        entries = list(true)
        for _ in range(chance.randint(1, 12)):
            at = chance.randrange(len(entries))
            match chance.randrange(4):
                case 0:
                    del entries[at]
                case 1:
                    entries.insert(chance.randrange(len(entries)), replace(entries[at], id=f"lamp-{n:012x}"))
                case _:
                    entries[at] = with_another(entries[at], chance)
        lines = []
        for entry in entries:
            with suppress(ValueError):  # what no device could have written
                lines.append(to_line(entry))
        cut = chance.randrange(len(lines))
        history.write_bytes(b"".join(lines[:cut]))
        (folder / "lamp.jsonl").write_bytes(b"".join(lines[cut:]))
        try:
            holds_together(path, on.isoformat(), call, tuple(chance.sample(VIEWS, 2)))
        except BaseException as fault:
            raise AssertionError(f"history {n} breaks it: {fault!r}") from fault
