"""What a grower must know of the task at hand: what to do, why now, the odds, the frost, cautions, what comes next."""

from __future__ import annotations

from datetime import date

from engine.almanac.almanac import say_day
from engine.almanac.frost import frost_chance
from engine.almanac.phrases import MarkBase
from engine.farm.model import Farm
from engine.odds.rates import Learned, batch_runs
from engine.protocols.model import UNPUBLISHED, Step
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass
from engine.reading.said import percent
from engine.reading.units import say_warmths
from engine.records.rates import Track, learned_for
from engine.schedule.plan import Plan
from engine.schedule.states import State
from engine.schedule.why_this_act import SLOW_C, why
from engine.views.task import Task

LOOK_ADVICE = {
    Role.STRATIFY_COLD: (
        "Radicles on a tenth of them: sow now. Too early: cool it to {cool}. Mould: rinse. Dry: re-wet."
    ),
    Role.STRATIFY_WARM: "Mould: rinse and pick over. Dry: re-wet. Radicles: go on to what comes next.",
}


@dataclass(frozen=True, slots=True)
class Panel:
    """The facts of one task, each a line or a few."""

    title: str
    note: str
    why: tuple[str, ...]
    odds: str
    frost: str
    before: str
    following: str
    cautions: tuple[str, ...]
    warnings: tuple[str, ...]
    notes: tuple[str, ...]


def panel(farm: Farm, task: Task, today: date, track: Track | None = None) -> Panel:
    """All that is known of a task on a day."""
    if task.plan is None:
        days = ", ".join(f"{d:%a} {say_day(d.toordinal())}" for d in task.days)
        often = _often(task, days) if task.state != State.DONE else "all done for this week"
        work = task.standing
        title = f"{task.step} · {task.place}" + (f" · {work.plants}" if work is not None and work.plants else "")
        of = ", ".join(work.of) if work is not None else ""
        return Panel(title, work.note if work is not None else "", (often,), "", "", of, "", (), (), ())
    plan, k = task.plan, task.index
    step = plan.step(k)
    species = farm.species_of(plan.batch.species)
    looking = task.kind == "look"
    learned = learned_for(track or Track(), plan.batch.protocol, plan.batch.cultivar, step)
    return Panel(
        title=f"{task.step} · {task.plant} · {task.lot} · {task.count}",
        note=_look_advice(step, farm.units) if looking else step.note,
        why=_why_look(task, today) if looking else _why(plan, k, task, today),
        odds="" if looking or task.state == State.DONE else odds(step, task.count, learned),
        frost=_frost(farm, step, today),
        before=_before(plan, k),
        following=_following(farm, plan, k),
        cautions=tuple(dict.fromkeys((*step.cautions, *farm.cautions_on(species)))),
        warnings=() if task.urged else _warnings(plan, task, today),
        notes=tuple(f"{say_day(day.toordinal())}: {text}" for day, text in plan.lot.notes),
    )


def _look_advice(step: Step, units: str) -> str:
    told = LOOK_ADVICE.get(step.role, f"Look for {step.look_for}." if step.look_for else "")
    return told.replace("{cool}", say_warmths(SLOW_C, units))


def _warnings(plan: Plan, task: Task, today: date) -> tuple[str, ...]:
    """What does not fit; of what is overdue the reason says already that it waited too long."""
    said = f"{task.step} cannot come within " if task.over(today) else ""
    return tuple(told for told in plan.problems if not said or not told.startswith(said))


def _why(plan: Plan, k: int, task: Task, today: date) -> tuple[str, ...]:
    """Both ends; and the aim, where the task may be done now but is better left until later."""
    told = why(plan, k, today)
    if task.waits_for_its_aim(today) and task.aim is not None:
        aims = {"late": "as late as possible", "middle": "in the middle of its window"}.get(plan.step(k).aim)
        reason = f": {aims}" if aims else ": to suit what follows"
        told = (f"better left until {say_day(task.aim.toordinal())}{reason}", *told)
    return told


def odds(step: Step, count: int, learned: Learned | None) -> str:
    """How many to expect through this step, how many in nine lots of ten, and what that rests on."""
    if learned is None or count <= 0:
        return ""
    low, high = batch_runs(learned.rate, count)
    rests = ", ".join(filter(None, (percent(learned.book), _standing_of(step.source.get("survive", "")))))
    if learned.batches or learned.kindred:
        many = learned.batches or learned.kindred
        whose = "of yours" if learned.batches else "of related plants"
        rests = f"from {many} batch{'' if many == 1 else 'es'} {whose}; library {percent(learned.book)}"
    return f"expect about {learned.rate.mean * count:.0f} of {count} (likely {low} to {high}): {rests}"


def _standing_of(source: str) -> str:
    """What a figure's source is worth, in a word or two; where it stands in print the species' page says."""
    return source if not source or source.startswith(UNPUBLISHED) else "published"


def _often(task: Task, days: str) -> str:
    """How often, and on which days of the week; what is done once says its last day alone."""
    return task.often if task.opens else f"{task.often}: {days}"


def _why_look(task: Task, today: date) -> tuple[str, ...]:
    assert task.plan is not None
    days = ", ".join(f"{d:%a} {say_day(d.toordinal())}" for d in task.days)
    plan, k = task.plan, task.index
    begun = plan.lot.done.get(plan.step(k).do)
    course = plan.courses.get(plan.step(k).do)
    lasts = course.lasts if course else plan.chain.lasts[k]  # radicles end it; what it was to last stays told
    gone = f"; day {(today - begun.day).days} of {lasts}" if begun else ""
    last = plan.lot.last_look(plan.step(k).do)
    found = f"last look {say_day(last.day.toordinal())}: {last.finding}" if last else "not looked at yet"
    return (f"{task.often}: {days}{gone}", found)


def _frost(farm: Farm, step: Step, today: date) -> str:
    if not any(isinstance(p.base, MarkBase) and p.base.name == "last frost" for p in step.phrases):
        return ""
    frost = farm.site.last_frost
    chance = frost_chance(frost, today) if frost else None
    return "" if chance is None else f"{percent(chance)} chance of more frost from today on"


def _before(plan: Plan, k: int) -> str:
    """What this act waited for, and when that was done."""
    parts = []
    for i in plan.chain.before[k]:
        do = plan.step(i).do
        done = plan.lot.done.get(do)
        aim = plan.now.aims[i]
        parts.append(
            f"{do} done {say_day(done.day.toordinal())}"
            if done
            else f"{do} comes first" + (f", {say_day(aim)}" if aim is not None else "")
        )
    return "; ".join(parts)


def _following(farm: Farm, plan: Plan, k: int) -> str:
    step, lasts = plan.step(k), plan.chain.lasts[k]
    parts = []
    if step.endures:
        heat = f" at {say_warmths(step.temperature_c, farm.units)}" if step.temperature_c else ""
        parts.append(f"it lasts {lasts}{heat}")
    for j in plan.chain.follows(k):
        if (aim := plan.now.aims[j]) is not None:
            place = farm.place_for(plan.step(j).place)
            parts.append(f"then {plan.step(j).do} {say_day(aim)}" + (f", {place}" if place else ""))
    return "; ".join(parts)
