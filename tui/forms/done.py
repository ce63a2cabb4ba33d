"""The form for an act done: how many came through, how many are left, and when."""

from __future__ import annotations

from contextlib import suppress

from engine.acts import propagation
from engine.acts.action import Action, Refused
from engine.journal.entry import Entry
from engine.schedule.nursery import Nursery
from engine.views.task import Task
from tui.fields import day_of, whole_of, yes_of
from tui.forms.form import Field, FormScreen, Values
from tui.writing import Recorder, write


def done_form(screen: Recorder, task: Task) -> FormScreen:
    """The form, prefilled: all came through, none left, today."""
    app, lot, step = screen.app, task.lot, task.step
    assert task.plan is not None
    there = task.plan.lot.count
    waits = propagation.passed_over(task.plan, task.index)
    parts = propagation.parts_to_join(app.house.records, task.plan.lot, step, app.today)
    fields = [
        Field("count", "came through", str(there)),
        Field("left", "still to be done (of what is there)", "0"),
        Field("on", "on which day (a date, or yesterday)", app.today.isoformat()),
    ]
    if parts:
        fields.append(Field("join", f"join with {', '.join(p.id for p in parts)}: yes or no", "yes"))

    def counts(values: Values) -> tuple[int, int]:
        """How many came through, and how many are left. Raises Refused."""
        count, left = whole_of(values["count"], "came through"), whole_of(values["left"], "still to be done")
        if left and values["count"] == str(there):
            count = there - left  # the prefilled number was not touched: what was done came through
        return count, left

    def told(values: Values) -> str:
        """What the numbers mean: the grower who stops at noon has lost nothing."""
        words = f"{there} are there"
        with suppress(Refused):
            count, left = counts(values)
            if (count, left) != (there, 0):
                lost = there - count - left
                means = [f"{count} go on"]
                means += [f"{left} wait to be done"] if left else []
                means += [f"{lost} lost"] if lost > 0 else []
                words += f": {', '.join(means)}"
        return words + (f"\n{', '.join(waits)} not recorded: passed over" if waits else "")

    def save(values: Values) -> None:
        on = day_of(values["on"], app.today)
        count, left = counts(values)
        join = yes_of(values.get("join", "yes"), "join")

        def make(nursery: Nursery, _: tuple[Entry, ...]) -> Action:
            found = propagation.find_lot(nursery.records, lot)
            return propagation.do(nursery.records, found, step, count, left, on, app.today, join)

        write(screen, make)
        if (lost := there - count - left) > 0:
            screen.said += f"; {lost} lost"

    return FormScreen(f"Done: {step} · {task.plant} · {lot}", fields, save, told)
