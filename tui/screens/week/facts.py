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
from tui.facts import part
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
    text = _text(told.title, [], (*told.warnings, *besides))
    for head, lines, style in parts_of(told):
        part(text, head, lines, style)
    return text


def parts_of(told: Panel) -> list[tuple[str, list[str], str]]:
    """The facts in the order in which they are needed at the bench: each part's head, lines and style."""
    plain, care = "not bold not italic", "italic not bold"
    return [  # the first caution is seen without scrolling
        ("do", [told.note] if told.note else [], plain),
        ("when", [line for line in (*told.why, told.before) if line], plain),
        ("care", [f"! {caution}" for caution in told.cautions[:1]], care),
        ("odds", [line for line in (told.odds, told.frost) if line], plain),
        ("next", [each.removeprefix("then ") for each in told.following.split("; ")] if told.following else [], plain),
        ("care", [f"! {caution}" for caution in told.cautions[1:]], care),
        ("note", list(told.notes), plain),
    ]


def _text(title: str, lines: Iterable[str], warnings: Iterable[str] = ()) -> Text:
    text = Text(title, style="bold")
    for warning in warnings:
        text.append(f"\n! {warning}", style="bold not italic")
    for line in lines:
        text.append(f"\n{line}", style="not bold")
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
