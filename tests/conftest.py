"""What all tests share: hypothesis without a stop-watch, and, on the machine that decides what lands, without luck."""

from __future__ import annotations

import gc
import os

import pytest
from hypothesis import settings

settings.register_profile("here", deadline=None)
settings.register_profile("decides", deadline=None, derandomize=True)
settings.load_profile("decides" if os.environ.get("CI") else "here")


def pytest_collection_finish(session: pytest.Session) -> None:
    """What was collected stays to the end: looking through it again and again for garbage took a sixth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
