"""`widger hours`: how many hours a week there are, without the farm file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.settings import set_hours
    from tui.answers import hours_by_month

    farm, (hours,) = split_words(call)
    told = hours_by_month(hours)
    return record_one(call, farm, lambda nursery, _: set_hours(nursery, told, call.on))


COMMAND = Command(
    run,
    "[FARM] HOURS",
    "say how many hours a week there are: 14, or by month 'Jan 6, Apr 20'",
)
