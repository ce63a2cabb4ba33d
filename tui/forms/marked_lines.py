"""Several lines at once: done, a look, a wait, a note or a move for all that are marked; one undo takes all back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, Protocol

from engine.acts import place_work, propagation
from engine.acts.action import Action, Refused, say_refusal
from engine.acts.several_at_once import Make, in_turn
from engine.journal.entry import Entry
from engine.journal.store import JournalError
from engine.protocols.roles import Role
from engine.records.lots import Lot, tells_how_many
from engine.records.words import said
from engine.schedule.nursery import Nursery
from engine.schedule.plan import plan_lot
from engine.schedule.states import State
from engine.views.task import Task
from tui.cells import day
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_days import day_ahead, day_in_words, day_of
from tui.typed_numbers import rest_of, whole_of
from tui.writing import Recorder, write_all

if TYPE_CHECKING:
    from datetime import date

TITLES = 3
"""So many of the lots are named over a form; the rest is counted."""


class Marking(Recorder, Protocol):
    """A screen on which lines are marked."""

    def unmark(self) -> None:
        """No line is marked any longer."""


Makes = Iterable[tuple[str, Make]]


def record_several(screen: Marking, makes: Makes) -> None:
    """Record them in one append, all or none, and say so. Raises Refused or JournalError."""
    wanted = list(makes)
    entries = write_all(screen, lambda n, e: in_turn(n, e, wanted))
    screen.unmark()
    more = f", and {len(entries) - 1} more; one undo reverses them all" if len(entries) > 1 else ""
    screen.said = f"{said(entries[0])}{more}"


def attempt_several(screen: Marking, makes: Makes) -> None:
    """Record them, or say at the foot why they are refused."""
    try:
        record_several(screen, makes)
    except (Refused, JournalError) as refusal:
        screen.tell(say_refusal(refusal))
    else:
        screen.tell(screen.said)


def done_all(screen: Marking, tasks: Sequence[Task]) -> None:
    """What is marked, done: one page with a count for each lot, filled in where nothing else can be meant."""
    today = screen.app.today
    acts = [task for task in tasks if task.kind == "act" and task.state is not State.DONE]
    works = [task.standing for task in tasks if task.standing is not None]
    if _others(screen, tasks, len(acts) + len(works), "d is for tasks still to do"):
        return
    fields, counts = [], {}
    for n, task in enumerate(acts):
        assert task.plan is not None
        lot, role = task.plan.lot, task.plan.step(task.index).role
        counts[f"n{n}"] = "" if tells_how_many(lot, task.step) else str(lot.count)
        fields.append(Field(f"n{n}", f"{_what(task)}: {_asked(role)}", counts[f"n{n}"], not counts[f"n{n}"]))

    def standing(on: date) -> Makes:
        for work in works:
            yield work.place, lambda *_, do=work.do, place=work.place: place_work.worked(do, place, on, today)

    if not acts:
        attempt_several(screen, standing(today))
        return

    def save(values: Values) -> None:
        on = day_of(values["on"], today)
        makes: list[tuple[str, Make]] = []
        for n, task in enumerate(acts):
            assert task.plan is not None
            number, rest = rest_of(values[f"n{n}"])
            as_it_is = values[f"n{n}"] == counts[f"n{n}"] and bool(counts[f"n{n}"])
            count = None if as_it_is else whole_of(number, fields[n].label)
            left = max(0, task.plan.lot.count - count) if rest and count is not None else 0
            makes.append((task.plan.batch.id, _done(task.lot, task.step, count, left, on, today)))
        record_several(screen, [*makes, *standing(on)])

    fields.append(Field("on", "date (or yesterday)", today.isoformat(), day=True))
    screen.app.push_screen(FormScreen(f"Done: {_named(acts)}", fields, save, "40 r: 40 now, the rest later"))


def _done(lot: str, step: str, count: int | None, left: int, on: date, today: date) -> Make:
    def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
        found = propagation.find_lot(nursery.records, lot)
        return propagation.do(nursery.records, found, step, propagation.Told(count, left, join=False), on, today)

    return make


def look_all(screen: Marking, tasks: Sequence[Task], finding: str) -> None:
    """One finding for all looks that are marked."""
    today = screen.app.today
    looks = [(task.lot, task.step.removeprefix("look: ")) for task in tasks if task.kind == "look"]
    if not _others(screen, tasks, len(looks), "n, r, m and y are for looks"):
        look_lots(screen, looks, finding, today)


def look_lots(screen: Marking, looks: Iterable[tuple[str, str]], finding: str, today: date) -> None:
    """One finding for these lots, each in a step that lasts."""
    attempt_several(screen, [(lot, _of_lot(lot, _look(step, finding, today))) for lot, step in looks])


def _look(step: str, finding: str, today: date) -> Callable[[Lot, Nursery], Action]:
    return lambda lot, _: propagation.look(lot, step, finding, today, today)


def later_all(screen: Marking, tasks: Sequence[Task]) -> None:
    """One later day for all that is marked."""
    today = screen.app.today
    acts = [task for task in tasks if task.kind == "act" and task.state is not State.DONE]
    if _others(screen, tasks, len(acts), "l is for tasks still to do"):
        return
    ends = [task.latest for task in acts if task.latest is not None and not task.over(today)]
    to = min((today + timedelta(7), *(end for end in ends if end > today)))

    def put_off(step: str, day: date) -> Callable[[Lot, Nursery], Action]:
        return lambda lot, nursery: propagation.later(plan_lot(nursery, lot, today), step, day, today)

    def save(values: Values) -> None:
        day = day_ahead(values["to"], today)
        record_several(screen, [(t.lot, _of_lot(t.lot, put_off(t.step, day))) for t in acts])

    fields = [Field("to", "not before (9 Mar, or 9: the next 9th)", to.isoformat(), day=True)]
    until = f"the first of them closes {min(ends).isoformat()}" if ends else ""
    screen.app.push_screen(FormScreen(f"Later: {_named(acts)}", fields, save, until_told(screen, until)))


def until_told(screen: Recorder, until: str) -> Callable[[Values], str]:
    """What stands over a later day: the day that is typed, in words, and until when it may be."""
    today, units = screen.app.today, screen.app.house.farm.units

    def told(values: Values) -> str:
        try:
            when = day_ahead(day_in_words(values["to"], units), today)
        except Refused as refusal:
            return "; ".join(filter(None, (str(refusal), until)))
        return "; ".join(filter(None, (f"not before {when:%a} {day(when, True)}", until)))

    return told


def hold_all(screen: Marking, tasks: Sequence[Task], usual: str) -> None:
    """One reason for which all that is marked waits."""
    today = screen.app.today
    acts = [task for task in tasks if task.kind == "act" and task.state is not State.DONE]
    if _others(screen, tasks, len(acts), "h is for tasks still to do"):
        return

    def held(step: str, reason: str) -> Callable[[Lot, Nursery], Action]:
        return lambda lot, _: propagation.hold(lot, step, reason, today)

    def save(values: Values) -> None:
        record_several(screen, [(t.lot, _of_lot(t.lot, held(t.step, values["reason"]))) for t in acts])

    screen.app.push_screen(FormScreen(f"Hold: {_named(acts)}", [Field("reason", "what they wait for", usual)], save))


def note_all(screen: Marking, lots: Iterable[str]) -> None:
    """One note on each of these lots."""
    today, names = screen.app.today, [name for name in dict.fromkeys(lots) if name]
    if not names:
        screen.tell("a note is for a lot: mark one")
        return

    def noted(text: str) -> Callable[[Lot, Nursery], Action]:
        return lambda lot, _: propagation.note(lot, text, today)

    def save(values: Values) -> None:
        record_several(screen, [(name, _of_lot(name, noted(values["text"]))) for name in names])

    screen.app.push_screen(FormScreen(f"Note on {_some(names)}", [Field("text", "note")], save))


def _of_lot(name: str, do: Callable[[Lot, Nursery], Action]) -> Make:
    return lambda nursery, _: do(propagation.find_lot(nursery.records, name), nursery)


def _others(screen: Marking, tasks: Sequence[Task], meant: int, told: str) -> bool:
    """Whether something else is marked too, or nothing that is meant; says so."""
    if meant == len(tasks):
        return False
    screen.tell(
        f"{told}: {len(tasks) - meant} of the {len(tasks)} marked {'is' if meant + 1 == len(tasks) else 'are'} not"
    )
    return True


def _asked(role: Role) -> str:
    return role.found if role.finds_out else "went in" if role.sets_going else "how many"


def _what(task: Task) -> str:
    return f"{task.lot} {task.step}, {task.plant}"


def _named(tasks: Sequence[Task]) -> str:
    return _some([f"{task.lot} {task.step}" for task in tasks])


def _some(names: Sequence[str]) -> str:
    more = f" and {len(names) - TITLES} more" if len(names) > TITLES else ""
    return f"{', '.join(names[:TITLES])}{more}"
