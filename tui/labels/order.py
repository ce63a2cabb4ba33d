"""A call for labels: which lots, how many of each, on which sheet, into which file."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from engine.farm.model import Farm
from engine.journal.records import Records
from engine.reading.problems import nearest
from tui.labels.label import Label, choose, is_doubtful, label_of
from tui.labels.sheets import DEFAULT_SHEET, find_sheet

MOST = 10_000
"""More labels in one call are taken for a slip."""


class Refused(Exception):
    """A call for labels that cannot be met."""


def ordered(farm: Farm, records: Records, names: Sequence[str], copies: int) -> tuple[list[Label], list[Label]]:
    """The labels of the lots named (or of all), once each, and so many of each. Raises Refused."""
    lots, unknown = choose(records, names)
    if unknown:
        hint = nearest(unknown[0], (lot.id for lot in records.lots))
        raise Refused(f'no batch is called "{unknown[0]}"' + (f"; {hint}" if hint else ""))
    if len(lots) * copies > MOST:
        raise Refused(f"{len(lots) * copies} labels at once are too many; {MOST} is the most")
    each = [label_of(farm, lot, is_doubtful(records, lot)) for lot in lots]
    return each, [label for label in each for _ in range(copies)]


def print_pdf(farm: Farm, labels: Sequence[Label], call: argparse.Namespace) -> str:
    """Write the PDF that the call asks for and say what was written. Raises Refused; then nothing is written."""
    start = call.start_at or 1
    try:
        sheet = find_sheet(call.sheet or DEFAULT_SHEET)
    except ValueError as fault:
        raise Refused(str(fault)) from None
    if start > sheet.holds:
        raise Refused(f"{sheet.name} holds {sheet.holds} labels; --start-at {start} lies beyond it")
    if not labels:
        raise Refused(f"there is no lot to label; {call.pdf} is not written")
    from tui.labels.pdf import NotWritten, make_pdf, put

    printed = make_pdf(labels, sheet, call.code or "qr", start, f"Labels: {farm.name or 'Farm'}")
    try:
        put(Path(call.pdf), printed.data)
    except NotWritten as fault:
        raise Refused(str(fault)) from None
    for line in printed.told:
        print(line, file=sys.stderr)
    count = "1 label" if len(labels) == 1 else f"{len(labels)} labels"
    pages = "1 page" if printed.pages == 1 else f"{printed.pages} pages"
    return f"{call.pdf}: {count} on {pages} of {sheet.name}; print at actual size, not fitted to the page"
