"""`widger place`: a new place, what is new of one, another name for it, or that it is no more: not by the farm file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tui.commands.shared.call import Command, Unusable
from tui.commands.shared.entries import record_one, split_words
from tui.typed_days import NONE
from tui.typed_numbers import share_of
from tui.typed_words import yes_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from engine.acts.settings import remove_place, rename_place, set_place
    from tui.answers import listed

    farm, (name,) = split_words(call)
    alone = [option for option, given in (("--rename", call.rename), ("--remove", call.remove)) if given]
    others = any(given is not None for given in (call.cover, call.room, call.serves, call.loss))
    if len(alone) + others > 1:
        raise Unusable(f"{alone[0]} goes alone: change the rest after it")
    if call.rename:
        return record_one(call, farm, lambda nursery, _: rename_place(nursery, name, call.rename, call.on))
    if call.remove:
        return record_one(call, farm, lambda nursery, _: remove_place(nursery, name, call.on))
    told: dict[str, Any] = {}
    if call.cover is not None:
        told["under_cover"] = yes_of(call.cover, "--cover")
    for key, given in (("room", call.room), ("serves", call.serves)):
        if given is not None:
            told[key] = [] if given.lower() == NONE else listed(given)
    if call.loss is not None:
        told["lot_loss_per_year"] = None if call.loss.lower() == NONE else share_of(call.loss, "yearly loss")
    if not told:
        raise Unusable(
            "say what has changed: --cover yes, --room '40 trays, 12 m of row', --serves 'seed beds', --loss 5%, "
            "--rename 'fog house', or --remove"
        )
    return record_one(call, farm, lambda nursery, _: set_place(nursery, name, told, call.on))


COMMAND = Command(
    run,
    "[FARM] NAME",
    "add a place, change what one holds, rename it or remove it: as if the farm file said so",
    (
        ("--rename", {"metavar": "NAME", "help": "call it so from now on; what stands there follows"}),
        ("--remove", {"action": "store_true", "help": "remove it: only where nothing stands or is due there"}),
        ("--cover", {"metavar": "yes|no", "help": "whether it is under cover"}),
        ("--room", {"metavar": "TEXT", "help": "what it holds, with commas between: 40 trays, 12 m of row; or none"}),
        ("--serves", {"metavar": "TEXT", "help": "the places that steps name and that it serves as; or none"}),
        ("--loss", {"metavar": "P", "help": "the share of lots lost whole there in a year; or none"}),
    ),
)
