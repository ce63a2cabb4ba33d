"""`widger calendar`: the tasks to come as a calendar file, for a telephone to follow."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui import door
from tui.commands.shared.call import Command
from tui.commands.shared.farms import farm_of, tell
from tui.out import say_file

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from datetime import UTC, datetime

    house = farm_of(call)
    from engine.views.calendar import calendar_events
    from tui.paper.calendar import calendar_file

    events = calendar_events(house.day(call.on))
    stamp = datetime.fromisoformat(door.now()).astimezone(UTC)
    say_file(calendar_file(house.farm, events, stamp, len(house.entries)))  # its line ends are CRLF anywhere
    return tell(house, call.on)


COMMAND = Command(
    run,
    "FARM",
    "the tasks to come as a calendar file (RFC 5545), for a telephone to follow",
)
