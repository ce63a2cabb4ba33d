"""What all tests share: hypothesis without a stop-watch, and, on the machine that decides what lands, without luck; and
the library, read from the disk once and not once for each of some thousands of farms."""

from __future__ import annotations

import gc
import os
from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from hypothesis import settings

from engine.protocols import LIBRARY, library
from engine.protocols.compiled import Entry, Tables, read_tables
from tests import sampled
from tests.fuzz import budget

Wanted: TypeAlias = Mapping[str, Collection[str] | None]


def pytest_configure(config: pytest.Config) -> None:
    """How much is asked: a property that says no number of its own is tried with 40 examples, of which plain pytest
    takes its share; with luck, but for the machine that decides."""
    gc.set_threshold(50_000, 20, 20)  # until all is collected
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


_telling_of, _found = library._telling_of, library._read
_told: dict[object, list[Entry]] = {}
_libraries: dict[object, tuple[Sequence[Entry], library.Library]] = {}


def _told_once(wanted: Wanted, rows: Sequence[Sequence[Any]], own: Collection[str]) -> list[Entry]:
    """Which of Widger's own tables tell of some species: looked up once for all the farms that have the same."""
    if rows is not _as_it_stands().rows:
        return _telling_of(wanted, rows, own)
    methods = frozenset((name, None if by is None else frozenset(by)) for name, by in wanted.items())
    key = methods, frozenset(own)
    if key not in _told:
        _told[key] = _telling_of(wanted, rows, own)
    return _told[key]


def _found_once(
    entries: Iterable[Entry], tables: Tables, folder: Path, sources: frozenset[str] | None = None
) -> library.Library:
    """What they tell, likewise."""
    if not isinstance(entries, list) or tables is not _as_it_stands():
        return _found(entries, tables, folder, sources)
    key = id(entries), sources
    if key not in _libraries:
        _libraries[key] = entries, _found(entries, tables, folder, sources)  # they are kept, and so is their id
    return _libraries[key][1]


library.read_tables = _read_once
library._telling_of = _told_once
library._read = _found_once


def pytest_collection_finish(session: pytest.Session) -> None:
    """What was collected stays to the end: looking through it again and again for garbage took a sixth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
