"""When Python looks for what is no longer used: never in the midst of what holds the keys long enough as it is.

It goes through all that was made lately: of a large farm's plans for a tenth of a second and more, with no key heard.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

_UNDER_WAY: list[bool] = []
"""For each that is being made beside the screen, whether it was looked for before: before the first, and no other."""


def begin() -> None:
    """Look for it from now on: `run` put it off, for in the midst of starting it costs a frame or two.

    What was read of the farm stays for good, and need not be gone through each time.
    """
    gc.freeze()
    gc.set_threshold(20_000, 20, 100)
    gc.enable()


@contextmanager
def put_off() -> Iterator[None]:
    """Not while this is made, beside the screen: what comes of it stays, and need not be gone through afterwards.

    What is let go of later goes by itself: it holds nothing that holds it in turn. The few screens that are open
    meanwhile are kept until Widger is closed.
    """
    _UNDER_WAY.append(gc.isenabled())
    gc.disable()
    try:
        yield
    finally:
        looked = _UNDER_WAY.pop()
        if looked and not _UNDER_WAY:  # another thread may be at work
            gc.freeze()
            gc.enable()
