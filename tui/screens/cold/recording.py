"""What the keys of the cold store record; what is the same as on the week is asked as there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from engine.acts import place_work, propagation
from engine.reading.units import US
from engine.views.cold import ColdLot, told_of_outage
from tui.forms import marked_lines
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_days import day_of
from tui.typed_numbers import degrees_of, whole_of
from tui.writing import attempt, write

if TYPE_CHECKING:
    from tui.screen import FarmScreen


def look(screen: FarmScreen, lot: ColdLot, finding: str) -> None:
    """What a look at the lot found today."""
    if not lot.begun:
        screen.tell(f"{lot.lot.id} has not begun: d records that it has")
        return
    today, name, step = screen.app.today, lot.lot.id, lot.plan.step(lot.now.index).do
    attempt(screen, lambda n, _: propagation.look(propagation.find_lot(n.records, name), step, finding, today, today))


def done(screen: FarmScreen, lot: ColdLot) -> None:
    """What follows, done: the sowing, the next phase, or the beginning of the treatment."""
    from engine.views.week import act_task
    from tui.forms.done import done_form

    k = lot.next_act
    if k is None:
        screen.tell(f"nothing follows in the protocol of {lot.lot.id}")
        return
    screen.app.push_screen(done_form(screen, act_task(screen.app.house.farm, lot.plan, k, screen.app.today)))


def note(screen: FarmScreen, lot: ColdLot) -> None:
    today, name = screen.app.today, lot.lot.id

    def save(values: Values) -> None:
        write(screen, lambda n, _: propagation.note(propagation.find_lot(n.records, name), values["text"], today))

    screen.app.push_screen(FormScreen(f"Note on {name} · {lot.plant}", [Field("text", "note")], save))


def look_all(screen: FarmScreen, lots: Sequence[ColdLot], finding: str) -> None:
    """One finding for all lots that are marked."""
    looks = [(lot.lot.id, lot.plan.step(lot.now.index).do) for lot in lots]
    marked_lines.look_lots(screen, looks, finding, screen.app.today)


def done_all(screen: FarmScreen, lots: Sequence[ColdLot]) -> None:
    """What follows, done for all lots that are marked."""
    from engine.views.week import act_task

    farm, today = screen.app.house.farm, screen.app.today
    if over := [lot.lot.id for lot in lots if lot.next_act is None]:
        screen.tell(f"nothing follows in the protocol of {', '.join(over)}")
        return
    marked_lines.done_all(screen, [act_task(farm, lot.plan, lot.next_act or 0, today) for lot in lots])


def note_all(screen: FarmScreen, lots: Sequence[ColdLot]) -> None:
    """One note on all lots that are marked."""
    marked_lines.note_all(screen, (lot.lot.id for lot in lots))


def outage(screen: FarmScreen, place: str) -> None:
    """A store that was too warm, or froze: which, how long, how warm; then what it means for each lot there."""
    app, today = screen.app, screen.app.today

    def save(values: Values) -> None:
        on = day_of(values["on"], today)
        days, heat = whole_of(values["days"], "how many days"), degrees_of(values["degrees"], app.house.farm.units)
        write(screen, lambda n, _: place_work.outage(n.farm, values["place"], days, heat, on, today))
        written = [o for o in app.house.records.outages if (o.days, o.last, o.temperature_c) == (days, on, heat)]
        told = told_of_outage(app.day(), written[-1])
        screen.said = f"{screen.said}: {'; '.join(told) or 'no seed was there'}"

    fields = [
        Field("place", "place", place),
        Field("days", "for how many days", "1"),
        Field("degrees", f"at how many °{'F' if app.house.farm.units == US else 'C'}", asked=True),
        Field("on", "the last of them (a date, or yesterday)", today.isoformat(), day=True),
    ]
    app.push_screen(FormScreen("A store that was too warm, or froze", fields, save))
