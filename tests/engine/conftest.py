"""What the tests of the journal share."""

from pathlib import Path

import pytest

from engine.journal.store import journal_folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The folder of a journal that is not there yet."""
    return journal_folder(tmp_path / "hollow.toml")
