"""The stock as a table (CSV) for a spreadsheet, and a table read back."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from engine.acts.stock_table import COLUMNS
from engine.needs.allotment import Allotment
from engine.reading.files import read_text
from engine.records.stock import Stock
from tui.out import cell, from_cell
from tui.paper.stock import lot_record


def stock_csv(view: Allotment, stock: Stock) -> str:
    """The same as a table; its header is the one that `widger receive --csv` reads."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in view.held():
        told = {**lot_record(line), "doubtful": "yes" if line.doubtful else "no", "unit": line.unit}
        told["origin"] = stock.names[line.lot].origin
        row = [told.get(column, "") for column in COLUMNS]
        writer.writerow([cell(value) if isinstance(value, str) else value for value in row])
    return out.getvalue()


def read_table(path: Path) -> tuple[list[str], list[list[str]]]:
    """The header and the rows of a table parted by commas, semicolons or tabs.

    Raises OSError or csv.Error where it cannot be read, ValueError where it is empty or no text.
    """
    text = read_text(path)
    first = text.split("\n", 1)[0]
    if not first.strip():
        raise ValueError("the table is empty")
    delimiter = max(",;\t", key=first.count)
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    return rows[0], [[from_cell(each) for each in row] for row in rows[1:]]
