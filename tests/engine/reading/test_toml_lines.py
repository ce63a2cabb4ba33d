"""The line of a fault: where the key stands in the grower's own text."""

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from engine.reading.toml_lines import line_finder
from tests.sampled import slow

TEXT = '''\
# a farm
title = "x"
site.latitude = 45.0

[site.last_frost]        # chances
"50%" = "05-08"
'10%' = "05-22"

[[batch]]
id = "a"
note = """
[site]
id = "not a key"
"""
[[batch]]
id = "b"
closes = [
  "leaf drop",  # one
  "15 Mar",
]
count = 3

[[protocol]]
[[protocol.step]]
do = "soak"
[[protocol.step]]
do = "sow"
[[protocol]]
[[protocol.step]]
do = "lift"
after = [{do = "sow", wait_days = 3}]
[protocol.step.source]
survive = "from memory"
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("title",), 2),
        (("site", "latitude"), 3),
        (("site",), 3),
        (("site", "last_frost"), 5),
        (("site", "last_frost", "50%"), 6),
        (("site", "last_frost", "10%"), 7),
        (("site", "last_frost", "90%"), 5),  # not there: its table
        (("batch", 0, "id"), 10),
        (("batch", 0, "note"), 11),
        (("batch", 1), 15),
        (("batch", 1, "id"), 16),
        (("batch", 1, "closes"), 17),
        (("batch", 1, "count"), 21),
        (("protocol", 0, "step", 1, "do"), 27),
        (("protocol", 1, "step", 0, "do"), 30),
        (("protocol", 1, "step", 0, "after"), 31),
        (("protocol", 1, "step", 0, "source", "survive"), 33),
        (("nothing", "like", "it"), 0),
        ((), 0),
    ],
)
def test_a_path_is_found_where_it_is_written(path, line):
    assert line_finder(TEXT)(path) == line


def test_signs_that_are_line_ends_elsewhere_are_none_in_toml():
    text = "# a\u2028b\u0085c\nkey = 1\r\nother = 2\r\n"
    tomli.loads(text)
    assert line_finder(text)(("key",)) == 2
    assert line_finder(text)(("other",)) == 3


BARE = st.text("abcdefgh_-0123456789", min_size=1, max_size=6)
ANY = st.text(st.characters(exclude_categories=("Cc", "Cs")), max_size=8)


def quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


@st.composite
def keys(draw: st.DrawFn) -> tuple[str, str]:
    """A key and how it is written."""
    if draw(st.booleans()):
        bare = draw(BARE)
        return bare, bare
    name = draw(ANY)
    if "'" not in name and draw(st.booleans()):
        return name, f"'{name}'"
    return name, quoted(name)


VALUES = st.one_of(
    st.integers(-99, 99).map(str),
    ANY.map(quoted),
    st.lists(ANY.map(quoted), max_size=3).map(lambda v: "[" + ", ".join(v) + "]"),
    st.lists(ANY.map(quoted), min_size=1, max_size=3).map(lambda v: "[\n  " + ",\n  ".join(v) + ", # [x]\n]"),
    st.lists(st.sampled_from(["[site]", "id = 3", "[[batch]]", "plain"]), max_size=3).map(
        lambda v: '"""\n' + "\n".join(v) + '"""'
    ),
    st.just("{do = 3, wait = [1, 2]}"),
    st.just("2026-11-01"),
)
NOISE = st.sampled_from(["", "", "\n", "# a note: x = [\n", "   # = \n\n"])


@st.composite
def documents(draw: st.DrawFn) -> tuple[str, dict[tuple[str | int, ...], int]]:
    """A TOML document and the line of every key that was written."""
    text = ""
    where: dict[tuple[str | int, ...], int] = {}

    def fields(path: tuple[str | int, ...], taken: set[str]) -> None:
        nonlocal text
        for name, written in draw(st.lists(keys(), max_size=4, unique_by=lambda k: k[0])):
            if name in taken:
                continue
            text += draw(NOISE)
            where[*path, name] = text.count("\n") + 1
            text += f"{draw(st.sampled_from(['', '  ']))}{written} = {draw(VALUES)}"
            text += draw(st.sampled_from(["\n", "  # so\n"]))

    names = draw(st.lists(keys(), max_size=4, unique_by=lambda k: k[0]))
    fields((), {name for name, _ in names})
    for name, written in names:
        if draw(st.booleans()):
            where[name,] = text.count("\n") + 1
            text += f"[{written}]\n"
            fields((name,), set())
            continue
        for k in range(draw(st.integers(1, 3))):
            text += draw(NOISE)
            where[name, k] = text.count("\n") + 1
            text += f"[[ {written} ]]  # one of several\n"
            fields((name, k), {"step"})
            for j in range(draw(st.integers(0, 2))):
                where[name, k, "step", j] = text.count("\n") + 1
                text += f"[[{written}.step]]\n"
                fields((name, k, "step", j), set())
    return text, where


@given(documents())
def test_in_any_document_each_key_is_found_on_the_line_it_stands_on(document):
    text, where = document
    parsed = tomli.loads(text)
    line_of = line_finder(text)
    for path, line in where.items():
        found = parsed
        for part in path:
            found = found[part]  # the path is one of the parsed document's
        assert line_of(path) == line, path
        assert line_of((*path, "no such key below")) == line


def test_items_of_a_list_and_tables_in_lines_of_their_own_have_their_own_lines():
    text = """[farm]
x = [
  "a",  # [not, this]
  {k = 1,
   m = {n = [2,
     3]}},
]
step = [{do = "a"}, {do = "b", "after" = ["a"]}]
"""
    line_of = line_finder(text)
    assert line_of(("farm", "x", 0)) == 3
    assert line_of(("farm", "x", 1, "k")) == 4
    assert line_of(("farm", "x", 1, "m", "n", 0)) == 5
    assert line_of(("farm", "x", 1, "m", "n", 1)) == 6
    assert line_of(("farm", "step", 1, "after", 0)) == 8


@slow
def test_a_value_of_a_hundred_thousand_lines_is_walked_over_once():
    many = 100_000
    text = (
        '[farm]\nnote = """\n'
        + "\n".join(['= [x] " # ,'] * many)
        + '\n"""\nnext = [\n'
        + "'y',\n" * many
        + "]\nlast = 1\n"
    )
    assert line_finder(text)(("farm", "last")) == 2 * many + 6


def test_lists_in_lists_without_end_hide_nothing_that_stands_before_them():
    line_of = line_finder("a = 1\nb = " + "[" * 100_000 + "]" * 100_000)
    assert line_of(("a",)) == 1
