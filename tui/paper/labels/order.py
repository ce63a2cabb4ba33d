"""A call for labels: which lots, how many of each, on which sheet, into which file."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

from engine.acts.action import Refused
from engine.farm.model import Farm
from engine.reading.limits import MOST_LABELS
from engine.reading.problems import nearest
from engine.records.records import Records
from tui.out import warn
from tui.paper.labels.label import Label, is_doubtful, label_of, stock_labels
from tui.paper.labels.lots import StockLot, choose, intakes, known_names, lots_under_way, root_of
from tui.paper.labels.sheets import DEFAULT_SHEET, find_sheet


def ordered(
    farm: Farm, records: Records, watched: Callable[[], Records], names: Sequence[str], copies: int, on: date
) -> tuple[list[Label], list[Label]]:
    """The labels of the lots named (or of all), once each, and so many of each. Raises Refused.

    `records` are those of the day `on`; those that are `watched` tell how what is in stock came in.
    """
    lots, unknown = choose(records, names)
    if unknown:
        hint = nearest(unknown[0], known_names(records))
        raise Refused(f'no batch or lot is called "{unknown[0]}"', hint)
    under_way = lots_under_way(records)
    roots = {lot.id: root_of(records, under_way, lot.id) for lot in lots if isinstance(lot, StockLot)}
    came = intakes(watched().stock.movements, roots.values(), on) if roots else {}
    each: list[Label] = []
    for lot in lots:
        if isinstance(lot, StockLot):
            each += stock_labels(farm, lot, under_way.get(roots[lot.id]), came.get(roots[lot.id], ()))
        else:
            each.append(label_of(farm, lot, is_doubtful(records, lot)))
    if len(each) * copies > MOST_LABELS:
        raise Refused(f"{len(each) * copies} labels at once are too many; {MOST_LABELS} is the most")
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
    from tui.paper.files import NotWritten, put
    from tui.paper.labels.pdf import make_pdf

    printed = make_pdf(labels, sheet, call.code or "qr", start, f"Labels: {farm.name or 'Farm'}")
    try:
        put(Path(call.pdf), printed.data)
    except NotWritten as fault:
        raise Refused(str(fault)) from None
    for line in printed.told:
        warn(line)
    count = "1 label" if len(labels) == 1 else f"{len(labels)} labels"
    pages = "1 page" if printed.pages == 1 else f"{printed.pages} pages"
    return f"{call.pdf}: {count} on {pages} of {sheet.name}; print at actual size, not fitted to the page"
