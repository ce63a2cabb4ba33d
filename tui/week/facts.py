"""The panel's text: the facts of the task under the cursor, most needed first."""

from __future__ import annotations

from rich.text import Text

from engine.farm.model import Farm
from engine.views.panel import Panel, panel
from engine.views.week import Week
from tui.week.rows import Row


def facts_of(row: Row | None, farm: Farm, week: Week, short: str = "") -> Text:
    """What to do, why now, the odds, cautions, what comes next; `short` says what its stock plants lack."""
    if row is None:
        return Text("Nothing here. Left and right go to other weeks; ? shows the keys.")
    if row.kind == "looks":
        lines = [f"{len(row.tasks)} looks · {row.text}", "enter opens them; n: looked at all, nothing found"]
        lines += [f"{t.plant} {t.lot}: {t.step.removeprefix('look: ')}, {t.often}" for t in row.tasks]
        return _text(lines[0], lines[1:])
    if not row.tasks:
        return Text(row.text)
    told = panel(farm, row.tasks[0], week.today)
    return _text(told.title, lines_of(told), told.cautions, (*told.warnings, *((short,) if short else ())))


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
