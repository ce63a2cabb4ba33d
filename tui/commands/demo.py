"""`widger demo`: the screens on a scratch copy of the demo farm."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared.call import FILE, Command, Unusable, say_done
from tui.commands.shared.screens import ready
from tui.out import say
from tui.together import BOARD

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    with BOARD:
        from tui.demo import fresh_copy

        try:
            copy = fresh_copy(call.on, Path(call.folder) if call.folder else None)
        except OSError as fault:
            raise Unusable(f"{fault.filename or call.folder} cannot be written: {fault.strerror}") from None
        if call.write_only:
            return say_done(lambda: say(copy.path))
        opens = ready(copy.path, call.on, (copy.reading, copy.nursery))
    return opens()


COMMAND = Command(
    run,
    "FARM",
    "open the screens on a scratch copy of the demo farm",
    (
        ("--folder", {**FILE, "metavar": "DIR", "help": "where to write the copy (default: a new temporary folder)"}),
        ("--write-only", {"action": "store_true", "help": "write the copy and print its path"}),
    ),
)
