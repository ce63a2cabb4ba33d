"""The compiled copy of the library gives what the TOML gives, and is never taken for what it was not made of."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from engine.protocols import LIBRARY, compiled
from engine.protocols.compiled import Tables, read_tables
from engine.protocols.library import read_library

ROOT = Path(__file__).parents[3]
METHOD = '[[protocol]]\nmethod = "seed"\nalso = ["from seed"]\n[[protocol.step]]\ndo = "sow"\nlasts_days = {days}\n'
SPECIES = '[[species]]\nlatin = "Corylus avellana"\ncommon = ["hazel"]\n'


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A library of one method and one species, and a user's folder for copies of its own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    for name, text in (("methods/seed.toml", METHOD.format(days=10)), ("species/corylus.toml", SPECIES)):
        (tmp_path / "library" / name).parent.mkdir(parents=True)
        (tmp_path / "library" / name).write_text(text, encoding="utf-8")
    return tmp_path / "library"


def copy_of(folder: Path) -> Path:
    return folder / "__pycache__" / "library.json"


def days(folder: Path) -> int:
    """How long the one method of that library lasts, as it is read."""
    lasts: int = read_library(folder=folder).methods["seed"].steps[0]["lasts"].least
    return lasts


def told(tables: Tables) -> list[tuple[str, str, list[str], object]]:
    return [(e.kind, e.file, list(e.names), json.loads(tables.line(e))) for e in tables.entries]


@pytest.fixture
def compilings(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many files were read as TOML, each time that any were."""
    counted: list[int] = []
    plain: Callable[..., Tables] = compiled._compile

    def counting(texts: tuple[tuple[str, bytes], ...]) -> Tables:
        counted.append(len(texts))
        return plain(texts)

    monkeypatch.setattr(compiled, "_compile", counting)
    return counted


def test_the_copy_holds_every_table_of_the_files_as_the_standard_library_reads_them():
    read_tables(LIBRARY)
    tables = read_tables(LIBRARY)
    for path in [*LIBRARY.glob("methods/*.toml"), *LIBRARY.glob("species/*.toml")]:
        document = tomllib.loads(path.read_text(encoding="utf-8"))
        mine = [(e.kind, e.number, tables.line(e)) for e in tables.entries if e.file.endswith(f"/{path.name}")]
        species = [json.loads(line) for kind, _, line in mine if kind == "species"]
        protocols = [json.loads(line) for kind, _, line in mine if kind in ("method", "protocol")]
        assert species == document.get("species", [])
        assert protocols == document.get("protocol", [])


def test_the_toml_is_read_once(folder: Path, compilings: list[int]):
    first, second = read_tables(folder), read_tables(folder)
    assert compilings == [2]
    assert told(first) == told(second)


@pytest.mark.parametrize(
    "change",
    [
        lambda folder: (folder / "methods/seed.toml").write_text(METHOD.format(days=20), encoding="utf-8"),
        lambda folder: (folder / "methods/seed.toml").rename(folder / "methods/sown.toml"),
        lambda folder: (folder / "species/sorbus.toml").write_text('[[species]]\nlatin = "Sorbus"\n'),
        lambda folder: (folder / "species/corylus.toml").unlink(),
    ],
    ids=["a figure of as many digits", "another name", "a file more", "a file less"],
)
def test_a_stale_copy_is_not_trusted(folder: Path, compilings: list[int], change: Callable[[Path], object]):
    before = told(read_tables(folder))
    times = {path: path.stat() for path in folder.rglob("*.toml")}
    change(folder)
    for path, was in times.items():  # nor is the time of a file: an archive or an installer sets what it likes
        if path.exists():
            os.utime(path, ns=(was.st_atime_ns, was.st_mtime_ns))
    after = told(read_tables(folder))
    assert len(compilings) == 2
    assert after != before
    assert told(read_tables(folder)) == after
    assert len(compilings) == 2


@pytest.mark.parametrize(
    "spoil",
    [
        lambda whole: whole[: len(whole) // 2],
        lambda whole: whole.replace(b"hazel", b"hazle"),
        lambda whole: b"",
        lambda whole: bytes(len(whole)),
        lambda whole: b"[1, 2]\n[]\n",
        lambda whole: b"[" * 100_000,
    ],
    ids=["cut short", "altered", "empty", "zeros", "another's", "nested without end"],
)
def test_a_spoilt_copy_is_made_anew(folder: Path, compilings: list[int], spoil: Callable[[bytes], bytes]):
    right = told(read_tables(folder))
    whole = copy_of(folder).read_bytes()
    copy_of(folder).write_bytes(spoil(whole))
    assert told(read_tables(folder)) == right
    assert len(compilings) == 2
    assert copy_of(folder).read_bytes() == whole


def test_where_nothing_may_be_written_beside_the_library_the_users_folder_has_the_copy(
    folder: Path, compilings: list[int]
):
    (folder / "__pycache__").write_text("a file, where the folder should be", encoding="utf-8")
    assert [days(folder), days(folder)] == [10, 10]
    assert compilings == [2]


def test_where_nothing_may_be_written_at_all_the_toml_is_read(folder: Path, tmp_path: Path):
    for path in (folder / "__pycache__", tmp_path / "cache"):
        path.write_text("a file, where the folder should be", encoding="utf-8")
    assert days(folder) == 10
    (folder / "methods/seed.toml").write_text(METHOD.format(days=20), encoding="utf-8")
    assert days(folder) == 20


def test_several_processes_at_once_each_read_the_library_whole(folder: Path):
    script = (
        "import sys; from pathlib import Path; from engine.protocols.library import read_library\n"
        "for _ in range(30):\n"
        "    library = read_library(folder=Path(sys.argv[1]))\n"
        "    print(sorted(library.methods), sorted(library.species), library.problems)\n"
        "    Path(sys.argv[1], '__pycache__', 'library.json').unlink(missing_ok=True)\n"
    )
    running = [
        subprocess.Popen([sys.executable, "-c", script, str(folder)], cwd=ROOT, stdout=subprocess.PIPE, text=True)
        for _ in range(4)
    ]
    for one in running:
        said, _ = one.communicate()
        assert one.returncode == 0
        assert said.splitlines() == ["['seed'] ['Corylus avellana'] ()"] * 30
    assert {path.name for path in copy_of(folder).parent.iterdir()} <= {"library.json"}


def test_a_file_that_is_not_toml_is_named(folder: Path):
    (folder / "species/corylus.toml").write_text('[[species]]\nlatin = "Corylus\n', encoding="utf-8")
    with pytest.raises(ValueError, match="line 2") as caught:
        read_tables(folder)
    assert caught.value.__notes__ == ["in the library's species/corylus.toml"]


def test_a_fault_of_the_library_is_told_with_its_own_line(folder: Path):
    text = SPECIES + '\n[[species]]\nlatin = "Sorbus aucuparia"\nheigth_m = 3\n'
    (folder / "species/corylus.toml").write_text(text, encoding="utf-8")
    [problem] = read_library({"Sorbus aucuparia": ()}, folder=folder).problems
    assert (problem.file, problem.line) == (str(folder / "species/corylus.toml"), 7)
    assert '"heigth_m" is not a key of this table' in problem.message


def test_a_table_that_the_library_has_not_is_told(folder: Path):
    (folder / "species/corylus.toml").write_text(SPECIES.replace("species", "speces"), encoding="utf-8")
    [problem] = read_library(folder=folder).problems
    assert '"speces" is not a key of this table' in problem.message
