"""What all tests share: hypothesis without a stop-watch, and, on the machine that decides what lands, without luck; and
the library, read from the disk once and not once for each of some thousands of farms."""

from __future__ import annotations

import gc
import os
from functools import cache
from pathlib import Path

import pytest
from hypothesis import settings

from engine.protocols import LIBRARY, library
from engine.protocols.compiled import Tables, read_tables
from tests import sampled
from tests.fuzz import budget


def pytest_configure(config: pytest.Config) -> None:
    """How much is asked: a property that says no number of its own is tried with 40 examples, of which plain pytest
    takes its share; with luck, but for the machine that decides."""
    sampled.ask(every_one="not slow" not in config.getoption("markexpr"))
    number = budget(40, 2_000)
    settings.register_profile("asked", deadline=None, max_examples=number, derandomize=bool(os.environ.get("CI")))
    settings.load_profile("asked")


@cache
def _as_it_stands() -> Tables:
    return read_tables(LIBRARY)


def _read_once(folder: Path) -> Tables:
    """The tables of Widger's own library, which no test changes; those of another are read whenever they are wanted."""
    return _as_it_stands() if folder == LIBRARY else read_tables(folder)


library.read_tables = _read_once


def pytest_collection_finish(session: pytest.Session) -> None:
    """What was collected stays to the end: looking through it again and again for garbage took a sixth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
