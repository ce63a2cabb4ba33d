"""What the tests of the command and the screens share. No test sees the tester's own settings, home or clock."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Input

from tests.tui import once, settled
from tests.tui.farms import write_tiny
from tui.command import main
from tui.demo import fresh_copy

Call = Callable[..., tuple[int, str, str]]
settled.take_over()
once.take_over()


@pytest.fixture(autouse=True)
def alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A device of its own, an empty home, no settings; nothing blinks and nothing glides."""
    for name in [n for n in os.environ if n.startswith(("WIDGER_", "TEXTUAL"))] + ["NO_COLOR", "COLORTERM"]:
        if name != "WIDGER_SNAPSHOTS":
            monkeypatch.delenv(name, raising=False)
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("WIDGER_DEVICE", "bench")
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setattr(Input, "_toggle_cursor", lambda self: None)
    monkeypatch.chdir(home)


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    """The tiny farm with its history, on a path of its own."""
    return write_tiny(tmp_path)


@pytest.fixture(scope="session")
def demo_of(tmp_path_factory: pytest.TempPathFactory) -> Callable[[date], Path]:
    """The demo farm as `widger demo` writes it on a day: written once for each day, never to be written to."""
    written: dict[date, Path] = {}

    def of(day: date) -> Path:
        if day not in written:
            written[day] = fresh_copy(day, tmp_path_factory.mktemp("demo")).path
        return written[day]

    return of


@pytest.fixture
def demo(demo_of: Callable[[date], Path], tmp_path: Path) -> Callable[[date], Path]:
    """A copy of the demo farm on a day that the test may write to."""

    def copy(day: date) -> Path:
        shutil.copytree(demo_of(day).parent, tmp_path / "demo", dirs_exist_ok=True)
        return tmp_path / "demo" / "quillmere.toml"

    return copy


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Call:
    """One call of the command: its exit status, standard output and standard error."""

    def run(*words: object) -> tuple[int, str, str]:
        capsys.readouterr()
        try:
            with once.one_thread(monkeypatch):
                status = main([str(word) for word in words])
        except SystemExit as end:
            status = int(end.code or 0)
        told = capsys.readouterr()
        return status, told.out, told.err

    return run
