"""The panel of the cold store: what to do with the lot under the cursor, how far it is, what was seen, cautions."""

from __future__ import annotations

from datetime import date

from rich.text import Text

from engine.views.cold import ColdLot, Phase, early_radicles
from tui.cells import day, near_day
from tui.facts import CARE, in_parts

LOOKS_SHOWN = 4
STAGES = {"enough": "long enough now", "best": "at its best now", "too long": "too long now"}
"""How far a phase is, in words."""


def facts_of(lot: ColdLot | None, today: date) -> Text:
    """The facts, most needed first; a caution stands where it is seen without scrolling."""
    if lot is None:
        return Text("No seed is under treatment, and none begins within 30 days. 1 goes to the week.")
    parts = {
        "do": looking(lot, today), "when": timing(lot, today), "next": following(lot, today), "seen": seen(lot),
        CARE: lot.cautions, "note": [f"{day(when)}: {told}" for when, told in lot.lot.notes],
    }  # fmt: skip
    return in_parts(f"{lot.plant} · {lot.lot.id} · {lot.lot.count} · {lot.place}", parts, lot.advice)


def looking(lot: ColdLot, today: date) -> list[str]:
    """The next look, and what to do if it finds radicles."""
    found = []
    if lot.next_look is not None:
        when = "look now, then" if lot.next_look == today else f"look {lot.next_look:%a} {day(lot.next_look)}, then"
        found.append(f"{when} {lot.often}")
    if early := early_radicles(lot, today):
        found.append(early)
    return found


def timing(lot: ColdLot, today: date) -> list[str]:
    """How far it is, and when it is ready."""
    found = [phase_words(phase, today) for phase in lot.phases]
    if lot.ready is not None:
        later = lot.ready_latest is not None and lot.ready_latest > lot.ready
        latest = f", at the latest {near_day(lot.ready_latest, today)}" if later and lot.ready_latest else ""
        when = near_day(lot.ready, today)
        found.append(f"ready since {when}" if lot.radicles else f"ready {when}{latest}")
    return found


def following(lot: ColdLot, today: date) -> list[str]:
    """What follows, and from when to when."""
    if not lot.following or lot.sow_by is None:
        return []
    if lot.opens == lot.sow_by:
        return [f"{lot.following} on {near_day(lot.sow_by, today)}"]
    opens = f" opens {near_day(lot.opens, today)}," if lot.opens else ""
    return [f"{lot.following}{opens} by {near_day(lot.sow_by, today)}"]


def seen(lot: ColdLot) -> list[str]:
    """What the last looks found."""
    step = lot.plan.step(lot.now.index).do
    found = [f"{day(look.day)} {look.finding}" for look in reversed(lot.lot.looks) if look.step == step]
    return [", ".join(found[:LOOKS_SHOWN])] if found else ["not looked at yet"] if lot.begun else []


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
    now = f"; {STAGES.get(phase.stage, phase.stage)}" if phase.stage else ""
    return f"{phase.name}: day {phase.gone} of {phase.lasts}{best}, since {since}{now}"
