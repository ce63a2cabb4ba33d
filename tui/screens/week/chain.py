"""A lot's whole chain on one page: every step with its dates, why they are so, and what was recorded."""

from __future__ import annotations

from datetime import date

from rich.text import Text

from engine.schedule.plan import Plan
from engine.views.plan import batch_lines
from tui.cells import day
from tui.farmhouse import Farmhouse
from tui.paper.plan import plan_sheet

UNBROKEN = 10_000
"""Columns of a page that breaks its lines itself."""


def chain_text(house: Farmhouse, plan: Plan, today: date) -> Text:
    """The page of a lot."""
    sheet = plan_sheet(house.farm, [batch_lines(house.nursery, plan, today)], why=True, width=UNBROKEN)
    text = Text(sheet)
    if plan.batch.protocol.note:
        text.append(f"\n\n{plan.batch.protocol.note}")
    for look in plan.lot.looks[-8:]:
        text.append(f"\nlook {day(look.day, True)}, {look.step}: {look.finding}")
    for on, note in plan.lot.notes:
        text.append(f"\nnote {day(on, True)}: {note}")
    return text
