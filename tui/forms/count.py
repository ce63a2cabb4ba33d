"""The form for a count on any day: how many of a lot are alive."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from engine.acts import stock as actions
from engine.acts.action import Action, Refused
from engine.acts.find_in_stock import find_counted, open_ledger
from engine.acts.going import set_going
from engine.journal.entry import Entry
from engine.schedule.nursery import Nursery
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_days import day_of
from tui.typed_numbers import whole_of
from tui.writing import Recorder, write


def ask_count(screen: Recorder, lot: str, plant: str) -> None:
    """Ask how many of a lot are alive; of one that is going nothing stands in for the count."""
    app = screen.app
    stock = app.house.records.stock
    key, known = stock.current.get(lot), app.house.records.lot(lot)
    held = next((h for h in stock.of(lot) if (h.lot, h.form, h.grade, h.place) == key), None)
    if held is None or known is None:
        screen.tell(f"there is none of {lot} yet")
        return
    there, blind = known.into if held.going else held.count, held.going or bool(known.under)

    def told(values: Values) -> str:
        words = f"{there} {f'were {set_going(known)}' if held.going else 'are on record'}"
        with suppress(Refused):
            if values["count"].strip():
                alive = whole_of(values["count"], "how many")
                words += f": {alive} alive, {there - alive} gone" if alive <= there else f": {alive} alive"
        return words

    def save(values: Values) -> None:
        on, alive = day_of(values["on"], app.today), whole_of(values["count"], "how many are alive")

        def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
            ledger = open_ledger(nursery.farm, nursery.records, entries, on, app.today)
            return actions.count(ledger, find_counted(ledger, lot), alive, values["reason"])

        write(screen, make)

    fields = [
        Field("count", "how many are alive", "" if blind else str(there), blind),
        Field("reason", "why the rest is gone, if it shows (mice, none rooted …)"),
        Field("on", "date (or yesterday)", app.today.isoformat(), day=True),
    ]
    app.push_screen(FormScreen(f"Count: {lot} · {plant}", fields, save, told))
