"""A season's orders as a table: every row is checked before the first is written, and all faults are told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from engine.acts.action import Action, Refused
from engine.acts.needs import free_need_id, new_need
from engine.acts.stock_table import Faulty, TableFault, by_columns
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.reading.written import read_share, read_whole
from engine.records.needs import SURE
from engine.schedule.nursery import Nursery

NEEDED = ("species", "count")
COLUMNS = ("need", "species", "cultivar", "form", "grade", "count", "by", "sure", "who")
"""As the table of the orders is printed."""


def take_orders(
    nursery: Nursery, entries: Iterable[Entry], header: Sequence[str], rows: Sequence[Sequence[str]], on: date
) -> list[Action]:
    """A need for each row, or Faulty with all that is wrong. A row without an id gets one by its plant and year."""
    faults: list[TableFault] = []
    known = list(entries)
    actions: list[Action] = []
    for number, row in by_columns(header, rows, COLUMNS, NEEDED, faults):
        before = len(faults)
        count, by, sure = _count(row, number, faults), _day(row, number, faults), _sure(row, number, faults)
        if len(faults) > before:
            continue
        words = {key: row.get(key, "") for key in ("species", "cultivar", "form", "grade", "who")}
        name = row.get("need") or free_need_id(nursery, known, words["cultivar"] or words["species"], by or on)
        try:
            action = new_need(nursery, known, Need(id=name, count=count, by=by, sure=sure, **words), on)
        except Refused as refusal:
            faults.append(TableFault(number, "", str(refusal), refusal.hint))
            continue
        actions.append(action)
        known.append(Entry(f"row {number}", "", on, action.kind, action.data))
    if not actions and not faults:
        faults.append(TableFault(2, "", "the table has no rows"))
    if faults:
        raise Faulty(faults)
    return actions


def _count(row: dict[str, str], number: int, faults: list[TableFault]) -> int:
    if not (count := read_whole(row.get("count", ""))):
        faults.append(TableFault(number, "count", f'"{row.get("count", "")}" is not a whole number, 1 or more'))
        return 0
    return count


def _day(row: dict[str, str], number: int, faults: list[TableFault]) -> date | None:
    text = row.get("by", "")
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        faults.append(TableFault(number, "by", f'"{text}" is not a date', "write year-month-day, such as 2028-03-12"))
        return None


def _sure(row: dict[str, str], number: int, faults: list[TableFault]) -> float:
    if not row.get("sure"):
        return SURE
    share = read_share(row["sure"])
    if share is not None and 0 < share < 1:
        return share
    faults.append(TableFault(number, "sure", f'"{row["sure"]}" is not a certainty', "write 0.9, 90 or 90%"))
    return SURE
