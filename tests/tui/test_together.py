"""Modules that are kept together are those that Python would import, as long as their sources are as they were."""

from __future__ import annotations

import importlib
import inspect
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

from tui.together import Loader, Together

NAMES = ("widger_one", "widger_pack", "widger_pack.two")


def forget() -> None:
    for name in NAMES:
        sys.modules.pop(name, None)
    importlib.invalidate_caches()


@pytest.fixture
def sources(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A module and a package in a folder where Python looks for them."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.syspath_prepend(tmp_path / "sources")
    (tmp_path / "sources" / "widger_pack").mkdir(parents=True)
    (tmp_path / "sources" / "widger_one.py").write_text("NUMBER = 1\n\ndef told():\n    return NUMBER\n")
    (tmp_path / "sources" / "widger_pack" / "__init__.py").write_text("from widger_pack import two\n")
    (tmp_path / "sources" / "widger_pack" / "two.py").write_text("NUMBER = 2\n")
    yield tmp_path / "sources"
    forget()


def taken(home: Path) -> list[ModuleType]:
    """The modules as they are imported while those that are kept in this file are at hand."""
    forget()
    before = list(sys.meta_path)
    with Together(home):
        found = [importlib.import_module(name) for name in NAMES]
    assert sys.meta_path == before
    return found


def are_kept(modules: list[ModuleType]) -> list[bool]:
    return [isinstance(module.__loader__, Loader) for module in modules]


def test_a_kept_module_is_as_python_imports_it(sources: Path):
    home = sources.parent / "new" / "board.modules"
    first = taken(home)
    assert are_kept(first) == [False] * 3
    again = taken(home)
    assert are_kept(again) == [True] * 3
    for one, other in zip(first, again, strict=True):
        assert one is not other
        for name in ("__name__", "__file__", "__cached__", "__package__", "__doc__"):
            assert getattr(one, name) == getattr(other, name)
        assert getattr(one, "__path__", None) == getattr(other, "__path__", None)
        assert inspect.getsource(one) == inspect.getsource(other)
    assert (again[0].told(), again[2].NUMBER) == (1, 2)


@pytest.mark.parametrize("text", ["NUMBER = 3\n\ndef told():\n    return NUMBER\n", "def told():\n    return 3\n"])
def test_a_source_that_was_touched_is_read(sources: Path, text: str):
    home = sources.parent / "board.modules"
    taken(home)
    (sources / "widger_one.py").write_text(text)
    for path in (sources / "widger_one.py", sources / "widger_pack" / "two.py"):
        os.utime(path, ns=(path.stat().st_atime_ns, path.stat().st_mtime_ns + 2_000_000_000))
    found = taken(home)
    assert are_kept(found) == [False, True, False]
    assert found[0].told() == 3
    assert are_kept(taken(home)) == [True] * 3


@pytest.mark.parametrize(
    "spoil",
    [lambda whole: whole[:-5], lambda whole: whole[60:], lambda _: b"", lambda _: b"7 7\n", lambda _: b"\xff" * 99],
    ids=["cut short", "without its head", "empty", "a head alone", "noise"],
)
def test_a_spoilt_file_is_as_none(sources: Path, spoil: Callable[[bytes], bytes]):
    home = sources.parent / "board.modules"
    taken(home)
    home.write_bytes(spoil(home.read_bytes()))
    assert are_kept(taken(home)) == [False] * 3
    assert are_kept(taken(home)) == [True] * 3


@pytest.mark.parametrize("letter", [b"\0", b"N", b"\xff"])
def test_code_that_was_spoilt_is_made_again(sources: Path, letter: bytes):
    """As where a power cut left blocks of the file unwritten, its list whole."""
    home = sources.parent / "board.modules"
    taken(home)
    whole = home.read_bytes()
    head = whole.index(b"\n") + 1
    ends = int(whole.split()[0])
    home.write_bytes(whole[:head] + letter * (ends - head) + whole[ends:])
    found = taken(home)
    assert (found[0].told(), found[2].NUMBER) == (1, 2)
    assert home.read_bytes() == whole


def test_what_another_python_kept_is_left(sources: Path, monkeypatch: pytest.MonkeyPatch):
    home = sources.parent / "board.modules"
    taken(home)
    monkeypatch.setattr(sys, "version", "3.99")
    assert are_kept(taken(home)) == [False] * 3


def test_where_it_cannot_be_written_nothing_is_kept(sources: Path):
    (sources.parent / "file").write_text("")
    home = sources.parent / "file" / "board.modules"
    assert [are_kept(taken(home)) for _ in range(2)] == [[False] * 3] * 2


def test_an_import_that_fails_leaves_nothing_behind(sources: Path):
    home, before = sources.parent / "board.modules", list(sys.meta_path)
    with pytest.raises(ModuleNotFoundError), Together(home):
        importlib.import_module("widger_nowhere")
    assert sys.meta_path == before
    assert not home.exists()
