"""How the commands of the yearly decision are called: what each says of itself, its words and its options."""

from __future__ import annotations

from tui.commands.stock_calls import Option

_BY: Option = ("-b --by", {"metavar": "DATE", "help": "the day by which they are to be there"})
_SURE: Option = ("--sure", {"default": "90", "metavar": "P", "help": "how surely: 0.9, 90 or 90%% (default: 90)"})
_CULTIVAR: Option = ("-k --cultivar", {"metavar": "NAME"})
_WHO: Option = ("-w --for", {"dest": "who", "metavar": "WHO", "help": "for whom"})
_FORM: Option = ("-f --form", {"metavar": "FORM", "help": "such as bare root, pot (left out: any that is ready)"})

NEEDS_CALLS: dict[str, tuple[str, str, str, tuple[Option, ...]]] = {
    "needs": (
        "needs.needs",
        "orders and plantings: covered, coming, or short by how many",
        "FARM",
        (("--without", {"metavar": "LOT", "help": "what falls short should this lot be lost, and which ways remain"}),),
    ),
    "need": (
        "needs.new",
        "add a need: so many of a plant, by a day, for someone",
        "[FARM] ID SPECIES COUNT",
        (_BY, _SURE, _WHO, _FORM, _CULTIVAR),
    ),
    "amend": (
        "needs.amend",
        "change a need: only what is given; none takes the day away",
        "[FARM] ID",
        (
            ("--count", {"metavar": "N", "help": "how many"}),
            _BY,
            ("--sure", {"metavar": "P", "help": "how surely: 0.9, 90 or 90%%"}),
            _WHO,
            _FORM,
            _CULTIVAR,
        ),
    ),
    "withdraw": (
        "needs.withdraw",
        "say that a need is wanted no longer",
        "[FARM] ID",
        (("--reason", {"metavar": "TEXT", "help": "why"}),),
    ),
    "stock-plant": (
        "stock_plants.new",
        "add stock plants: so many of a plant, kept to cut from",
        "[FARM] ID SPECIES COUNT",
        (
            _CULTIVAR,
            ("--place", {"metavar": "PLACE", "help": "where they stand (default: stock beds)"}),
            ("--planted", {"metavar": "Y", "help": "the year in which they were planted"}),
            ("--yields", {"metavar": "N|AGE=N,…", "help": "what one gives a year: 25, or by its age 1=4,3=18,5=25"}),
            ("--material", {"metavar": "M", "help": "cuttings (the default), scions, buds, layers, divisions, seed"}),
        ),
    ),
    "grub-out": (
        "stock_plants.grub_out",
        "say that stock plants are cut from no longer",
        "[FARM] ID",
        (("--reason", {"metavar": "TEXT", "help": "why"}),),
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
