"""`widger row`: map a row of a bed from its fixed end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable
from tui.commands.shared.entries import split_words
from tui.commands.shared.farms import enter, farm_path
from tui.commands.shared.ledger import on_ledger
from tui.typed_words import row_part_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.stock import row

    told = [row_part_of(word) for word in call.words]
    words = [word for word, part in zip(call.words, told, strict=True) if part is None]
    if call.words[: len(words)] != words:
        raise Unusable(
            "usage: widger row [FARM] PLACE ROW LOT:LENGTH:COUNT …, such as E26:3.5:80 (in metres, or feet where those "
            "are the farm's units), E26:3.5m:80 or E26:12ft:80"
        )
    farm, (place, name) = split_words(call, 2, words)
    units = enter(farm_path(farm[0] if farm else None)).farm.units
    parts = [part for word in call.words[len(words) :] if (part := row_part_of(word, units)) is not None]
    return on_ledger(call, farm, lambda ledger: row(ledger, place, name, parts))


COMMAND = Command(
    run,
    "[FARM] PLACE ROW LOT:LENGTH:COUNT",
    "map a row of a bed from its fixed end",
)
