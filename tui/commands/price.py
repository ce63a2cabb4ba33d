"""`widger price`: what a thing costs, or that it has no price any more, without the farm file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command
from tui.commands.shared.entries import record_one, split_words
from tui.typed_days import NONE

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.settings import remove_price, set_price
    from tui.answers import price_of

    farm, (item, price) = split_words(call)
    if price.lower() == NONE:
        return record_one(call, farm, lambda nursery, _: remove_price(nursery, item, call.species or "", call.on))
    told = price_of(price)
    return record_one(call, farm, lambda nursery, _: set_price(nursery, item, call.species or "", told, call.on))


COMMAND = Command(
    run,
    "[FARM] ITEM PRICE",
    "say what a thing costs: rootstock '1.2 each', pot '22 a hundred', seed '14 a kg'; none removes its price",
    (("--species", {"metavar": "NAME", "help": "for this species only"}),),
)
