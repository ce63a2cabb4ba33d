"""The commands that record what happens to the stock: each writes one entry, or is refused with the reason."""

from __future__ import annotations

import argparse
import csv
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from engine.acts import stock as actions
from engine.records.rows import RowPart
from tui import door
from tui.commands.record import record_one, split_words
from tui.commands.shared import GOOD, UNUSABLE, Unusable, enter, farm_path, farm_word, print_json

if TYPE_CHECKING:
    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.records.stock_book import Holding
    from engine.schedule.nursery import Nursery

Do = Callable[[actions.Ledger], "Action"]
DoCount = Callable[[actions.Ledger, "Holding", int], "Action"]


def _ledger(call: argparse.Namespace, nursery: Nursery, entries: tuple[Entry, ...]) -> actions.Ledger:
    today = max(call.on, door.today())
    return actions.open_ledger(nursery.farm, nursery.records, entries, call.on, today)


def _one(call: argparse.Namespace, farm: Sequence[str], do: Do) -> int:
    return record_one(call, farm, lambda nursery, entries: do(_ledger(call, nursery, entries)))


def _counted(call: argparse.Namespace, farm: Sequence[str], lot: str, count: str, do: DoCount) -> int:
    """An action on so many (or `all`) of the one holding of a lot that is meant."""
    wanted = None if count.lower() == "all" else _whole(count)

    def of(ledger: actions.Ledger) -> Action:
        held = actions.find_holding(ledger, lot, call.form, call.grade, call.place)
        return do(ledger, held, held.count if wanted is None else wanted)

    return _one(call, farm, of)


def _whole(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise Unusable(f'"{text}" is no count; give a whole number, or all')
    return int(text)


def came(call: argparse.Namespace) -> int:
    """What was ordered for a batch has come."""
    from engine.needs.arrivals import came as has_come
    from engine.schedule.plan import plan_all

    farm, (lot,) = split_words(call.words, ("LOT",))
    count, left = (None if text is None else _whole(text) for text in (call.count, call.left))

    def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
        return has_come(
            nursery, plan_all(nursery, call.on), lot, call.on, max(call.on, door.today()),
            item=call.item or "", count=count, left=left or 0, source=call.source or "",
        )  # fmt: skip

    return record_one(call, farm, make)


def receive(call: argparse.Namespace) -> int:
    if call.csv:
        return _receive_table(call)
    farm, (lot, count) = split_words(call.words, ("LOT", "COUNT"))
    number = _whole(count)
    lacking = [f"--{name}" for name in ("species", "form", "place") if not getattr(call, name)]
    if lacking:
        raise Unusable(f"give {', '.join(lacking)}, or a table with --csv FILE")
    return _one(
        call,
        farm,
        lambda ledger: actions.receive(
            ledger, lot, call.species, call.cultivar or "", call.form, call.place, number, call.grade or "",
            call.origin, call.source or "", call.unit or "",
        ),
    )  # fmt: skip


def _receive_table(call: argparse.Namespace) -> int:
    """Take in a whole table: all its rows, in one append, or none."""
    from engine.acts.action import Refused
    from engine.acts.intake import Faulty, take_in
    from engine.journal.store import JournalError
    from engine.records.words import said
    from tui.farmhouse import record_all
    from tui.paper.entry import entry_json
    from tui.paper.stock_table import read_table

    house = enter(farm_path(farm_word(call)))
    try:
        header, rows = read_table(Path(call.csv))
    except OSError as fault:
        raise Unusable(f"{call.csv} cannot be read: {fault.strerror}") from None
    except (ValueError, csv.Error) as fault:
        raise Unusable(f"{call.csv} is no table that can be read: {fault}") from None
    try:
        entries = record_all(
            house.path, house.farm, lambda nursery, known: take_in(_ledger(call, nursery, known), header, rows)
        )
    except Faulty as found:
        for each in found.faults:
            print(f"{call.csv}: {each}", file=sys.stderr)
        print("widger: nothing was recorded", file=sys.stderr)
        return UNUSABLE
    except (Refused, JournalError) as refusal:
        raise Unusable(str(refusal)) from None
    if call.json:
        print_json([entry_json(entry) for entry in entries])
    else:
        for entry in entries:
            print(said(entry))
    return GOOD


def move(call: argparse.Namespace) -> int:
    farm, (lot, count, to) = split_words(call.words, ("LOT", "COUNT", "PLACE"))
    return _counted(call, farm, lot, count, lambda ledger, held, n: actions.move(ledger, held, n, to))


def pot_up(call: argparse.Namespace) -> int:
    farm, (lot, count) = split_words(call.words, ("LOT", "COUNT"))
    return _counted(
        call, farm, lot, count, lambda ledger, held, n: actions.pot_up(ledger, held, n, call.into, call.to or "")
    )


def grade(call: argparse.Namespace) -> int:
    told = [word for word in call.words if "=" in word]
    farm, (lot,) = split_words([word for word in call.words if "=" not in word], ("LOT", "GRADE=COUNT…")[:1])
    if not told:
        raise Unusable("give [FARM] LOT GRADE=COUNT …, such as first=40 second=15")
    grades: dict[str, int] = {}
    for word in told:
        name, _, count = word.rpartition("=")
        grades[name] = grades.get(name, 0) + _whole(count)

    def of(ledger: actions.Ledger) -> Action:
        return actions.grade(ledger, actions.find_holding(ledger, lot, call.form, call.grade, call.place), grades)

    return _one(call, farm, of)


def _goes(call: argparse.Namespace, kind: str) -> int:
    farm, (lot, count) = split_words(call.words, ("LOT", "COUNT"))
    return _counted(
        call,
        farm,
        lot,
        count,
        lambda ledger, held, n: actions.sell(
            ledger, held, n, call.to or "", call.need or "", getattr(call, "unnamed", False), kind
        ),
    )


def sell(call: argparse.Namespace) -> int:
    return _goes(call, "sell")


def give(call: argparse.Namespace) -> int:
    return _goes(call, "give")


def plant_out(call: argparse.Namespace) -> int:
    return _goes(call, "plant_out")


def lose(call: argparse.Namespace) -> int:
    farm, (lot, count) = split_words(call.words, ("LOT", "COUNT"))
    return _counted(call, farm, lot, count, lambda ledger, held, n: actions.lose(ledger, held, n, call.cause or ""))


def count(call: argparse.Namespace) -> int:
    farm, (lot, counted) = split_words(call.words, ("LOT", "COUNT"))
    return _counted(call, farm, lot, counted, lambda ledger, held, n: actions.count(ledger, held, n, call.reason or ""))


def split(call: argparse.Namespace) -> int:
    farm, (lot, count) = split_words(call.words, ("LOT", "COUNT"))
    return _counted(call, farm, lot, count, lambda ledger, held, n: actions.split(ledger, held, n, call.into or ""))


def join(call: argparse.Namespace) -> int:
    farm, (lot, into) = split_words(call.words, ("LOT", "INTO"))
    return _one(call, farm, lambda ledger: actions.join(ledger, lot, into))


def doubt(call: argparse.Namespace) -> int:
    farm, (lot,) = split_words(call.words, ("LOT",))
    return _one(call, farm, lambda ledger: actions.doubt(ledger, lot, call.reason or ""))


def verify(call: argparse.Namespace) -> int:
    farm, (lot,) = split_words(call.words, ("LOT",))
    return _one(call, farm, lambda ledger: actions.verify(ledger, lot, call.reason or ""))


def row(call: argparse.Namespace) -> int:
    """A row from its fixed end: LOT:METRES:COUNT for each lot in it."""
    told = [re.fullmatch(r"(.+):(\d+(?:\.\d+)?):(\d{1,9})", word) for word in call.words]
    parts = [RowPart(found[1], float(found[2]), int(found[3])) for found in told if found]
    words = [word for word, found in zip(call.words, told, strict=True) if not found]
    if call.words[: len(words)] != words:
        raise Unusable("give [FARM] PLACE ROW LOT:METRES:COUNT …, such as E26:3.5:80")
    farm, (place, name) = split_words(words, ("PLACE", "ROW"))
    return _one(call, farm, lambda ledger: actions.row(ledger, place, name, parts))
