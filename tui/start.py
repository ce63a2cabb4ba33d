"""The console entry point of `widger`: it begins to read together what the board is made of, and hands the call on."""

from __future__ import annotations

import gc
import sys


def run() -> None:
    """Carry out the call, and end with its exit status."""
    gc.disable()  # a command is done, or the board painted, before there is garbage to speak of
    words = sys.argv[1:]
    try:  # also what is read on the way may be broken off
        from tui.commands import NAMES
        from tui.together import BOARD

        if not words or words[0] in ("open", "demo") or (words[0] not in NAMES and not words[0].startswith("-")):
            BOARD.begin()  # it is left where the board is ready
        from tui.command import main
        from tui.out import prepare

        prepare()
        status = main(words)
    except BrokenPipeError:  # the reader of our output has gone
        status = 0
    except KeyboardInterrupt:
        status = 130
    sys.exit(status)


if __name__ == "__main__":
    run()
