"""What is made beside the screen is not gone through while it is made, nor afterwards."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Iterator

import pytest

from tui.garbage import put_off


class Ring:
    """What holds itself, and is let go of only where somebody looks for it."""

    def __init__(self) -> None:
        self.ring = self


@pytest.fixture(autouse=True)
def as_it_was() -> Iterator[None]:
    looked, often = gc.isenabled(), gc.get_threshold()
    yield
    gc.set_threshold(*often)
    (gc.enable if looked else gc.disable)()


@pytest.mark.parametrize("looked", [True, False])
def test_nobody_looks_for_what_is_no_longer_used_meanwhile(looked: bool) -> None:
    (gc.enable if looked else gc.disable)()
    gc.set_threshold(10)
    apart = gc.get_freeze_count()
    with put_off():
        assert not gc.isenabled()
        with put_off():
            assert not gc.isenabled()
        assert not gc.isenabled()
        made = [Ring() for _ in range(1_000)]
        assert weakref.ref(Ring())() is not None
    assert gc.isenabled() == looked
    assert len(made) == 1_000
    assert (gc.get_freeze_count() >= apart + 1_000) == looked
