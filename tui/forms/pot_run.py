"""The form for seed that has thrown radicles before its bed is open: how many, and where their pots stand."""

from __future__ import annotations

from collections.abc import Sequence

from engine.acts import propagation
from engine.acts.action import Action
from engine.acts.batches import find_place
from engine.journal.entry import Entry
from engine.schedule.nursery import Nursery
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_days import day_of
from tui.typed_numbers import whole_of
from tui.writing import Recorder, write


def ask_pot_run(screen: Recorder, lot: str, plant: str) -> None:
    """Ask how many have sprouted; they are potted as a lot of their own, and the rest goes on in the cold."""
    app = screen.app
    known = app.house.records.lot(lot)
    step = propagation.sown_next(known) if known is not None else ""
    if known is None or not step:
        screen.tell(f"no radicles were seen in {lot}: r records that they are out")
        return
    key = app.house.records.stock.current.get(lot)
    covered = [p.name for p in app.house.farm.places if p.under_cover and (key is None or p.name != key[3])]

    def save(values: Values) -> None:
        on, count = day_of(values["on"], app.today), whole_of(values["count"], "how many have sprouted")

        def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
            place = find_place(nursery.farm, values["place"])
            found = propagation.find_lot(nursery.records, lot)
            return propagation.pot_run(nursery.records, found, count, place, on, app.today)

        write(screen, make)

    fields = [
        Field("count", "how many have sprouted", "", True),
        Field("place", "where the pots stand", covered[0] if covered else ""),
        Field("on", "date (or yesterday)", app.today.isoformat(), day=True),
    ]
    told = f"{known.count} lie in the cold; what has sprouted becomes a lot of its own; the rest stays in the cold"
    app.push_screen(FormScreen(f"Pot what has sprouted: {lot} · {plant}", fields, save, told))
