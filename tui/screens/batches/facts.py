"""What a grower must know of the lot under the cursor, and its whole life on a page."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import TYPE_CHECKING

from rich.text import Text

from engine.farm.material import said_material
from engine.farm.model import Farm
from engine.schedule.why_this_act import why
from engine.views.batches import BatchLine, Life
from tui.cells import date_cell, day, near_day
from tui.facts import CARE, in_parts
from tui.paper.trace import ledger_lines
from tui.screen import WAITS

if TYPE_CHECKING:
    from engine.schedule.plan import Day
    from tui.screen import FarmScreen

NOTES_SHOWN = 3
PAGE = 72
"""Columns of the page of a lot's life: a bar and a frame stand beside it at 80."""


def facts_of(line: BatchLine | None, farm: Farm, today: date) -> Text:
    """What is amiss, what comes next and why, what was done and is to come, notes."""
    if line is None:
        return Text("No lot matches. b begins a new batch; Esc shows all lots.")
    lot, plan = line.lot, line.plan
    parts = _ahead(line, farm, today)
    made_of = said_material(lot.batch)
    done = [
        f"{do} {near_day(act.day, today)} ({act.count})"
        for do, act in sorted(lot.done.items(), key=lambda item: item[1].day)
    ]
    over = [f"dropped on {day(lot.given_up, True)}"] if lot.given_up is not None else []
    parts |= {
        "for": [lot.batch.note] if lot.batch.note else [],  # such as for which need it was planned
        "from": [made_of.removeprefix("from ")] if made_of else [],
        "done": [*([", ".join(done)] if done else []), *over],
        CARE: farm.cautions_on(farm.species_of(lot.batch.species))[:1],
        "note": [f"{day(when)}: {note}" for when, note in lot.notes[-NOTES_SHOWN:]],
    }
    problems = plan.problems if plan is not None and not line.over else ()
    return in_parts(f"{line.plant} · {lot.id} · {lot.count} · {line.title}", parts, problems)


def _ahead(line: BatchLine, farm: Farm, today: date) -> dict[str, Sequence[str]]:
    """The step that is next, when and why then, and the steps after it."""
    plan = line.plan
    if plan is None or line.following is None or line.day is None:
        return {}
    step = plan.step(line.following)
    where = farm.where(line.lot.batch, step)
    ahead = [(aim, k) for k in plan.undone if (aim := plan.now.aims[k]) is not None]
    later = [
        f"{plan.step(k).do} {near_day(date.fromordinal(aim), today)}"
        for aim, k in sorted(ahead, key=lambda each: each[0])
        if k != line.following
    ]
    ready = [f"ready {day(line.ready, True)}"] if line.ready else []
    return {
        "do": [f"{step.do}{f', {where}' if where else ''}"],
        "when": [f"{line.state}; aim {day(line.day, True)}", *why(plan, line.following, today)[:2]],
        "next": [", ".join((*later, *ready))] if later or ready else [],
    }


def show_life(screen: FarmScreen, line: BatchLine) -> None:
    """Open the page of a lot's whole life."""
    from engine.views.batches import life
    from tui.forms.page import LotPage

    house, today = screen.app.house, screen.app.today
    page = LotPage(Text(f"{line.plant} · {line.lot.id}: {WAITS}"), screen.action_mend)

    def make(day: Day) -> Text:
        return life_text(life(day.nursery, line, house.standing, today), house.farm, today)

    screen.app.push_screen(page)
    screen.work(("life", line.lot.id), make, page.show, whole=True)


def life_text(found: Life, farm: Farm, today: date) -> Text:
    """The page: acts with the days planned and actual and the counts in and out, looks, notes, movements."""
    line, lot = found.line, found.line.lot
    batch = lot.batch
    asked = [f"from {day(batch.start, True)}"] if batch.start else []
    asked += [f"ready by {day(batch.ready, True)}"] if batch.ready else []
    text = Text(f"{line.plant} · {lot.id} · {lot.count} · {line.state}", style="bold")
    ready = f"; ready {day(line.ready, True)}" if line.ready and not line.over else ""
    _add(text, f"{batch.species}, {line.title}; {batch.count} {', '.join(asked)}{ready}")
    if made_of := said_material(batch):
        _add(text, made_of)
    if batch.note:
        _add(text, batch.note)
    for problem in line.plan.problems if line.plan is not None and not line.over else ():
        _add(text, f"! {problem}")
    text.append(f"\n\n{'step':<13} {'place':<13} {'planned':>9} {'date':>9} {'in':>5} {'out':>5}  state", style="bold")
    for step in found.steps:
        went_in = "" if step.went_in is None else str(step.went_in)
        out = "" if step.came_out is None else str(step.came_out)
        text.append(
            f"\n{step.step[:13]:<13} {step.place[:13]:<13} {_cell(step.planned):>9} {_cell(step.done or step.aim):>9}"
            f" {went_in:>5} {out:>5}  {step.state}",
            style="not bold",
        )
    plan = line.plan
    if plan is not None and line.following is not None:
        _head(text, f"WHY {line.step}, and why then")
        for told in why(plan, line.following, today):
            _add(text, told)
    for title, told_of in (
        ("LOOKS", [f"{day(look.day, True)}: {look.step}, {look.finding}" for look in found.looks]),
        ("NOTES", [f"{day(when, True)}: {note}" for when, note in found.notes]),
    ):
        if told_of:
            _head(text, title)
            for told in told_of:
                _add(text, told)
    if found.moves:
        _head(text, "STOCK")
        for told in ledger_lines(found.moves, PAGE):
            text.append(f"\n{told}", style="not bold")
    if batch.protocol.note:
        _head(text, "ABOUT THIS WAY")
        _add(text, batch.protocol.note)
    for caution in farm.cautions_on(farm.species_of(batch.species)):
        _add(text, f"! {caution}")
    return text


def _head(text: Text, title: str) -> None:
    text.append(f"\n\n{title}", style="bold")


def _add(text: Text, told: str) -> None:
    for line in wrap(told, PAGE, subsequent_indent="  ") or [""]:
        text.append(f"\n{line}", style="not bold")


def _cell(when: date | None) -> str:
    return date_cell(when) if when else ""
