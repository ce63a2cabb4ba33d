"""How the commands of the yearly decision are called: what each says of itself, its words and its options."""

from __future__ import annotations

from tui.commands.stock_calls import Option

_BY: Option = ("-b --by", {"metavar": "DATE", "help": "the day by which they are to be there"})
_SURE: Option = ("--sure", {"default": "90", "metavar": "P", "help": "how surely: 0.9, 90 or 90%% (default: 90)"})
_CULTIVAR: Option = ("-k --cultivar", {"metavar": "NAME"})
_FORM: Option = ("-f --form", {"metavar": "FORM", "help": "such as bare root, pot (left out: any that is ready)"})

NEEDS_CALLS: dict[str, tuple[str, str, str, tuple[Option, ...]]] = {
    "needs": (
        "needs.needs",
        "orders and plantings: covered, coming, or short by how many",
        "FARM",
        (("--without", {"metavar": "LOT", "help": "what falls short should this lot be lost, and which ways remain"}),),
    ),
    "promise": (
        "needs.promise",
        "how many of a plant can still be promised by a day",
        "[FARM] SPECIES",
        (_BY, _FORM, _CULTIVAR, _SURE),
    ),
    "ways": (
        "needs.ways",
        "every way to have so many of a plant by a day, side by side",
        "[FARM] SPECIES COUNT",
        (_BY, _FORM, _CULTIVAR, _SURE),
    ),
    "orders": ("needs.orders", "what must be bought for the batches, by when, and what has come", "FARM", ()),
    "review": (
        "needs.review",
        "a year's plan against what came of it, and what to change",
        "FARM",
        (("--year", {"metavar": "Y", "help": "the calendar year (default: that of --on)"}),),
    ),
}
