"""What to buy and by when, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.orders import OrderLine
from tui.cells import (
    dated,
    day,
    iso,
)
from tui.paper.page import WIDTH


def orders_sheet(farm: Farm, lines: Sequence[OrderLine], today: date, width: int = WIDTH) -> str:
    """What to buy, by when, and what has come."""
    told = [f"{farm.name or 'Farm'} · to buy, on {dated(today)}"]
    if not lines:
        return "\n".join((*told, "", "Nothing needs buying."))
    for line in lines:
        late = "overdue: " if line.order_by and line.order_by < today else "the first "
        by = f", {late}by {day(line.order_by, True)}" if line.order_by else ""
        plant = f" for {line.plant}" if line.plant else ""
        onto = f", {line.rootstock}," if line.rootstock else ""
        some = f"{line.count}, " if line.to_order != line.count else ""
        how = f"{some}{line.to_order} to order{by}" if line.to_order else f"{line.count}, {line.state}"
        told += ["", *wrap(f"{line.item.upper()}{onto}{plant}: {how}", width)]
        for part in line.parts:
            best = f" (best before {day(part.best_by, True)})" if part.best_by else ""
            when = f"by {day(part.order_by, True)}{best}" if part.state == "to order" and part.order_by else part.state
            came = f", {part.said_came}" if part.said_came else ""
            wanted = f", wanted {day(part.wanted, True)}" if part.wanted and not part.came else ""
            note = f"; {part.note}" if part.note else ""
            text = f"{part.count:>6} {part.lot} {part.plant}".rstrip() + f": {when}{came}{wanted}{note}"
            told += wrap(text, width, initial_indent="  ", subsequent_indent=" " * 9)
    return "\n".join(told)


def orders_json(lines: Iterable[OrderLine]) -> dict[str, Any]:
    return {
        "orders": [
            {
                "item": line.item,
                "rootstock": line.rootstock or None,
                "plant": line.plant or None,
                "count": line.count,
                "to_order": line.to_order,
                "order_by": iso(line.order_by),
                "arrived": line.came,
                "state": line.state,
                "parts": [
                    {
                        "lot": p.lot,
                        "count": p.count,
                        "order_by": iso(p.order_by),
                        "best_by": iso(p.best_by),
                        "wanted": iso(p.wanted),
                        "state": p.state,
                        "arrived": p.came,
                        "note": p.note or None,
                    }
                    for p in line.parts
                ],
            }
            for line in lines
        ]
    }
