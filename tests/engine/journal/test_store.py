"""Reading the journal: files merge to one result, damage is set aside and told, and an undo is an entry."""

import errno
import os
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.journal.entry import Entry, to_line
from engine.journal.store import JournalUnwritable, append, journal_folder, read_journal, standing, taken_back
from tests.sampled import examples

ODD_TEXT = 'línea \u2028 \x85 \x00 \r\n \\ " 🌱 e\u0301'

moments = st.datetimes(min_value=datetime(2027, 1, 1), max_value=datetime(2027, 1, 2))
offsets = st.integers(-14, 14).map(lambda hours: timezone(timedelta(hours=hours)))
entries = st.builds(
    lambda name, moment, offset, note: Entry(
        name, moment.replace(tzinfo=offset).isoformat(), moment.date(), "note", {"note": note}
    ),
    st.text("abcé🌱", min_size=1, max_size=3),
    moments | st.just(datetime(2027, 1, 1, 12)),
    offsets,
    st.text(st.characters(exclude_categories=["Cs"]), max_size=8),
)


def stuck(name: str, minute: int = 0, **data: Any) -> Entry:
    """Cuttings stuck on 1 March 2027, so many minutes after eight."""
    moment = datetime(2027, 3, 1, 8, tzinfo=UTC) + timedelta(minutes=minute)
    return Entry(name, moment.isoformat(), date(2027, 3, 1), "done", data or {"batch": "elder-27", "count": 90})


def put(*made: Entry) -> Callable[[tuple[Entry, ...]], tuple[Entry, ...]]:
    return lambda known: made


# --- reading


def test_the_journal_stands_beside_the_farm_file() -> None:
    assert journal_folder(Path("/farms/hollow.toml")) == Path("/farms/hollow.records")
    assert journal_folder(Path("hollow.2027.toml")) == Path("hollow.2027.records")
    assert journal_folder(Path("hollow.v2")) == Path("hollow.v2.records")


def test_a_farm_without_a_journal_has_an_empty_one(folder: Path) -> None:
    assert read_journal(folder) == ((), ())
    assert not folder.exists()


def test_what_cannot_be_read_is_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    append(folder, "shed", put(stuck("shed-1")))
    (folder / "office.jsonl").mkdir()
    loaded, faults = read_journal(folder)
    assert loaded == (stuck("shed-1"),)
    assert [(Path(fault.file).name, fault.line) for fault in faults] == [("office.jsonl", 0)]

    def refuse(path: Path) -> list[str]:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(os, "listdir", refuse)
    loaded, faults = read_journal(folder)
    assert loaded == ()
    assert "access is not allowed" in faults[0].message


def test_entries_are_ordered_by_instant_and_not_by_the_clock_on_the_wall(folder: Path) -> None:
    def at(name: str, moment: str) -> Entry:
        return Entry(name, moment, date(2027, 10, 31), "seen")

    later = at("a", "2027-10-31T02:15:00+01:00")  # after the clocks went back
    earlier = at("b", "2027-10-31T02:45:00+02:00")
    same = at("c", "2027-10-31T00:45:00Z")
    append(folder, "shed", put(same, later, earlier))
    assert read_journal(folder)[0] == (earlier, same, later)


@examples(60)
@given(st.lists(st.tuples(entries, st.sets(st.integers(0, 2), min_size=1)), max_size=12, unique_by=lambda p: p[0].id))
def test_three_devices_merge_to_one_journal_in_any_order(shared: list[tuple[Entry, set[int]]]) -> None:
    """Each entry stands in the files of one to three devices, as a sync program may leave it."""
    held = [b"".join(to_line(entry) for entry, devices in shared if n in devices) for n in range(3)]
    results = []
    with tempfile.TemporaryDirectory() as temporary:
        place = Path(temporary)
        for order in permutations(range(3)):
            for name, n in zip(("barn", "office", "shed"), order, strict=True):
                (place / f"{name}.jsonl").write_bytes(held[n])
            results.append(read_journal(place))
    assert all(result == results[0] for result in results)
    loaded, faults = results[0]
    assert faults == ()
    assert sorted(entry.id for entry in loaded) == sorted(entry.id for entry, _ in shared)


def test_one_id_with_two_contents_keeps_the_first_written_and_tells_the_other(folder: Path) -> None:
    first, second = stuck("shed-1", 0, count=90), stuck("shed-1", 1, count=91)
    folder.mkdir()
    for names in permutations(("barn", "office", "shed")):
        for name, entry in zip(names, (first, second, first), strict=True):
            (folder / f"{name}.jsonl").write_bytes(to_line(stuck("other", 2)) + to_line(entry))
        loaded, faults = read_journal(folder)
        assert loaded == (first, stuck("other", 2))
        assert [(Path(fault.file).stem, fault.line) for fault in faults] == [(names[1], 2)]
        assert "'shed-1'" in faults[0].message
        for name in names[1:]:
            (folder / f"{name}.jsonl").write_bytes(to_line(stuck("other", 2)) + to_line(second))
        loaded, faults = read_journal(folder)
        assert loaded == (first, stuck("other", 2))
        assert [(Path(fault.file).stem, fault.line) for fault in faults] == [(name, 2) for name in sorted(names[1:])]


def test_one_and_true_under_one_id_are_not_the_same(folder: Path) -> None:
    folder.mkdir()
    (folder / "barn.jsonl").write_bytes(to_line(stuck("shed-1", count=1)))
    (folder / "shed.jsonl").write_bytes(to_line(stuck("shed-1", count=True)))
    assert len(read_journal(folder)[1]) == 1


def test_altered_lines_are_set_aside_with_their_numbers_and_the_rest_loads(folder: Path) -> None:
    made = [stuck(f"shed-{n}", n) for n in range(6)]
    append(folder, "shed", put(*made))
    path = folder / "shed.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    lines[1] = lines[1].replace(b'"count":90', b'"count":09')
    lines[3] = b"<<<<<<< mine\n"
    path.write_bytes(b"".join(lines))
    loaded, faults = read_journal(folder)
    assert loaded == (made[0], made[2], made[4], made[5])
    assert [(fault.file, fault.line) for fault in faults] == [(str(path), 2), (str(path), 4)]
    append(folder, "shed", put(stuck("shed-9", 9)))
    assert path.read_bytes().startswith(b"".join(lines)), "a damaged line stays where it is"


def test_line_breaks_rewritten_on_the_way_do_not_spoil_a_line(folder: Path) -> None:
    first, second = stuck("shed-1"), stuck("shed-2", 1)
    folder.mkdir()
    (folder / "office.jsonl").write_bytes((to_line(first) + to_line(second)).replace(b"\n", b"\r\n"))
    (folder / "shed.jsonl").write_bytes(to_line(first))
    assert read_journal(folder) == ((first, second), ())


# --- a torn end


def test_a_line_torn_at_any_byte_is_told_kept_aside_and_mended_by_the_next_append(tmp_path: Path) -> None:
    torn_line = to_line(stuck("shed-2", 1, note=ODD_TEXT))
    for cut in range(1, len(torn_line)):
        folder = tmp_path / f"{cut}.records"
        append(folder, "shed", put(stuck("shed-1")))
        path = folder / "shed.jsonl"
        with path.open("ab") as file:
            file.write(torn_line[:cut])
        loaded, faults = read_journal(folder)
        assert loaded == (stuck("shed-1"),)
        assert [(fault.line, "cut short" in fault.message) for fault in faults] == [(2, True)]
        append(folder, "shed", put(stuck("shed-3", 2)))
        assert read_journal(folder) == ((stuck("shed-1"), stuck("shed-3", 2)), ())
        assert (folder / "shed.torn").read_bytes() == torn_line[:cut] + b"\n"


def test_torn_ends_gather_in_the_side_file(folder: Path) -> None:
    folder.mkdir()
    path = folder / "shed.jsonl"
    path.write_bytes(b'{"v":1')
    append(folder, "shed", put(stuck("shed-1")))
    with path.open("ab") as file:
        file.write(b"\x00\x00\x00")
    append(folder, "shed", put(stuck("shed-2", 1)))
    assert (folder / "shed.torn").read_bytes() == b'{"v":1\n\x00\x00\x00\n'
    assert read_journal(folder) == ((stuck("shed-1"), stuck("shed-2", 1)), ())


def test_the_torn_end_of_another_device_is_left_to_that_device(folder: Path) -> None:
    append(folder, "office", put(stuck("office-1")))
    with (folder / "office.jsonl").open("ab") as file:
        file.write(b'{"v":1,"id":"off')
    held = (folder / "office.jsonl").read_bytes()
    append(folder, "shed", put(stuck("shed-1", 1)))
    assert (folder / "office.jsonl").read_bytes() == held
    assert len(read_journal(folder)[1]) == 1


# --- undo


def undo(name: str, of: str) -> Entry:
    return Entry(name, "2027-03-01T09:00:00Z", date(2027, 3, 1), "undo", {"of": of})


def test_an_entry_undone_does_not_stand_and_stands_again_when_the_undo_is_undone() -> None:
    act, once, back, again = stuck("a"), undo("u1", "a"), undo("u2", "u1"), undo("u3", "u2")
    assert standing((act,)) == (act,)
    assert standing((act, once)) == (once,)
    assert standing((act, once, back)) == (act, back)
    assert standing((act, once, back, again)) == (once, again)


def test_undoing_twice_is_harmless() -> None:
    act, once, twice = stuck("a"), undo("u1", "a"), undo("u2", "a")
    assert standing((act, once, twice)) == (once, twice)
    assert standing((act, once, twice, undo("u3", "u1"))) == (twice, undo("u3", "u1"))


def test_an_undo_of_what_is_not_there_undoes_nothing() -> None:
    lost = undo("u1", "gone")
    vague = Entry("u2", "2027-03-01T09:00:00Z", date(2027, 3, 1), "undo", {"of": [5, {"a": "a"}]})
    assert standing((stuck("a"), lost, vague)) == (stuck("a"), lost, vague)


def test_undos_in_a_ring_end_and_leave_the_rest_alone() -> None:
    ring = (undo("u1", "u2"), undo("u2", "u1"), undo("self", "self"))
    assert standing((stuck("a"), *ring)) == (stuck("a"),)
    assert standing((*ring, undo("u3", "u1"))) == (ring[1], undo("u3", "u1"))


def test_an_undo_of_several_takes_them_all_back_and_undone_gives_them_all_again() -> None:
    acts = [stuck("a"), stuck("b"), stuck("c")]
    once = Entry("u1", "2027-03-01T09:00:00Z", date(2027, 3, 1), "undo", {"of": ["a", "c", "a", 5, "gone"]})
    assert standing((*acts, once)) == (acts[1], once)
    assert standing((*acts, once, undo("u2", "u1"))) == (*acts, undo("u2", "u1"))
    assert standing((*acts, once, undo("u2", "a"), undo("u3", "u1"))) == (
        acts[1],
        acts[2],
        undo("u2", "a"),
        undo("u3", "u1"),
    )


@given(
    st.lists(st.lists(st.integers(min_value=0), min_size=1, max_size=3), max_size=14), st.randoms(use_true_random=False)
)
def test_what_stands_does_not_hang_on_the_order_of_the_entries(targets: list[list[int]], chance: Any) -> None:
    """Against the plain rule: an entry stands where no undo of it stands."""
    acts = [stuck("0")]
    for n, some in enumerate(targets, 1):
        of = [str(target % n) for target in some]
        acts.append(
            Entry(str(n), "2027-03-01T09:00:00Z", date(2027, 3, 1), "undo", {"of": of if len(of) > 1 else of[0]})
        )

    def stands(entry: Entry) -> bool:
        return not any(entry.id in taken_back(other) and stands(other) for other in acts)

    expected = {entry.id for entry in acts if stands(entry)}
    chance.shuffle(acts)
    assert standing(acts) == tuple(entry for entry in acts if entry.id in expected)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="named pipes are of POSIX systems")
def test_what_is_no_file_in_the_folder_is_told_and_keeps_nobody_waiting(folder: Path) -> None:
    append(folder, "shed", lambda known: [stuck("shed-1")])
    os.mkfifo(folder / "pipe.jsonl")
    (folder / "device.jsonl").symlink_to("/dev/zero")
    (folder / "folder.jsonl").mkdir()
    (folder / "link.jsonl").symlink_to("nowhere")
    loaded, faults = read_journal(folder)
    assert [entry.id for entry in loaded] == ["shed-1"]
    told = {Path(fault.file).stem: f"{fault.message}: {fault.hint}" for fault in faults}
    assert sorted(told) == ["device", "folder", "link", "pipe"]
    assert all("Move it" in told[name] for name in ("device", "folder", "pipe"))
    assert "link to what is not there: Bring that back" in told["link"]
    with pytest.raises(JournalUnwritable, match="not a file on a disk"):
        append(folder, "pipe", lambda known: [stuck("pipe-1")])


def test_what_stands_where_the_folder_should_be_is_told_with_what_to_do(tmp_path: Path) -> None:
    (tmp_path / "farm.records").touch()
    with pytest.raises(JournalUnwritable, match="something else stands") as told:
        append(tmp_path / "farm.records", "shed", lambda known: [stuck("shed-1")])
    assert "Move it" in told.value.hint
    assert "Move it" in read_journal(tmp_path / "farm.records")[1][0].hint
