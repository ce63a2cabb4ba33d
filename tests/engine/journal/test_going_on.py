"""Reading on from what was read, and standing on from what stood, give what doing it anew gives."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import suppress
from datetime import date
from pathlib import Path

import pytest

from engine.journal import merging
from engine.journal.entry import Entry, to_line
from engine.journal.merging import Journal, read
from engine.journal.store import JournalClash, append
from engine.journal.undone import Stand, stand
from engine.reading import log
from tests.fuzz import budget

DAY = date(2027, 3, 1)
DEVICES = ("lamp", "shed", "office")


def any_entry(chance: random.Random, n: int, ids: list[str]) -> Entry:
    kind = chance.choice(("note", "note", "note", "undo", "correct"))
    of = [chance.choice(ids) if ids and chance.random() < 0.9 else f"shed-{n + chance.randint(0, 5):06x}" for _ in "ab"]
    data: dict[str, object] = {"text": "x" * chance.randrange(40)}
    if kind == "undo":
        data = {"of": chance.choice((of[0], of))}
    elif kind == "correct":
        data = {"of": chance.choice((of[0], of[0], of, None)), "now": {"text": str(n)}}
    minute = max(0, n - chance.choice((0, 0, 0, 0, 7)))
    at = f"2027-03-01T{8 + minute // 60:02}:{minute % 60:02}:00+00:00"
    return Entry(f"{chance.choice(DEVICES)}-{n:06x}", at, DAY, kind, data)


def touch(folder: Path, chance: random.Random, entry: Entry) -> None:
    """Add an entry to a file of the folder, and now and then do to a file what a sync, a crash or a hand may do."""
    path = folder / f"{chance.choice(DEVICES)}.jsonl"
    data = path.read_bytes() if path.exists() else b""
    match chance.randrange(14):
        case 0:
            data += to_line(entry)[: chance.randrange(60)]
        case 1:
            data = data[: chance.randrange(len(data) + 1)] + to_line(entry)
        case 2:
            data += b"no line\n" + to_line(entry)
        case 3 if data:
            path.unlink()
            return
        case 4 if data:
            (folder / "copy.jsonl").write_bytes(data)
            return
        case 5 if data:
            at = chance.randrange(len(data))
            data = data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]
        case 6:
            data += to_line(Entry("shed-000001", entry.at, DAY, "note", {"text": "another of that id"}))
        case _:
            data += to_line(entry)
    path.write_bytes(data)


def histories(part: int, seeds: int, tmp_path: Path) -> Iterator[tuple[int, Path, random.Random, Iterator[Entry]]]:
    """Every second random history: its seed, a new folder for it, its chance, and its entries as they are drawn."""

    def drawn(chance: random.Random) -> Iterator[Entry]:
        ids = list[str]()
        for n in range(chance.randint(3, 25)):
            entry = any_entry(chance, n, ids)
            ids.append(entry.id)
            yield entry

    for seed in range(part, seeds, 2):
        folder = tmp_path / f"{seed}.records"
        folder.mkdir()
        chance = random.Random(seed)
        yield seed, folder, chance, drawn(chance)


@pytest.mark.parametrize("part", range(2))
def test_reading_on_gives_what_reading_anew_gives(part: int, tmp_path: Path):
    for seed, folder, chance, entries in histories(part, budget(40, 4_000), tmp_path):
        before: Journal | None = None
        for entry in entries:
            touch(folder, chance, entry)
            before = read(folder, before)
            anew = read(folder)
            assert (before.entries, before.faults) == (anew.entries, anew.faults), seed
            assert read(folder, before) is before


@pytest.mark.parametrize("part", range(2))
def test_what_was_written_is_known_as_if_it_had_been_read(part: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(merging, "_PIECES", 3)
    monkeypatch.setattr(log, "MOST_ON_TOP", 4)
    parsed: list[int] = []
    real = merging.parse_all
    monkeypatch.setattr(merging, "parse_all", lambda lines: (parsed.append(len(lines)), real(lines))[1])
    for seed, folder, chance, entries in histories(part, budget(30, 2_000), tmp_path):
        before: Journal | None = None
        for entry in entries:
            if chance.random() < 0.3:
                touch(folder, chance, entry)
                continue
            known: list[Journal] = []
            with suppress(JournalClash):
                append(folder, "shed", lambda _, e=entry: [e], before=before, then=known.append)
            (anew,) = known or [read(folder, before)]
            parsed.clear()
            before = read(folder, anew)
            assert (before is anew and not parsed) or not any(f.path.stem == "shed" for f in anew.files), seed
            anew = read(folder)
            assert (before.entries, before.faults) == (anew.entries, anew.faults), seed


@pytest.mark.parametrize("part", range(2))
def test_what_stands_goes_on_from_what_stood(part: int):
    for seed in range(part, budget(200, 20_000), 2):
        chance, ids = random.Random(seed), list[str]()
        entries: tuple[Entry, ...] = ()
        before = Stand()
        for n in range(chance.randint(3, 40)):
            entries = (*entries, any_entry(chance, n, ids))
            ids.append(entries[-1].id)
            if chance.random() < 0.1:
                entries = tuple(sorted(entries, key=lambda each: (each.at, each.id)))
            if chance.random() < 0.7:
                before = stand(entries, before)
                assert before == stand(entries), seed


def test_only_what_was_added_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = tmp_path / "shed.jsonl"
    lines = [to_line(Entry(f"shed-{n:06x}", "2027-03-01T08:00:00Z", DAY, "note", {})) for n in range(20)]
    path.write_bytes(b"".join(lines[:18]) + lines[18][:10])
    before = read(tmp_path)
    assert [fault.line for fault in before.faults] == [19]
    parsed: list[bytes] = []
    real = merging.parse_all
    monkeypatch.setattr(merging, "parse_all", lambda some: (parsed.extend(some), real(some))[1])
    path.write_bytes(b"".join(lines))
    after = read(tmp_path, before)
    assert parsed == [line[:-1] for line in lines[18:]]
    assert len(after.entries) == 20
    assert after.faults == ()
