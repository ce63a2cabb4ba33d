"""Lines of the journal: each gives back its entry exactly, and a damaged one is never taken for a whole one."""

import json
import zlib
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.journal.entry import DEEPEST, RESERVED, Entry, LineError, parse, parse_all, to_line
from tests.sampled import examples, slow

ODD_TEXT = 'línea \u2028 \x85 \x00 \r\n \\ " 🌱 e\u0301'

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=12,
)
offsets = st.integers(-23 * 60, 23 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
times = st.datetimes(timezones=offsets).map(lambda moment: moment.isoformat())
entries = st.builds(
    Entry,
    id=texts.filter(bool),
    at=times,
    on=st.dates(),
    kind=texts.filter(bool),
    data=st.dictionaries(texts.filter(lambda name: name not in RESERVED), values, max_size=5),
)


def stuck(name: str, minute: int = 0, **data: Any) -> Entry:
    """Cuttings stuck on 1 March 2027, so many minutes after eight."""
    moment = datetime(2027, 3, 1, 8, tzinfo=UTC) + timedelta(minutes=minute)
    return Entry(name, moment.isoformat(), date(2027, 3, 1), "done", data or {"batch": "elder-27", "count": 90})


def sealed(body: bytes) -> bytes:
    """A line with a right sum, whatever it holds."""
    return body + b',"sum":"%08x"}\n' % zlib.crc32(body)


@given(entries)
def test_a_line_gives_back_the_entry_it_was_made_from(entry: Entry) -> None:
    line = to_line(entry)
    again = parse(line[:-1])[1]
    assert again == entry
    assert repr(json.loads(json.dumps(again.data, sort_keys=True))) == repr(
        json.loads(json.dumps(entry.data, sort_keys=True))
    )  # 1, 1.0 and true are equal in Python and must not be taken for one another
    assert to_line(again) == line
    assert line.count(b"\n") == 1


def test_a_line_is_plain_json_in_a_settled_order() -> None:
    line = to_line(stuck("shed-1", note="zwölf Stück", batch="elder-27", count=12))
    assert list(json.loads(line)) == ["v", "id", "at", "on", "kind", "batch", "count", "note", "sum"]
    assert line.startswith(b'{"v":1,"id":"shed-1","at":"2027-03-01T08:00:00+00:00","on":"2027-03-01","kind":"done",')
    assert "zwölf Stück".encode() in line
    assert line == sealed(line[:-19])


@examples(100)
@given(entry=entries, place=st.integers(min_value=0), change=st.integers(1, 255))
def test_any_one_byte_altered_is_found(entry: Entry, place: int, change: int) -> None:
    line = bytearray(to_line(entry)[:-1])
    line[place % len(line)] ^= change
    with pytest.raises(ValueError, match=r"torn|not JSON|sum does not match"):
        parse(bytes(line))


@slow
def test_every_byte_of_a_line_altered_in_every_way_is_found() -> None:
    line = to_line(stuck("shed-1", note=ODD_TEXT))[:-1]
    for place in range(len(line)):
        for change in range(1, 256):
            altered = line[:place] + bytes([line[place] ^ change]) + line[place + 1 :]
            with pytest.raises(ValueError, match=r"torn|not JSON|sum does not match"):
                parse(altered)


@given(entry=entries, cut=st.integers(min_value=0))
def test_a_line_cut_short_anywhere_is_found(entry: Entry, cut: int) -> None:
    line = to_line(entry)[:-1]
    with pytest.raises(ValueError, match=r"torn|not JSON|sum does not match"):
        parse(line[: cut % len(line)])


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (b"\n", "not JSON"),
        (b"\x00" * 40 + b"\n", "not JSON"),
        (b'{"v":1}\n', "sum does not match"),
        (b"[" * 100_000 + b"\n", "not JSON"),
        (to_line(stuck("shed-1")).replace(b"90", b"91"), "sum does not match"),
        (sealed(b'{"v":2,"shape":"unknown"'), r"newer Widger \(layout 2; this one reads 1\)"),
        (sealed(b'{"v":true,"id":"a"'), "layout is not known"),
        (sealed(b'{"id":"a"'), "layout is not known"),
        (sealed(b'{"v":1,"at":"2027-03-01T08:00Z","on":"2027-03-01","kind":"done"'), "lacks 'id'"),
        (sealed(b'{"v":1,"id":"a","at":"2027-03-01T08:00","on":"2027-03-01","kind":"done"'), "no offset"),
        (sealed(b'{"v":1,"id":"a","at":7,"on":"2027-03-01","kind":"done"'), "time 7 is not"),
        (sealed(b'{"v":1,"id":"a","at":"2027-03-01T08:00Z","on":"2027-02-29","kind":"done"'), "'2027-02-29' is not"),
        (sealed(b'{"v":1,"id":5,"at":"2027-03-01T08:00Z","on":"2027-02-28","kind":"done"'), "not both texts"),
        (sealed(b'{"v":1,"id":"a","at":"2027-03-01T08:00Z","on":"2027-02-28","kind":"x","n":NaN'), "not JSON"),
    ],
)
def test_a_line_that_is_no_entry_says_why(line: bytes, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        parse(line[:-1])


spoilt = st.sampled_from(
    [
        b"", b"no entry", sealed(b'{"v":1}'), sealed(b"[1,2"), sealed(b'1],[{"a":2'), sealed(b'{"v":1},{"v":1'),
        sealed(b'{"v":2,"id":"a"'), sealed(b'{"v":1,"id":"a","at":"noon","on":"2027-03-01","kind":"k"'),
        sealed(b'{"a":[1'), sealed(b'\xff'), to_line(stuck("torn"))[:-9] + b'0000000"}',
    ]
)  # fmt: skip


@given(st.lists(entries.map(to_line) | spoilt, max_size=30), st.booleans())
def test_lines_read_together_are_what_they_are_one_by_one(lines: list[bytes], by_windows: bool) -> None:
    ends = [line.removesuffix(b"\n") + (b"\r" if by_windows else b"") for line in lines]
    assert [_told(read) for read in parse_all(ends)] == [_told(_alone(line)) for line in ends]


def _alone(line: bytes) -> tuple[float, Entry] | LineError:
    try:
        return parse(line)
    except LineError as reason:
        return reason


def _told(read: tuple[float, Entry] | LineError) -> object:
    return (str(read), read.hint) if isinstance(read, LineError) else read


def test_one_spoilt_line_among_thousands_spoils_no_other() -> None:
    lines = [to_line(stuck(str(n)))[:-1] for n in range(1700)]
    lines[600] = sealed(b'{"v":1},{"v":1')[:-1]
    lines[601] = lines[601].replace(b"elder", b"alder")
    read = list(parse_all(lines))
    assert [n for n, one in enumerate(read) if isinstance(one, LineError)] == [600, 601]
    assert [one[1].id for one in read if not isinstance(one, LineError)] == [
        str(n) for n in range(1700) if n not in (600, 601)
    ]


def nested(depth: int) -> list[Any]:
    inner: list[Any] = []
    for _ in range(depth - 1):
        inner = [inner]
    return inner


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        ({"sum": 1}, "'sum'"),
        ({"id": "b"}, "'id'"),
        ({"on": date(2027, 3, 1)}, "'on'"),
        ({"by": date(2027, 3, 1)}, r"data\.by: an entry cannot hold a date; write a date as text"),
        ({"a": [1, {"b": (1, 2)}]}, r"data\.a\[1\]\.b: an entry cannot hold a tuple"),
        ({"a": {1: "one"}}, "the name 1 is not a text"),
        ({"rate": float("nan")}, "nan is not a number"),
        ({"rate": float("inf")}, "inf is not a number"),
        ({"note": "half \ud83c"}, "half of a character"),
        ({"deep": nested(DEEPEST + 1)}, "deep"),
    ],
)
def test_data_that_a_line_would_change_is_refused(data: dict[str, Any], reason: str) -> None:
    entry = Entry("shed-1", "2027-03-01T08:00:00Z", date(2027, 3, 1), "done", data)
    with pytest.raises(ValueError, match=reason):
        to_line(entry)


def test_the_deepest_data_allowed_comes_back() -> None:
    entry = stuck("shed-1", deep=nested(DEEPEST))
    assert parse(to_line(entry)[:-1])[1] == entry


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"id": ""}, "needs its id"),
        ({"kind": ""}, "needs its kind"),
        ({"at": "2027-03-01T08:00:00"}, "no offset"),
        ({"at": "yesterday"}, "'yesterday' is not"),
        ({"on": datetime(2027, 3, 1, tzinfo=UTC)}, "a date without a time"),
    ],
)
def test_an_entry_without_its_id_time_day_or_kind_is_refused(change: dict[str, Any], reason: str) -> None:
    whole = {"id": "shed-1", "at": "2027-03-01T08:00:00Z", "on": date(2027, 3, 1), "kind": "done"}
    with pytest.raises(ValueError, match=reason):
        to_line(Entry(**(whole | change)))
