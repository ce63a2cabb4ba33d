"""What the commands that print a PDF or draw share."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from tui.commands.shared.call import Unusable


@contextmanager
def printing() -> Iterator[None]:
    """A file that cannot be written within is told as a call that cannot be used: raises Unusable with the reason."""
    from tui.paper.files import NotWritten

    try:
        yield
    except NotWritten as fault:
        raise Unusable(str(fault)) from None
