"""The lines of the board: places, tasks, and the looks of one place that share a line until it is opened."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from engine.protocols.names import matches, plain
from engine.reading.frozen import dataclass
from engine.schedule.states import State
from engine.views.task import Task
from engine.views.week import Week
from tui.cells import fit, in_words, listed
from tui.columns import Column, Part, across, laid, widest
from tui.paper.week_lines import ahead_line, count_line, left_cell
from tui.strips.window import CELLS, window_strip

if TYPE_CHECKING:
    from engine.needs.dispatch import Parcel

SENDS, LATE = "orders to the door", "overdue: "
"""The heading over parcels that must go soon, and what stands before one that was to have gone."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line. `key` stays the same while the task does, so that the cursor finds it again."""

    kind: str
    key: str
    text: str = ""
    tasks: tuple[Task, ...] = ()

    @property
    def task(self) -> Task | None:
        return self.tasks[0] if len(self.tasks) == 1 else None

    @property
    def pickable(self) -> bool:
        return self.kind != "place"

    @property
    def markable(self) -> bool:
        return self.kind in ("task", "looks")

    @property
    def state(self) -> str:
        return self.tasks[0].state if self.tasks else ""


def board_rows(
    week: Week, opened: frozenset[str], keep: Callable[[Task], bool], sends: Sequence[Parcel] = ()
) -> list[Row]:
    """The board's lines from the week: only tasks that `keep` wants, looks of a place folded unless it is opened.

    `sends` are the parcels that must go soon: they stand first.
    """
    rows: list[Row] = []
    if sends:
        from engine.needs.dispatch import say_sending

        rows.append(Row("place", SENDS, SENDS))
        for parcel in sends:
            late = LATE if parcel.send_by is not None and parcel.send_by < week.today else ""
            rows.append(Row("send", f"send {parcel.who}", f"{late}{say_sending(parcel)}"))
    for place, all_tasks in week.places():
        tasks = [t for t in all_tasks if keep(t)]
        if not tasks:
            continue
        rows.append(Row("place", f"place {place}", place, tuple(tasks)))
        looks = [t for t in tasks if _is_look(t)]
        folded = len(looks) > 1
        told = False
        for task in tasks:
            if folded and _is_look(task):
                if not told:
                    rows.append(Row("looks", f"looks {place}", place, tuple(looks)))
                    told = True
                    if place in opened:
                        rows += [Row("task", task_key(look), tasks=(look,)) for look in looks]
                continue
            rows.append(Row("task", task_key(task), tasks=(task,)))
    ahead = [t for t in week.ahead if keep(t)]
    if ahead:
        rows.append(Row("place", "ahead", "make ready for next week"))
        rows += [Row("ahead", f"ahead {task_key(t)}", ahead_line(t), (t,)) for t in ahead]
    if week.troubles:  # a lot that cannot be dated has no task, but it must not vanish
        rows.append(Row("place", "troubles", "does not fit"))
        rows += [Row("trouble", f"trouble {told}", told) for told in week.troubles]
    if week.lapses:
        rows.append(Row("place", "lapses", "cannot stay where it is any longer"))
        rows += [Row("trouble", f"trouble {told}", told) for told in week.lapses]
    return rows


def left_out_rows(week: Week, left_out: Mapping[str, str]) -> list[Row]:
    """What presses and does not fit into the time there is, a line each with the reason, by the task's key."""
    tasks = {key: task for task in week.tasks if (key := task_key(task)) in left_out and task.state is not State.DONE}
    rows = [Row("ahead", f"left out {key}", left_out[key], (task,)) for key, task in tasks.items()]
    return [Row("place", "left out", "urgent, but does not fit"), *rows] if rows else []


def _is_look(task: Task) -> bool:
    return task.kind == "look" and task.state is not State.DONE


def task_key(task: Task) -> str:
    return f"{task.kind} {task.lot} {task.step} {task.place}"


def wanted(task: Task, words: str) -> bool:
    """Whether a task is meant by what was typed: plant, Latin name, lot, step, method or place, in part."""
    species = task.plan.chain.protocol.species if task.plan else ""
    names = (task.plant, task.species, species, task.step, task.method, task.place)
    part = plain(words)  # a lot's label is short: one letter off, it is another lot
    return part in plain(task.lot) or matches(words, tuple(n for n in names if n))


def columns_of(rows: Iterable[Row], today: date) -> tuple[Column, ...]:
    """The columns of the board, as wide as what these lines put into them."""
    tasks = [row.tasks[0] for row in rows if row.kind == "task"]
    acts = [task for task in tasks if task.kind != "standing"]
    return (
        Column("state", widest((task.state for task in tasks), 7), coloured=True),
        Column("step", widest(map(_step, acts), 13), gives=3, least=8),
        Column("plant", widest((task.plant for task in acts), 12), gives=4, least=6),
        Column("lot", widest((task.lot for task in acts), 4)),
        Column("count", widest(map(_count, tasks), 3), right=True),
        Column("strip", CELLS, gives=1, least=7, most=24, coloured=True),
        Column("left", widest((_left(task, today) for task in tasks), 7), right=True),
    )


def shown_on(week: Week) -> date:
    """The day for which a week is drawn: today, or the first of another week."""
    return week.today if week.start <= week.today <= week.end else week.start


def row_parts(
    row: Row, week: Week, columns: Sequence[Column], wide: Mapping[str, int], width: int, opened: bool = False
) -> str | list[Part]:
    """One line, exactly `width` cells."""
    if row.kind == "place":
        told = count_line(row.tasks, week.end) if row.tasks else ""
        return fit(f" {row.text}", width - len(told) - 1) + told + " "
    if row.kind in ("ahead", "trouble", "send"):
        return in_words(f"   {row.text}", width)
    if row.kind == "looks":
        sign = "▾" if opened else "▸"
        due = sum(task.state is State.OPEN for task in row.tasks)
        counts = ((due, "due"), (len(row.tasks) - due, "coming"))  # together they are the looks at the head
        left = ", ".join(f"{count} {word}" for count, word in counts if count)
        head, tail = f" {sign} {len(row.tasks)} looks", f" {left} "
        indent = 3 + wide["state"] + wide["step"]
        names = dict.fromkeys(map(_with_finding, sorted(row.tasks, key=lambda task: not _finding(task))))
        room = width - (indent := max(indent, len(head) + 1)) - len(tail)
        return [(fit(head, indent), False), (fit(listed(list(names), room), room), False), (tail, True)]
    task, today = row.tasks[0], shown_on(week)
    cells = {
        "state": str(task.state), "step": _step(task), "plant": task.plant, "lot": task.lot, "count": _count(task),
        "strip": window_strip(task, today, wide["strip"]), "left": _left(task, today),
    }  # fmt: skip
    if task.kind == "standing":
        rest = across(columns, wide, "step", "lot")
        first = laid(columns[:1], wide, cells)[:-1]
        return [*first, (f" {fit(task.step, rest)}", False), *laid(columns[4:], wide, cells)]
    return laid(columns, wide, cells)


def _step(task: Task) -> str:
    look = task.step.removeprefix("look: ").removeprefix("stratify ")
    return f"look: {look}" if task.kind == "look" else task.step


def _count(task: Task) -> str:
    """Of how many: of standing work, the plants that it is for."""
    return str(task.count) if task.standing is None else str(task.standing.plants or "")


def _left(task: Task, today: date) -> str:
    return _finding(task) or left_cell(task, today)


def _finding(task: Task) -> str:
    """What the last look at a lot found, where it was not nothing."""
    last = task.plan.lot.last_look(task.step.removeprefix("look: ")) if task.plan and task.kind == "look" else None
    return last.finding if last is not None and last.finding != "nothing" else ""


def _with_finding(task: Task) -> str:
    found = _finding(task)
    return f"{task.plant} ({found})" if found else task.plant
