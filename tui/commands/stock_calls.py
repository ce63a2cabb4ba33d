"""How the commands on the stock are called: where each is done, what it says of itself, its words and its options."""

from __future__ import annotations

from typing import Any

Option = tuple[str, dict[str, Any]]

_OF: tuple[Option, ...] = (
    ("-f --form", {"metavar": "FORM", "help": "the form meant; may be left out where the lot has one holding"}),
    ("-g --grade", {"metavar": "GRADE", "help": "the grade meant"}),
    ("-p --place", {"metavar": "PLACE", "help": "the place meant"}),
)
_TO: Option = ("-t --to", {"metavar": "WHOM", "help": "to whom, or where"})
_NEED: Option = ("-n --need", {"metavar": "ID", "help": "the need that it meets"})
_REASON: Option = ("-r --reason", {"metavar": "TEXT"})
_UNNAMED: Option = ("--unnamed", {"action": "store_true", "help": "without its cultivar's name (a doubtful lot)"})

STOCK_CALLS: dict[str, tuple[str, str, str, tuple[Option, ...]]] = {
    "stock": (
        "stock.stock",
        "what is on hand, promised, free and coming",
        "FARM",
        (
            ("--by", {"choices": ("species", "form", "place"), "default": "species"}),
            ("--csv", {"action": "store_true", "help": "a table for a spreadsheet, which receive --csv reads"}),
        ),
    ),
    "trace": ("stock.trace", "where a lot came from and where it went, with its ledger", "[FARM] LOT", ()),
    "stock-plants": (
        "stock.stock_plants",
        "what the plants kept to cut from gave each year, beside what was expected and asked",
        "FARM",
        (),
    ),
    "rows": ("stock.rows", "the map of the beds: each row from its fixed end", "FARM", ()),
    "came": (
        "stock_record.came",
        "record that what was ordered for a batch has come: rootstocks, seed, scions, pots",
        "[FARM] LOT",
        (
            ("-i --item", {"metavar": "WHAT", "help": "such as rootstocks or pots, where it waits for several"}),
            ("-c --count", {"metavar": "N", "help": "how many came (default: all that were ordered)"}),
            ("-l --left", {"metavar": "N", "help": "how many are still to come"}),
            ("--from", {"dest": "source", "metavar": "WHOM", "help": "from whom"}),
        ),
    ),
    "receive": (
        "stock_record.receive",
        "record what came in: one lot, or a whole table",
        "[FARM] LOT COUNT",
        (
            ("-s --species", {"metavar": "NAME"}),
            ("-k --cultivar", {"metavar": "NAME"}),
            ("-f --form", {"metavar": "FORM", "help": "such as liner, bare root, 1 L pot"}),
            ("-g --grade", {"metavar": "GRADE"}),
            ("-p --place", {"metavar": "PLACE"}),
            ("-o --origin", {"metavar": "WORD", "default": "bought", "help": "bought, collected, found or swapped"}),
            ("--from", {"dest": "source", "metavar": "WHOM", "help": "from whom, or where"}),
            ("-u --unit", {"metavar": "UNIT", "help": "g, seeds, sticks or buds; left out: pieces"}),
            ("--csv", {"metavar": "FILE", "help": "take in a table such as stock --csv prints: all of it, or none"}),
        ),
    ),
    "move": ("stock_record.move", "record a move to another place", "[FARM] LOT COUNT PLACE", _OF),
    "pot-up": (
        "stock_record.pot_up",
        "record potting up, or another change of form",
        "[FARM] LOT COUNT",
        (
            ("-i --into", {"metavar": "FORM", "default": "pot", "help": "the new form (default: pot)"}),
            ("-t --to", {"metavar": "PLACE", "help": "where they then stand (default: where they were)"}),
            *_OF,
        ),
    ),
    "grade": ("stock_record.grade", "record a grading, such as first=40 second=15", "[FARM] LOT GRADE=COUNT", _OF),
    "sell": ("stock_record.sell", "record a sale", "[FARM] LOT COUNT", (_TO, _NEED, _UNNAMED, *_OF)),
    "give": ("stock_record.give", "record a gift or a swap", "[FARM] LOT COUNT", (_TO, _NEED, _UNNAMED, *_OF)),
    "plant-out": ("stock_record.plant_out", "record a planting out", "[FARM] LOT COUNT", (_TO, _NEED, *_OF)),
    "lose": (
        "stock_record.lose",
        "record a loss, with its cause",
        "[FARM] LOT COUNT",
        (("-c --cause", {"metavar": "TEXT"}), *_OF),
    ),
    "count": ("stock_record.count", "record how many were counted", "[FARM] LOT COUNT", (_REASON, *_OF)),
    "split": (
        "stock_record.split",
        "part so many off as a lot of their own",
        "[FARM] LOT COUNT",
        (("-i --into", {"metavar": "LOT", "help": "its name (default: the next free one, such as E26/1)"}), *_OF),
    ),
    "join": ("stock_record.join", "join a lot to another of the same plant", "[FARM] LOT INTO", ()),
    "doubt": ("stock_record.doubt", "say that a lot's name is doubtful: its label is lost", "[FARM] LOT", (_REASON,)),
    "verify": ("stock_record.verify", "say that a lot's name is sure again", "[FARM] LOT", (_REASON,)),
    "row": ("stock_record.row", "map a row of a bed from its fixed end", "[FARM] PLACE ROW LOT:METRES:COUNT", ()),
}
