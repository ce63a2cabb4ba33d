"""`widger saw`: record that a mark of the season was seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts import marks_seen

    farm, (mark,) = split_words(call)
    return record_one(
        call,
        farm,
        lambda nursery, _: marks_seen.saw(nursery.farm, nursery.almanac, mark, call.on, call.on),
    )


COMMAND = Command(
    run,
    "[FARM] MARK",
    "record that a mark of the season was seen",
)
