"""The panel of the cold store: what to do with the lot under the cursor, how far it is, what was seen, cautions."""

from __future__ import annotations

from datetime import date

from rich.text import Text

from engine.views.cold import ColdLot, Phase, early_radicles
from tui.cells import day, near_day
from tui.facts import part

LOOKS_SHOWN = 4


def facts_of(lot: ColdLot | None, today: date) -> Text:
    """The facts, most needed first; a caution stands where it is seen without scrolling."""
    if lot is None:
        return Text("No seed is under treatment, and none begins within 30 days. 1 goes to the week.")
    text = Text(f"{lot.plant} · {lot.lot.id} · {lot.lot.count} · {lot.place}", style="bold")
    for line in lot.advice:
        text.append(f"\n! {line}", style="bold not italic")
    part(text, "when", timing(lot, today))
    part(text, "care", (f"! {caution}" for caution in lot.cautions), "italic not bold")
    part(text, "looks", looks(lot, today))
    part(text, "note", (f"{day(when)}: {told}" for when, told in lot.lot.notes))
    return text


def timing(lot: ColdLot, today: date) -> list[str]:
    """How far it is, when it is ready, and by when what follows must be done."""
    found = ["; ".join(phase_words(phase, today) for phase in lot.phases)]
    ends = []
    if lot.ready is not None:
        latest = f", at the latest {near_day(lot.ready_latest, today)}" if lot.ready_latest else ""
        when = near_day(lot.ready, today)
        ends.append(f"ready since {when}" if lot.radicles else f"ready {when}{latest}")
    if lot.following and lot.sow_by is not None:
        opens = f" opens {near_day(lot.opens, today)}" if lot.opens else ""
        ends.append(f"{lot.following}{opens}{',' if opens else ''} by {near_day(lot.sow_by, today)}")
    return [*found, "; ".join(ends)] if ends else found


def looks(lot: ColdLot, today: date) -> list[str]:
    """The next look, what the last ones found, and what to do if radicles show."""
    found = []
    if lot.next_look is not None:
        when = "a look is due" if lot.next_look == today else f"next look {lot.next_look:%a} {day(lot.next_look)}"
        found.append(f"{when}: {lot.often}")
    step = lot.plan.step(lot.now.index).do
    seen = [f"{day(look.day)} {look.finding}" for look in reversed(lot.lot.looks) if look.step == step]
    if seen:
        found.append(", ".join(seen[:LOOKS_SHOWN]))
    elif lot.begun:
        found.append("not looked at yet")
    if early := early_radicles(lot, today):
        found.append(early)
    return found


def phase_words(phase: Phase, today: date) -> str:
    """`cold: day 52 of 90 to 120 days, since 30 Dec`."""
    if phase.start is None:
        return f"{phase.name}: {phase.lasts}"
    since = near_day(phase.start, today)
    best = f", best {phase.best}" if phase.best else ""
    if not phase.begun:
        return f"{phase.name}: {phase.lasts}{best}, from {since}"
    if phase.ended is not None and phase.ended <= today:
        return f"{phase.name}: {phase.gone} days, {since} to {day(phase.ended)}"
    now = f": {phase.stage}" if phase.stage else ""
    return f"{phase.name}: day {phase.gone} of {phase.lasts}{best}, since {since}{now}"
