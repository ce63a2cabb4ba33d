"""The orders as a table (CSV) for a spreadsheet; its header is the one that `widger need --csv` reads."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from engine.acts.order_table import COLUMNS
from engine.needs.need_lines import NeedLine
from tui.out import cell


def orders_csv(lines: Iterable[NeedLine], own: Iterable[str]) -> str:
    """A row for each order; what plantings of the farm's `own` ask for is left out, for it stands in the farm file."""
    out, left_out = io.StringIO(), frozenset(own)
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in lines:
        need = line.need
        if need.who in left_out:
            continue
        by = need.by.isoformat() if need.by else ""
        row = (need.id, need.species, need.cultivar, need.form, need.grade, need.count, by, f"{need.sure:g}", need.who)
        writer.writerow([cell(each) if isinstance(each, str) else each for each in row])
    return out.getvalue()
