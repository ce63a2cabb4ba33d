"""Devices that record without having read one another, their files arriving in any order, lines mutated on the way.

Whatever comes of it: everything in = on hand + gone, the same on every device, no entry applied to another's plants.
"""

from __future__ import annotations

import random
import tempfile
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest

from engine.journal.entry import Entry, to_line
from engine.journal.merging import read
from engine.journal.store import read_journal, standing
from engine.journal.undone import stand
from engine.records.makers import refer
from engine.records.records import Records, apply
from engine.records.strays import Stray
from tests.engine.records.farms import TODAY, adds_up, farm_of
from tests.fuzz import budget

FARM = farm_of()
LINER = {"form": "liner", "place": "north bed"}
NOON = datetime(2027, 1, 18, 12, tzinfo=UTC)
ORDERS = budget(25, 1_000)
JOURNALS = budget(60, 10_000)
HISTORIES = budget(20, 500)
DEVICES = ("lamp", "shed", "office")
PLANTS = ("Fictus ripensis", "Fictus montana")
METHOD = {"method": "seed", "count": 60, "start": "2026-12-01"}


class Device:
    """A device with what it has read so far, and what it alone has written."""

    def __init__(self, name: str, chance: random.Random) -> None:
        self.name, self.chance = name, chance
        self.slow = timedelta(minutes=chance.randint(-90, 90))
        """By how much its clock is wrong."""
        self.known: dict[str, Entry] = {}
        self.meant: dict[str, str] = {}
        """Of which plant each of its entries is, as it saw things when it wrote them."""

    def records(self) -> Records:
        return apply(FARM, standing(sorted(self.known.values(), key=lambda each: (each.at, each.id))), watch=None)

    def write(self, minute: int, kind: str, data: dict[str, Any], records: Records) -> None:
        moment = NOON + timedelta(minutes=minute) + self.slow
        latest = max((datetime.fromisoformat(each.at) for each in self.known.values()), default=moment)
        moment = max(moment, latest + timedelta(microseconds=1))
        made = Entry(f"{self.name}-{minute:06x}", moment.isoformat(), TODAY, kind, refer(kind, data, records.bears))
        self.known[made.id] = made

    def act(self, minute: int) -> None:
        """Something that this device may record as it sees things: ids are the same few on all devices."""
        records, chance = self.records(), self.chance
        name = chance.choice(("H27", "L1", "L2", "Z1/1"))
        species = chance.choice(PLANTS)
        choice = chance.randrange(8)
        if choice == 0 and all(lot.id != name for lot in records.lots) and name not in records.stock.names:
            self.write(minute, "batch", {"batch": name, "species": species, **METHOD}, records)
            self.meant[f"{self.name}-{minute:06x}"] = species
        elif choice == 1:
            known = records.stock.names.get(name)
            plant = known.species if known else species
            data = {
                "lot": name,
                "species": plant,
                "form": "liner",
                "place": "north bed",
                "count": chance.randint(1, 40),
            }
            if known is None or known.cultivar == "":
                self.write(minute, "receive", data, records)
                self.meant[f"{self.name}-{minute:06x}"] = plant
        elif choice == 2:
            dropped = chance.choice(records.lots).id
            self.write(minute, "drop", {"batch": dropped, "reason": "mice"}, records)
        elif choice in (3, 4):
            lot = chance.choice([lot for lot in records.lots if lot.given_up is None] or list(records.lots))
            step = next((s.do for s in lot.batch.protocol.steps if s.do not in lot.done), "")
            if step:
                left = chance.choice((0, 0, lot.count // 2))
                data = {"batch": lot.id, "step": step, "count": max(0, lot.count - left)}
                if left:
                    data |= {"left": left, "part": f"{lot.id}/1"}
                self.write(minute, "done", data, records)
                self.meant[f"{self.name}-{minute:06x}"] = lot.batch.species
        elif choice == 7:
            mine = [each for each in standing(list(self.known.values())) if each.id.startswith(f"{self.name}-")]
            if mine and mine[-1].kind != "undo":
                self.write(minute, "undo", {"of": mine[-1].id}, records)
        elif records.stock.holdings:
            held = chance.choice(records.stock.holdings)
            at = {"lot": held.lot, "form": held.form, "grade": held.grade, "place": held.place}
            kind = chance.choice(("sell", "lose", "move", "split", "count"))
            data = {**at, "count": chance.randint(1, held.count)}
            data |= {"to": "seed beds"} if kind == "move" else {"into": f"{held.lot}/1"} if kind == "split" else {}
            self.write(minute, kind, data, records)
            self.meant[f"{self.name}-{minute:06x}"] = held.name.species


def season(seed: int) -> list[Device]:
    """Some acts on three devices, which read one another now and then."""
    chance = random.Random(seed)
    devices = [Device(name, chance) for name in DEVICES]
    for minute in range(chance.randint(6, 30)):
        chance.choice(devices).act(minute)
        if chance.random() < 0.15:
            one, other = chance.sample(devices, 2)
            one.known |= other.known
    return devices


def arrivals(devices: list[Device], chance: random.Random) -> Iterator[Path]:
    """The journal's folder as the devices' files arrive, some only in part at first."""
    with tempfile.TemporaryDirectory() as root:
        folder = Path(root)
        files = {
            device.name: b"".join(to_line(e) for e in device.known.values() if e.id.startswith(f"{device.name}-"))
            for device in devices
        }
        for name in chance.sample(list(files), len(files)):
            cut = chance.randint(0, len(files[name]))
            for part in (cut, len(files[name])):
                (folder / f"{name}.jsonl").write_bytes(files[name][:part])
                yield folder


def holds(entries: Sequence[Entry]) -> None:
    """What must hold whatever was recorded, and in whatever order it came."""
    stand = standing(entries)
    records = apply(FARM, stand)
    adds_up(records.stock)
    dropped = {str(each.data["batch"]) for each in stand if each.kind == "drop"}
    dropped -= {stray.partition(" drop ")[2].partition(":")[0] for stray in records.strays}
    on_hand: dict[str, int] = {}
    for holding in records.stock.holdings:
        on_hand[holding.lot] = on_hand.get(holding.lot, 0) + holding.count
    for lot in records.lots:
        if lot.given_up is not None and lot.id in dropped:
            assert on_hand.get(lot.id, 0) == 0, f"{lot.id} stands free while it is given up"


@pytest.mark.parametrize("seed", range(8))
def test_files_in_any_order_of_arrival_give_one_answer_that_adds_up(seed: int):
    for each in range(seed, ORDERS, 8):
        devices = season(each)
        chance = random.Random(each)
        ends = []
        for _ in range(2):
            read, faults = (), ()
            for folder in arrivals(devices, chance):
                read, faults = read_journal(folder)
                holds(read)
            assert faults == ()
            everything = {e.id for device in devices for e in device.known.values()}
            assert {e.id for e in read} == everything, "nothing that was acknowledged is lost"
            ends.append(apply(FARM, standing(read), watch=None))
        assert ends[0] == ends[1]
        meant = {entry: plant for device in devices for entry, plant in device.meant.items()}
        for moved in ends[0].stock.movements:
            for end in (moved.source, moved.target):
                if not isinstance(end, str) and moved.entry in meant:
                    assert ends[0].stock.names[end[0]].species == meant[moved.entry], (each, moved)


@pytest.mark.parametrize("part", range(4))
def test_every_order_of_arrival_gives_one_farm_and_each_conflict_is_told_once(part: int, tmp_path: Path):
    """Taken up as the screens do: what comes is read and folded on from what was there."""
    for seed in range(part, HISTORIES, 4):
        devices = season(seed)
        ends = []
        for n, order in enumerate(permutations(devices)):
            folder = tmp_path / f"{seed} {n}"
            folder.mkdir()
            journal, stood, records = None, None, apply(FARM, (), watch=None, keep=True)
            for device in order:
                lines = [to_line(e) for e in device.known.values() if e.id.startswith(f"{device.name}-")]
                (folder / f"{device.name}.jsonl").write_bytes(b"".join(lines))
                journal = read(folder, journal)
                stood = stand(journal.entries, stood)
                records = apply(FARM, stood.standing, None, records)
            ends.append(records)
        assert all(end == ends[0] for end in ends), seed
        told = [stray.entry for stray in ends[0].strays if isinstance(stray, Stray)]
        assert len(told) == len(ends[0].strays) == len(set(told)), (seed, ends[0].strays)
        adds_up(ends[0].stock)


def mutated(data: bytes, chance: random.Random) -> tuple[bytes, set[int]]:
    """The bytes with something done to some of the lines; and the numbers of those that were touched."""
    lines = data.split(b"\n")[:-1]
    touched = set()
    for _ in range(chance.randint(1, 4)):
        n = chance.randrange(len(lines))
        line = bytearray(lines[n])
        match chance.randrange(6):
            case 0:
                line[chance.randrange(len(line))] ^= 1 << chance.randrange(8)
            case 1:
                del line[chance.randrange(len(line)) :]
            case 2:
                line = bytearray(chance.randbytes(chance.randint(0, 80)))
            case 3:
                line.insert(chance.randrange(len(line)), chance.randrange(256))
            case 4:
                line = line + line
            case 5:
                line = bytearray(b'{"v":1,"id":' + b"[" * 500)
        lines[n] = bytes(line) or b"x"
        touched.add(n)
        if not line:
            break
    return b"\n".join(lines) + chance.choice((b"\n", b"", b"\n\n", b"\n\0\0")), touched


@pytest.mark.parametrize("part", range(4))
def test_a_mutated_journal_loses_no_line_but_those_that_were_touched(part: int):
    with tempfile.TemporaryDirectory() as root:
        folder = Path(root)
        for seed in range(part, JOURNALS, 4):
            chance = random.Random(seed)
            device = season(seed % 97)[0]
            entries = list(device.known.values())
            if not entries:
                continue
            data, touched = mutated(b"".join(map(to_line, entries)), chance)
            (folder / "lamp.jsonl").write_bytes(data)
            read, faults = read_journal(folder)
            ended = len(entries) if data.endswith(b"\n") else len(entries) - 1
            whole = {e.id for n, e in enumerate(entries[:ended]) if n not in touched}
            assert whole <= {e.id for e in read}, seed
            assert all(fault.hint and fault.line for fault in faults)
            holds(read)
