"""The form for a step done: how many went in, or are alive and go on; how many are left; and when."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from engine.acts import propagation
from engine.acts.action import Action, Refused
from engine.journal.entry import Entry
from engine.protocols.roles import Role
from engine.records.lots import tells_how_many
from engine.schedule.nursery import Nursery
from engine.views.task import Task
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_days import day_of
from tui.typed_numbers import rest_of, whole_of
from tui.typed_words import yes_of
from tui.writing import Recorder, write

PART = "(40 r: 40 now, the rest later)"
"""Said where a part may be done: one number, and the rest of the lot for another day."""


def done_form(screen: Recorder, task: Task) -> FormScreen:
    """The form. An act that sets going asks how many went in; one that finds out, how many are alive and go on."""
    app, lot, step = screen.app, task.lot, task.step
    assert task.plan is not None
    held = task.plan.lot
    there, role = held.count, task.plan.step(task.index).role
    blind = tells_how_many(held, step)  # nothing may stand in for a count
    waits = propagation.passed_over(task.plan, task.index)
    parts = propagation.parts_to_join(app.house.records, held, step, app.today)
    if role.finds_out:
        fields = [Field("there", f"how many are {role.found} {PART}", "" if blind else str(there), blind)]
        sent_on = "you keep" if role is Role.CLEAN else "go on"
        fields += [Field("count", f"how many of those {sent_on} (empty: all)", "")]
    else:
        word = "how many went in" if role.sets_going else "how many"
        fields = [Field("count", f"{word} {PART}", "" if blind else str(there), blind)]
    fields.append(Field("left", "still to do (a number, or r: the rest)", "0"))
    if role.leaves_going and not blind:
        fields.append(Field("cause", "if some were thrown out, why", ""))
    fields.append(Field("on", "date (or yesterday)", app.today.isoformat(), day=True))
    if parts:
        fields.append(Field("join", f"join with {', '.join(p.id for p in parts)}: yes or no", "yes"))

    asked = fields[0].label.removesuffix(f" {PART}")

    def counts(values: Values) -> tuple[int, int, int | None]:
        """How many go on, how many are left, and how many were found alive. Raises Refused."""
        first = "there" if role.finds_out else "count"
        number, rest = rest_of(values[first])
        if rest or rest_of(values["left"])[1]:
            alive = whole_of(number, asked)
            left = max(0, there - alive)
        else:
            left = whole_of(values["left"], "how many are still to do")
            alive = there - left if left and number == str(there) else whole_of(number, asked)
        if not role.finds_out:
            return alive, left, None
        if not values["count"].strip():
            return alive, left, None
        return whole_of(values["count"], "how many go on"), left, alive

    def told(values: Values) -> str:
        """What the numbers mean: the grower who stops at noon has lost nothing."""
        words = f"{there} {'went in' if held.going else 'are there'}"
        with suppress(Refused):
            count, left, alive = counts(values)
            found = count if alive is None else alive
            means = [f"{found} {role.found}"] if found != count else []
            means += [f"{count} {role.sent_on}"]
            means += [f"{left} still to do"] if left else []
            means += [f"{lost} lost"] if (lost := there - found - left) > 0 else []
            means += [f"{found - count} culled"] if found > count else []
            words += f": {', '.join(means)}" if (count, left) != (there, 0) else ""
        return words + (f"\n{', '.join(waits)} not recorded: skipped" if waits else "")

    def save(values: Values) -> None:
        on = day_of(values["on"], app.today)
        count, left, alive = counts(values)
        join, cause = yes_of(values.get("join", "yes"), "join"), values.get("cause", "")

        def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
            found = propagation.find_lot(nursery.records, lot)
            meant = propagation.Told(count, left, alive, cause, join)
            action = propagation.do(nursery.records, found, step, meant, on, app.today)
            more[:] = [propagation.said_of_rest(found, action)] if count + left > there else []
            return action

        more: list[str] = []
        write(screen, make)
        screen.said += "".join(f"; {told_of}" for told_of in more if told_of)
        if (lost := there - count - left) > 0:
            screen.said += f"; {lost} lost"

    return FormScreen(f"Done: {step} · {task.plant} · {lot}", fields, save, told)
