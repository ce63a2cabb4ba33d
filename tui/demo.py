"""The scratch copy of the demo farm: moved to the running season, with a history that fits the day."""

from __future__ import annotations

import re
import shutil
import tempfile
from datetime import date
from pathlib import Path

from engine.acts.demo_history import rehearse
from engine.farm.reading import read_farm
from engine.journal.entry import to_line
from engine.journal.store import journal_folder

SEASON_STARTS_MONTH = 9
WRITTEN_FOR = 2026  # the autumn in which the demo file's season begins


def demo_file() -> Path:
    """The demo farm: beside this module where installed, at the top of the checkout otherwise."""
    beside = Path(__file__).parent / "demo_farm.toml"
    return beside if beside.exists() else Path(__file__).parent.parent / "demo_farm.toml"


def scratch_copy(today: date, folder: Path | None = None) -> Path:
    """Write a copy of the demo farm for the season of `today`, with its history; returns the farm file's path.

    Its folder is new, or the one given, whose demo farm is then replaced.
    """
    folder = folder or Path(tempfile.mkdtemp(prefix="widger-demo-"))
    folder.mkdir(parents=True, exist_ok=True)
    season = today.year - (today.month < SEASON_STARTS_MONTH)
    text = moved(demo_file().read_text(encoding="utf-8"), season - WRITTEN_FOR)
    path = folder / "quillmere.toml"
    path.write_text(text, encoding="utf-8")
    journal = journal_folder(path)
    if journal.exists():
        shutil.rmtree(journal)
    farm = read_farm(path).farm
    assert farm is not None
    journal.mkdir()
    (journal / "demo.jsonl").write_bytes(b"".join(to_line(entry) for entry in rehearse(farm, today)))
    return path


def moved(text: str, years: int) -> str:
    """The same farm so many years on; its ids keep pace: E26 becomes E27."""
    text = re.sub(r"\b(20\d\d)(-\d\d-\d\d)\b", lambda m: f"{int(m[1]) + years}{m[2]}", text)
    return re.sub(r'(?m)^(id = "[A-Z]+)(\d\d)', lambda m: f"{m[1]}{(int(m[2]) + years) % 100:02}", text)
