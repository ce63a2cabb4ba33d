"""What the keys of the week record: each asks what it must, writes one entry, and shows what it changes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

from engine.acts import place_work, propagation
from engine.acts.instead import take_instead
from engine.schedule.plan import plan_lot
from engine.schedule.states import State
from engine.views.instead import ways_instead
from tui.forms.choice import ChoiceScreen
from tui.forms.count import ask_count
from tui.forms.done import done_form
from tui.forms.form import Field, FormScreen
from tui.forms.marked_lines import done_all, hold_all, later_all, note_all, until_told
from tui.forms.pot_run import ask_pot_run
from tui.forms.refused_field import Values
from tui.forms.saw import ask_saw
from tui.typed_days import day_ahead
from tui.writing import Recorder, attempt, attempt_all, write

if TYPE_CHECKING:
    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery
    from engine.views.task import Task
    from tui.screens.week.rows import Row


class TaskPicker(Recorder, Protocol):
    """A screen with a cursor on the tasks."""

    def unmark(self) -> None:
        """No line is marked any longer."""

    @property
    def picked(self) -> Row | None:
        """The line under the cursor."""

    def under_cursor(self) -> Task | None:
        """The one task under the cursor; says so where there is none."""

    def act_under_cursor(self, what: str) -> Task | None:
        """The task under the cursor, where it is one for which the key `what` is; says for which where not."""


def done(screen: TaskPicker) -> None:
    task = screen.under_cursor()
    if task is None:
        return
    today = screen.app.today
    if task.standing is not None:
        work = task.standing
        attempt(screen, lambda *_: place_work.worked(work.do, work.place, today, today))
        return
    if task.kind == "look":
        screen.tell("a look: n nothing  r radicles  m mould  y dry")
        return
    if task.state is State.DONE:
        screen.tell(f"{task.step} of {task.lot} is done already; u undoes the latest entry")
        return
    screen.app.push_screen(done_form(screen, task))


def look(screen: TaskPicker, finding: str) -> None:
    """What a look at the lot under the cursor found; nothing may be recorded of several at once."""
    row = screen.picked
    if row is None or row.kind not in ("looks", "task") or row.tasks[0].kind != "look":
        screen.tell("n, r, m and y record a look: go to one first")
        return
    if row.kind == "looks" and finding != "nothing":
        screen.tell("enter opens the looks: say of which lot")
        return
    today = screen.app.today
    looked = [task for task in row.tasks if task.state is State.OPEN] or row.tasks

    def make(nursery: Nursery, _: Sequence[Entry]) -> list[Action]:
        found = ((propagation.find_lot(nursery.records, t.lot), t.step.removeprefix("look: ")) for t in looked)
        return [propagation.look(lot, step, finding, today, today) for lot, step in found]

    if attempt_all(screen, make) and len(looked) > 1:
        screen.tell(f"nothing in any of the {len(looked)}: {row.text}")


def count(screen: TaskPicker) -> None:
    """How many of a lot are alive, on any day."""
    task = screen.under_cursor()
    if task is not None and task.lot:
        ask_count(screen, task.lot, task.plant)


def pot_run(screen: TaskPicker) -> None:
    """Seed that has thrown radicles before the bed is open is potted, the rest goes on."""
    task = screen.under_cursor()
    if task is not None and task.lot:
        ask_pot_run(screen, task.lot, task.plant)


def hold(screen: TaskPicker) -> None:
    task = screen.act_under_cursor("hold")
    if task is None:
        return
    today, lot, step = screen.app.today, task.lot, task.step
    assert task.plan is not None
    if step in task.plan.lot.held:
        attempt(screen, lambda n, _: propagation.release(propagation.find_lot(n.records, lot), step, today))
        return

    def save(values: Values) -> None:
        write(
            screen, lambda n, _: propagation.hold(propagation.find_lot(n.records, lot), step, values["reason"], today)
        )

    reason = Field("reason", "what it waits for", _usual_reason(screen, task))
    screen.app.push_screen(FormScreen(f"Hold: {step} · {task.plant} · {lot}", [reason], save))


def _usual_reason(screen: TaskPicker, task: Task) -> str:
    """What the latest task that was held waits for; where none was, the weather, outdoors."""
    held = (str(e.data.get("reason", "")) for e in reversed(screen.app.house.entries) if e.kind == "hold")
    return next(held, "" if task.under_cover else "better weather")


def later(screen: TaskPicker) -> None:
    task = screen.act_under_cursor("later")
    if task is None:
        return
    today, lot, step = screen.app.today, task.lot, task.step
    over, to = task.over(today), task.put_off_to(today)

    def save(values: Values) -> None:
        day = day_ahead(values["to"], today)
        write(
            screen,
            lambda n, _: propagation.later(plan_lot(n, propagation.find_lot(n.records, lot), today), step, day, today),
        )

    until = f"its last day {'was' if over else 'is'} {task.latest.isoformat()}" if task.latest else "no closing date"
    fields = [Field("to", "not before (9 Mar, or 9: the next 9th)", to.isoformat(), day=True)]
    screen.app.push_screen(FormScreen(f"Later: {step} · {task.plant} · {lot}", fields, save, until_told(screen, until)))


def accept(screen: TaskPicker) -> None:
    task = screen.act_under_cursor("accept")
    if task is not None:
        today, lot = screen.app.today, task.lot
        attempt(
            screen, lambda n, _: propagation.accept(plan_lot(n, propagation.find_lot(n.records, lot), today), today)
        )


def instead(screen: TaskPicker) -> None:
    """Another way for a lot that missed its window, of those still open, with what is at hand."""
    task = screen.act_under_cursor("instead")
    if task is None or task.plan is None:
        return
    app, today, lot = screen.app, screen.app.today, task.lot
    found = ways_instead(app.house.nursery, task.plan, today, app.track())
    if not found:
        screen.tell("no other way is open before its next window: a accepts that")
        return

    def chosen(choice: str | None) -> None:
        way = next((way for way in found if way.title == choice), None)
        if way is not None:
            attempt_all(screen, lambda n, e: take_instead(n, e, lot, way.protocol, way.at_hand, today))

    options = [("keep", "leave it as it is"), *((way.title, way.says(today)) for way in found)]
    told = f"{lot} ends, and goes on as a new batch; u undoes it"
    screen.app.push_screen(ChoiceScreen(f"Instead: {task.step} · {task.plant} · {lot}", options, told), chosen)


def drop(screen: TaskPicker) -> None:
    task = screen.act_under_cursor("drop")
    if task is None:
        return
    today, lot, step = screen.app.today, task.lot, task.step

    def chosen(choice: str | None) -> None:
        if choice in ("step", "lot"):
            name = step if choice == "step" else ""
            attempt(screen, lambda n, _: propagation.drop(propagation.find_lot(n.records, lot), name, "", today))

    options = [
        ("keep", "keep it"),
        ("step", f"drop {step}: the rest of {lot} goes on without it"),
        ("lot", f"drop the whole lot {lot}: {task.count} {task.plant}"),
    ]
    screen.app.push_screen(ChoiceScreen(f"Drop: {step} · {task.plant} · {lot}", options, "u undoes it"), chosen)


def note(screen: TaskPicker) -> None:
    task = screen.under_cursor()
    if task is None or not task.lot:
        return
    today, lot = screen.app.today, task.lot

    def save(values: Values) -> None:
        write(screen, lambda n, _: propagation.note(propagation.find_lot(n.records, lot), values["text"], today))

    screen.app.push_screen(FormScreen(f"Note on {lot} · {task.plant}", [Field("text", "note")], save))


def saw(screen: TaskPicker) -> None:
    ask_saw(screen)


def _hold_all(screen: TaskPicker, tasks: Sequence[Task]) -> None:
    hold_all(screen, tasks, _usual_reason(screen, tasks[0]))


def _note_all(screen: TaskPicker, tasks: Sequence[Task]) -> None:
    note_all(screen, (task.lot for task in tasks))


RECORD_ALL: dict[str, Callable[[TaskPicker, Sequence[Task]], None]] = {
    "done": done_all,
    "hold": _hold_all,
    "later": later_all,
    "note": _note_all,
}
"""What is done to all lines that are marked."""
RECORD: dict[str, Callable[[TaskPicker], None]] = {
    "done": done,
    "count": count,
    "pot_run": pot_run,
    "hold": hold,
    "later": later,
    "accept": accept,
    "instead": instead,
    "drop": drop,
    "note": note,
    "saw": saw,
}
