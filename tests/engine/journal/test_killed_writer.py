"""A writer killed at any moment: what was acknowledged is there, nothing is half there, and the next append works."""

import os
import random
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest

from engine.journal.entry import Entry
from engine.journal.store import append, read_journal
from tests.fuzz import budget
from tests.sampled import sampled

ROOT = Path(__file__).parents[3]
KILLS = max(int(os.environ.get("WIDGER_KILLS", "40")), budget(40, 500))
"""With the slow tests; 8 always."""
LENGTHS = (10, 3_000, 60_000)
"""Characters of the notes written in turn: within a page of the file cache, about one, and many."""

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is a signal of POSIX systems")

WRITER = """
import sys
from datetime import date
from itertools import count
from pathlib import Path
from engine.journal.entry import Entry
from engine.journal.store import append
folder, run, lengths = Path(sys.argv[1]), sys.argv[2], [int(length) for length in sys.argv[3:]]
print("ready", flush=True)
for n in count():
    note = str(n % 10) * lengths[n % len(lengths)]
    append(folder, "shed", lambda known: [
        Entry(f"{run}-{n}", "2027-03-01T08:00:00Z", date(2027, 3, 1), "note", {"note": note})
    ])
    print(f"{run}-{n}", flush=True)
"""


def expected(name: str) -> Entry:
    n = int(name.rsplit("-", 1)[1])
    note = str(n % 10) * LENGTHS[n % len(LENGTHS)]
    return Entry(name, "2027-03-01T08:00:00Z", date(2027, 3, 1), "note", {"note": note})


def next_append_works(folder: Path, name: str) -> None:
    mark = Entry(name, "2027-03-01T08:00:00Z", date(2027, 3, 1), "mark", {})
    assert append(folder, "shed", lambda known: [mark], patience_s=1) == (mark,)
    loaded, faults = read_journal(folder)
    assert mark in loaded
    assert faults == ()


@pytest.mark.parametrize("kills", sampled([8, KILLS], 2))
def test_a_writer_killed_at_a_random_time_loses_nothing_that_it_acknowledged(tmp_path: Path, kills: int) -> None:
    chance = random.Random(2027)
    acknowledged: set[str] = set()
    total = 0
    folder = tmp_path / "0.records"
    for kill in range(kills):
        if kill % 8 == 0:  # a new journal now and then, so that its first moments are tried too
            folder = tmp_path / f"{kill}.records"
            acknowledged = set()
        command = [sys.executable, "-c", WRITER, str(folder), f"run{kill}", *map(str, LENGTHS)]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as writer:
            assert writer.stdout is not None
            assert writer.stdout.readline() == "ready\n"
            said = "".join(writer.stdout.readline() for _ in range(chance.randrange(5)))
            time.sleep(chance.uniform(0, 0.004))  # so that it dies in the midst of something; nothing hangs on how long
            writer.kill()
            said += writer.stdout.read()
        acknowledged.update(line for line in said.split("\n")[:-1])
        total += said.count("\n")
        loaded, faults = read_journal(folder)
        notes = {entry.id: entry for entry in loaded if entry.kind == "note"}
        assert acknowledged <= notes.keys()
        assert all(entry == expected(name) for name, entry in notes.items())
        assert all("cut short" in fault.message for fault in faults)
        next_append_works(folder, f"mark{kill}")
    assert total > kills, "the writers were killed before they wrote enough to try anything"


DYING = """
import os, signal, sys
from datetime import date
from pathlib import Path
from engine.journal.entry import Entry
from engine.journal.store import append

left = 0

def deadly(name):
    real = getattr(os, name)
    def call(handle, *rest):
        global left
        left -= 1
        if left == 0:
            if name == "write":
                real(handle, rest[0][: len(rest[0]) // 2])
            os.kill(os.getpid(), signal.SIGKILL)
        return real(handle, *rest)
    setattr(os, name, call)

for name in ("open", "write", "fsync", "ftruncate", "close"):
    deadly(name)
for calls, folder in enumerate(sys.argv[1:], 1):
    if not os.fork():
        left = calls
        append(Path(folder), "shed", lambda known: [
            Entry("dying-0", "2027-03-01T08:00:00Z", date(2027, 3, 1), "note", {"note": "0" * 10})
        ])
        os._exit(0)
    left = 0
    if os.wait()[1] == 0:
        print(calls, flush=True)
        break
"""


@pytest.mark.parametrize("start", ["no journal", "a journal", "a torn end"])
def test_a_writer_killed_before_each_of_its_calls_to_the_disk_leaves_a_whole_journal(
    tmp_path: Path, start: str
) -> None:
    """Killed before its first call, its second, and so on until it lives; a write is killed half done. Each has a
    process and a journal of its own."""
    first = expected("first-1")
    torn = b'{"v":1,"id":"lost","at":"2027'
    folders = [tmp_path / f"{calls}.records" for calls in range(1, 60)]
    for folder in folders:
        if start != "no journal":
            append(folder, "shed", lambda known: [first])
        if start == "a torn end":
            with (folder / "shed.jsonl").open("ab") as file:
                file.write(torn)
    done = subprocess.run([sys.executable, "-c", DYING, *map(str, folders)], cwd=ROOT, capture_output=True, text=True)
    lived = int(done.stdout)
    for calls, folder in enumerate(folders[:lived], 1):
        loaded, faults = read_journal(folder)
        notes = [entry for entry in loaded if entry.kind == "note"]
        before = [] if start == "no journal" else [first]
        assert notes in (before, [expected("dying-0"), *before])
        assert all("cut short" in fault.message for fault in faults)
        if calls == lived:
            assert expected("dying-0") in notes
        next_append_works(folder, "mark")
        if start == "a torn end":
            assert torn + b"\n" in (folder / "shed.torn").read_bytes()
    assert lived > 8, done.stderr
