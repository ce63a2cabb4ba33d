"""`widger new`: a first farm file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable, say_done
from tui.commands.shared.farms import DEFAULT_FARM
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from tui.newfarm import NewFarm, write_new

    path = Path(call.words[0]) if call.words else Path(DEFAULT_FARM)
    try:
        write_new(path, NewFarm(call.name, "metric", call.latitude, call.longitude, call.timezone), call.on)
    except ValueError as fault:
        raise Unusable(str(fault)) from None
    except FileExistsError:
        raise Unusable(f"{path} already exists; nothing was changed") from None
    except OSError as fault:
        raise Unusable(f"{path} cannot be written: {fault.strerror}") from None
    return say_done(lambda: say(f"{path} is written. Set the frost dates of your place in it, then: widger {path}"))


COMMAND = Command(
    run,
    "FARM",
    "write a first farm file",
    (
        ("--name", {"default": "My nursery"}),
        ("--latitude", {"type": float, "default": 45.0}),
        ("--longitude", {"type": float, "default": 0.0}),
        ("--timezone", {"default": "UTC"}),
    ),
)
