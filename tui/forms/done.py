"""The form for an act done: how many came through, how many are left, and when."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.journal import actions
from engine.journal.actions import Action, Refused
from engine.journal.entry import Entry
from engine.schedule.plan import Nursery
from engine.views.task import Task
from tui.forms.form import Field, FormScreen, Values, day_of, whole_of
from tui.writing import write

if TYPE_CHECKING:
    from tui.screen import FarmScreen


def done_form(screen: FarmScreen, task: Task) -> FormScreen:
    """The form, prefilled: all came through, none left, today."""
    app, lot, step = screen.app, task.lot, task.step
    assert task.plan is not None
    records = app.house.records
    parts = actions.parts_to_join(records, task.plan.lot, step, app.today)
    fields = [
        Field("count", "came through", str(task.plan.lot.count)),
        Field("left", "still to be done (of what is there)", "0"),
        Field("on", "on which day (a date, or yesterday)", app.today.isoformat()),
    ]
    if parts:
        fields.append(Field("join", f"join with {', '.join(p.id for p in parts)}: yes or no", "yes"))

    def save(values: Values) -> None:
        on = day_of(values["on"], app.today)
        count, left = whole_of(values["count"], "came through"), whole_of(values["left"], "still to be done")
        there = task.plan.lot.count if task.plan else 0
        if left and values["count"] == str(there):
            count = there - left  # the prefilled number was not touched: what was done came through
        if values.get("join", "yes") not in ("yes", "no", "y", "n"):
            raise Refused("join: yes or no")

        def make(nursery: Nursery, entries: tuple[Entry, ...]) -> Action:
            found = actions.find_lot(nursery.records, lot)
            return actions.do(
                nursery.records, found, step, count, left, on, app.today, values.get("join", "yes").startswith("y")
            )

        write(screen, make)

    waits = _undone_before(task)
    told = f"{', '.join(waits)} not recorded: passed over" if waits else f"{task.plan.lot.count} are there"
    return FormScreen(f"Done: {step} · {task.plant} · {lot}", fields, save, told)


def _undone_before(task: Task) -> list[str]:
    plan = task.plan
    assert plan is not None
    return [plan.step(i).do for i in sorted(plan.chain.precedes(task.index)) if not plan.done(i)]
