"""`widger labels`: labels for batches and lots, as text or as a PDF to print."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared.call import FILE, GOOD, Command, Unusable, by_argparse, print_json
from tui.commands.shared.farms import farm_here, farm_of, tell
from tui.out import say
from tui.typed_numbers import at_least_1

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    from tui.paper.labels.sheets import sheet_list

    if call.sheet == "list":
        say(sheet_list())
        return GOOD
    if call.pdf is None and (call.sheet or call.code or call.start_at):
        raise Unusable("--sheet, --code and --start-at lay out a PDF; name its file with --pdf FILE")
    call.words, names = _farm_and_lots(call.words)
    house = farm_of(call, watched=True)
    from tui.paper.labels.order import ordered, print_pdf

    each, wanted = ordered(
        house.farm, house.records, house.watched, (*names, *(call.batch or ())), call.copies, call.on
    )
    said = print_pdf(house.farm, wanted, call) if call.pdf is not None else ""
    if call.json:
        from tui.paper.labels.label import labels_json

        print_json(labels_json(each))
    elif call.pdf is not None:
        say(said)
    else:
        from tui.paper.labels.text import text_labels

        say(text_labels(wanted) or "No lots.")
    return tell(house, call.on)


def _farm_and_lots(words: list[str]) -> tuple[list[str], list[str]]:
    """The farm's file where the first word is one, and the lots named after it; FARM may be left out where one is."""
    names_farm = words and (words[0].endswith(".toml") or Path(words[0]).is_file() or farm_here() is None)
    return (words[:1], words[1:]) if names_farm else ([], words)


COMMAND = Command(
    run,
    "[FARM] LOT",
    "labels for batches and lots of the stock, as text or as a PDF to print",
    (
        ("--batch", {"nargs": "+", "action": "extend", "metavar": "ID", "help": "only these batches or lots"}),
        ("--copies", {"type": by_argparse(at_least_1), "default": 1, "metavar": "N", "help": "so many of each"}),
        ("--pdf", {**FILE, "help": "write a PDF to print instead of text"}),
        ("--sheet", {"metavar": "NAME", "help": "its label sheet, such as a4-3x8 (the default); `list` shows them"}),
        ("--code", {"choices": ("qr", "code128", "none"), "help": "how the lot's id is coded in it (default: qr)"}),
        (
            "--start-at",
            {"type": by_argparse(at_least_1), "metavar": "N", "help": "the first label of the sheet not yet used"},
        ),
    ),
)
