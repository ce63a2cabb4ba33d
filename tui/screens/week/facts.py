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
from tui.facts import CARE, in_parts
from tui.screens.week.rows import Row


def facts_of(
    row: Row | None, farm: Farm, week: Week, besides: tuple[str, ...] = (), track: Track | None = None
) -> Text:
    """What to do, why now, the odds, cautions, what comes next; `besides` says what else must be seen at once."""
    if row is None:
        return Text("Nothing here. Left and right go to other weeks; ? shows the keys.")
    if row.kind == "looks":
        looks = [f"{t.plant} {t.lot}: {t.step.removeprefix('look: ')}, {t.often}" for t in row.tasks]
        keys = "Enter opens them; n records that all were looked at and nothing was found"
        return in_parts(f"{len(row.tasks)} looks · {row.text}", {"do": [keys], "for": looks})
    if not row.tasks:
        return Text(row.text)
    told = panel(farm, row.tasks[0], week.today, track)
    return in_parts(told.title, parts_of(told), (*told.warnings, *besides))


def parts_of(told: Panel) -> dict[str, list[str]]:
    """What is needed at the bench, part by part."""
    following = told.following.split("; ") if told.following else []
    return {
        "do": [told.note] if told.note else [],
        "when": [line for line in (*told.why, told.before) if line],
        "odds": [line for line in (told.odds, told.frost) if line],
        "next": [each.removeprefix("then ") for each in following],
        CARE: list(told.cautions), "note": list(told.notes),
    }  # fmt: skip


def found_elsewhere(farm: Farm, plans: Iterable[Plan], words: str) -> Text:
    """What was looked for has nothing to do this week: when it has, or that there is no such lot."""
    lines = []
    for plan in plans:
        names = (plan.lot.id, plant_name(farm, plan), plan.batch.species, plan.batch.method)
        if found_by(words, names):
            following = plan.next_act
            aim = None if following is None else plan.now.aims[following]
            when = (
                f"next {plan.step(following).do} {say_day(aim, True)}" if following is not None and aim else "all done"
            )
            lines.append(f"{plan.lot.id} {plant_name(farm, plan)}: {when}")
    if not lines:
        return Text(f'Nothing here is called "{words}". Esc shows all.')
    return in_parts("Nothing to do this week", {"next": lines})
