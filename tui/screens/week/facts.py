"""The panel's text: the facts of the task under the cursor, most needed first."""

from __future__ import annotations

from collections.abc import Iterable

from rich.text import Text

from engine.almanac.almanac import say_day
from engine.farm.model import Farm
from engine.protocols.names import matches as found_by
from engine.records.rates import Track
from engine.schedule.plan import Plan
from engine.views.panel import Panel, panel
from engine.views.week import Week, plant_name
from tui.screens.week.rows import Row


def facts_of(
    row: Row | None, farm: Farm, week: Week, besides: tuple[str, ...] = (), track: Track | None = None
) -> Text:
    """What to do, why now, the odds, cautions, what comes next; `besides` says what else must be seen at once."""
    if row is None:
        return Text("Nothing here. Left and right go to other weeks; ? shows the keys.")
    if row.kind == "looks":
        lines = [f"{len(row.tasks)} looks · {row.text}", "enter opens them; n: looked at all, nothing found"]
        lines += [f"{t.plant} {t.lot}: {t.step.removeprefix('look: ')}, {t.often}" for t in row.tasks]
        return _text(lines[0], lines[1:])
    if not row.tasks:
        return Text(row.text)
    told = panel(farm, row.tasks[0], week.today, track)
    return _text(told.title, lines_of(told), told.cautions, (*told.warnings, *besides))


def lines_of(told: Panel) -> list[str]:
    """The facts in the order in which they are needed at the bench."""
    lines = list(told.why[:3])
    if told.note:
        lines.append(told.note)
    lines += [line for line in (told.odds, told.frost, told.before, told.following) if line]
    lines += told.why[3:]
    lines += [f"note {line}" for line in told.notes]
    return lines


def _text(title: str, lines: list[str], cautions: tuple[str, ...] = (), warnings: tuple[str, ...] = ()) -> Text:
    text = Text(title, style="bold")
    for warning in warnings:
        text.append(f"\n! {warning}", style="bold not italic")
    for n, line in enumerate(lines):
        if n == 3 and cautions:  # at the bench a caution must not scroll out of sight
            text.append(f"\n! {cautions[0]}", style="italic not bold")
        text.append(f"\n{line}", style="not bold")
    for caution in cautions[1:] if len(lines) > 3 else cautions:
        text.append(f"\n! {caution}", style="italic not bold")
    return text


def found_elsewhere(farm: Farm, plans: Iterable[Plan], words: str) -> Text:
    """What was looked for has nothing to do this week: when it has, or that there is no such lot."""
    lines = []
    for plan in plans:
        names = (plan.lot.id, plant_name(farm, plan), plan.batch.species, plan.batch.method)
        if found_by(words, names):
            next_act = next((k for k in plan.chain.order if not plan.done(k)), None)
            aim = None if next_act is None else plan.now.aims[next_act]
            when = f"next {plan.step(next_act).do} {say_day(aim, True)}" if next_act is not None and aim else "all done"
            lines.append(f"{plan.lot.id} {plant_name(farm, plan)}: {when}")
    if not lines:
        return Text(f'Nothing here is called "{words}". Esc shows all.')
    return _text("Nothing to do this week", lines)
