"""A PDF or a drawing is put where it is wanted whole, or not at all, and never over anything else."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.sampled import sampled
from tests.tui.conftest import Call
from tui.paper.files import SVG, NotWritten, put


def files_in(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir() if path.is_file()]


def test_a_pdf_that_is_there_is_replaced_and_keeps_its_mode(tmp_path: Path):
    path = tmp_path / "labels.pdf"
    put(path, b"%PDF-1.4 one")
    path.chmod(0o640)
    put(path, b"%PDF-1.4 two")
    assert path.read_bytes() == b"%PDF-1.4 two"
    assert path.stat().st_mode & 0o777 == 0o640
    assert files_in(tmp_path) == ["labels.pdf"]


@pytest.mark.parametrize("failing", ["replace", "fsync"])
def test_where_writing_fails_the_old_pdf_stays_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str
):
    path = tmp_path / "labels.pdf"
    path.write_bytes(b"%PDF-1.4 old")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, failing, full)
    with pytest.raises(NotWritten, match="No space left"):
        put(path, b"%PDF-1.4 new")
    assert path.read_bytes() == b"%PDF-1.4 old"
    assert files_in(tmp_path) == ["labels.pdf"]


def test_a_link_stays_a_link(tmp_path: Path):
    real, link = tmp_path / "real.pdf", tmp_path / "link.pdf"
    real.write_bytes(b"%PDF-1.4 old")
    link.symlink_to(real)
    put(link, b"%PDF-1.4 new")
    assert link.is_symlink()
    assert real.read_bytes() == b"%PDF-1.4 new"


def test_what_is_no_pdf_is_never_replaced(tmp_path: Path):
    farm = tmp_path / "farm.toml"
    farm.write_text("[farm]\n", encoding="utf-8")
    for path, reason in (
        (farm, "not a PDF"),
        (tmp_path, "folder"),
        (tmp_path / "none" / "a.pdf", "No such"),
    ):
        with pytest.raises(NotWritten, match=reason):
            put(path, b"%PDF-1.4")
    assert farm.read_text(encoding="utf-8") == "[farm]\n"
    assert files_in(tmp_path) == ["farm.toml"]


def test_an_svg_is_put_over_an_svg_alone(tmp_path: Path):
    path = tmp_path / "plan.svg"
    path.write_bytes(b"")  # what a full disk once left
    put(path, b"<svg one", SVG)
    put(path, b"<svg two", SVG)
    assert path.read_bytes() == b"<svg two"
    with pytest.raises(NotWritten, match="not a PDF"):
        put(path, b"%PDF-1.4")


@pytest.mark.parametrize(
    "words",
    sampled(
        [
            ("labels", "--pdf"),
            ("week", "--pdf"),
            ("dispatch", "--pdf"),
            ("dispatch", "--labels"),
            ("planting", "--pdf"),
            ("planting", "--labels"),
        ],
        4,
    ),
    ids=" ".join,
)
def test_each_command_says_what_is_wrong_with_the_name_of_a_file(
    demo: Callable[[date], Path], call: Call, words: tuple[str, ...]
):
    path = demo(date(2027, 3, 29))
    for name, reason in (("/", "folder"), (".", "folder"), ("", "name of a file"), (" ", "name of a file")):
        status, _, told = call(words[0], path, *words[1:], name, "--on", "2027-03-29")
        assert (status, "fault" in told) == (2, False), told
        assert reason in told
