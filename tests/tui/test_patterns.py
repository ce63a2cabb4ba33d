"""Patterns that are kept are those that Python's own compiler makes, whatever became of the file."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tui.patterns import _check_of, kept

PATTERNS = [
    (r"(?P<day>\d{1,2})\s+(?P<month>[a-z]+)\.?$", re.IGNORECASE), ("[à-üæ]+|(?:a|b)*?c", 0), (r"^x(?=y)(z)\1?", re.M),
    ("[\x00-\x1f\ud800-\udfff]", 0), (r"(?x) a  # a comment", 0), (r"\bé", re.ASCII),
]  # fmt: skip


@pytest.fixture(autouse=True)
def _forgetful(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    re.purge()
    yield
    re.purge()


def compiled(home: Path) -> list[re.Pattern[str]]:
    re.purge()
    with kept(home):
        return [re.compile(pattern, flags) for pattern, flags in PATTERNS]


def own() -> list[re.Pattern[str]]:
    re.purge()
    return [re.compile(pattern, flags) for pattern, flags in PATTERNS]


def test_what_is_kept_is_what_the_compiler_makes(tmp_path: Path):
    home, before = tmp_path / "new" / "patterns.json", re._compiler.compile  # type: ignore[attr-defined]
    assert compiled(home) == own()
    written = home.read_bytes()
    found = compiled(home)
    assert found == own()  # patterns are equal where their code is
    assert [pattern.groupindex for pattern in found] == [pattern.groupindex for pattern in own()]
    assert found[0].fullmatch("6 MAR") is not None
    assert home.read_bytes() == written
    assert re._compiler.compile is before  # type: ignore[attr-defined]


def test_a_kept_pattern_is_not_compiled_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    home = tmp_path / "patterns.json"
    compiled(home)
    expected = own()

    def compiles(*_: object) -> None:
        raise AssertionError("compiled again")

    monkeypatch.setattr(re._compiler, "_code", compiles)  # type: ignore[attr-defined]
    assert compiled(home) == expected


def changed(change: Callable[[dict[str, object]], object]) -> Callable[[bytes], bytes]:
    def spoil(whole: bytes) -> bytes:
        told = json.loads(whole.split(b"\n", 1)[1])
        change(told)
        data = json.dumps(told).encode()
        return _check_of(data) + b"\n" + data

    return spoil


def of_another(told: dict[str, object]) -> None:
    told["python"] = "3.10"
    told["patterns"] = {key: [0, [1], 0, {}, [None]] for key in told["patterns"]}  # type: ignore[attr-defined]


def no_code(told: dict[str, object]) -> None:
    told["patterns"] = {key: [0, [99, 99], 0, {}, [None]] for key in told["patterns"]}  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda whole: whole[:-9],
        lambda whole: whole.replace(b"2", b"3"),
        lambda _: b"",
        changed(of_another),
        changed(no_code),
        changed(lambda told: told.update(patterns=dict.fromkeys(told["patterns"], "?"))),  # type: ignore[call-overload]
    ],
    ids=["cut short", "changed", "empty", "another Python's", "no code of Python's", "no code at all"],
)
def test_a_spoilt_file_changes_nothing(tmp_path: Path, spoil: Callable[[bytes], bytes]):
    home = tmp_path / "patterns.json"
    compiled(home)
    home.write_bytes(spoil(home.read_bytes()))
    assert compiled(home) == own()


def test_where_it_cannot_be_written_nothing_is_kept(tmp_path: Path):
    (tmp_path / "file").write_text("")
    assert compiled(tmp_path / "file" / "patterns.json") == own()


def test_a_wrong_pattern_fails_as_ever(tmp_path: Path):
    with kept(tmp_path / "patterns.json"), pytest.raises(re.error, match="missing \\)"):
        re.compile("(")
