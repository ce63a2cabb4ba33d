"""What a grower may record: each action is checked against the plan and gives the data of one entry, or is refused."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from engine.acts.action import Action, Refused, not_to_come
from engine.almanac.almanac import say_day
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass
from engine.reading.limits import MOST_IN_BATCH
from engine.reading.problems import nearest
from engine.records.lots import overtaken, tells_how_many
from engine.records.records import FINDINGS, Lot, Records, part_id
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan, plan_lot

JOIN_WITHIN = 7
"""Days within which the rest of a part-done act may be joined with the part."""


def find_lot(records: Records, lot_id: str) -> Lot:
    """The lot of that name. Raises Refused with the nearest good spelling."""
    lot = records.lot(lot_id)
    if lot is None:
        raise Refused(f'no batch is called "{lot_id}"', nearest(lot_id, [x.id for x in records.lots]))
    return lot


def find_step(lot: Lot, step: str) -> str:
    """The step of that name, case aside. Raises Refused with the nearest good spelling."""
    names = [s.do for s in lot.batch.protocol.steps]
    for name in names:
        if name.lower() == step.lower():
            return name
    raise Refused(f'{lot.id} has no step "{step}"', nearest(step, names))


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of an act that was done: how many went in, or go on from it, and how many are left to be done."""

    count: int | None = None
    """None: all that is there, but where the act tells how many are alive: then they are not counted yet; of an act
    told after one that follows it, as many as went into that."""
    left: int = 0
    there: int | None = None
    """How many were found alive, for an act that finds out, where it is told apart from what goes on."""
    cause: str = ""
    """Why some were thrown out."""
    join: bool = True
    """Whether a part of which this is the rest is joined with it."""


def do(records: Records, lot: Lot, step: str, told: Told, on: date, today: date) -> Action:
    """An act done.

    Raises Refused for a second time, for a day to come or before the act that it follows, and for impossible counts;
    and for a cause where none is lost.
    """
    step = find_step(lot, step)
    not_to_come(on, today)
    count, left, there, cause = told.count, told.left, told.there, told.cause.strip()
    if step in lot.done:
        before = lot.done[step]
        raise Refused(
            f"{step} of {lot.id} was already done on {before.day}, {before.count} went on from it",
            "undo that entry first, if it is wrong",
        )
    if step in lot.dropped or lot.given_up is not None:
        raise Refused(f"{step} of {lot.id} was dropped", "undo that entry first")
    uncounted = count is None and tells_how_many(lot, step) and not overtaken(lot, step)
    if count is None:
        count = _went_in_after(lot, step) if overtaken(lot, step) else lot.count - left
    protocol = lot.batch.protocol
    for later_step in lot.done if left else ():
        if step in protocol.before(later_step):
            raise Refused(f"{later_step} of {lot.id} is done: nothing of {step} can be left")
    _counts_fit(lot, step, count, left, there)
    if cause and not (uncounted or overtaken(lot, step)) and count + left >= lot.count:
        raise Refused(f'none were lost, so "{cause}" explains nothing', "leave it out, or count again")
    day_fits(lot, step, on)
    data: dict[str, Any] = {"batch": lot.id, "step": step} | ({} if uncounted else {"count": count})
    if there is not None:
        data["there"] = there
    if cause:
        data["cause"] = cause
    if protocol.role(step) is Role.ARRIVE and count != lot.count - left:
        data["ordered"] = lot.count - left  # the batch goes on with what came, and the entry says so
    if left:
        data |= {"left": left, "part": part_id(lot.id, (*records.stock.names, *(x.id for x in records.lots)))}
    elif told.join and (parts := parts_to_join(records, lot, step, on)):
        data["join"] = [part.id for part in parts]
    return Action("done", on, data)


def day_fits(lot: Lot, step: str, on: date) -> None:
    """Raises Refused where a step on that day lies before what it follows, or after what follows it."""
    protocol = lot.batch.protocol
    for after in protocol.after(protocol.index(step)):
        before = lot.done.get(after.do)
        if before is not None and on < before.day:
            raise Refused(f"{step} on {on} is before {after.do}, done {before.day}", "give a later date")
    for later_step, later_act in lot.done.items():
        if on > later_act.day and step in protocol.before(later_step):
            raise Refused(f"{step} on {on} is after {later_step}, done {later_act.day}", "give an earlier date")


def pot_run(records: Records, lot: Lot, count: int, place: str, on: date, today: date) -> Action:
    """Of seed under treatment so many that have thrown radicles potted, before the bed is open: a lot of its own.

    The rest goes on as if none had run. Raises Refused where none was seen to run or no sowing follows, and as `do`.
    """
    if count < 1:
        raise Refused("say how many have sprouted: 1 or more")
    step = sown_next(lot)
    if not step:
        raise Refused(f"no radicles were seen in {lot.id}, or nothing is sown or potted after", "record the look first")
    action = do(records, lot, step, Told(count, max(0, lot.count - count), join=False), on, today)
    return Action("done", on, {**action.data, "run": True} | ({"place": place} if place else {}))


def sown_next(lot: Lot) -> str:
    """The step by which seed with radicles is sown or potted; nothing where none has run, or none follows."""
    protocol = lot.batch.protocol
    run = {s.do for s in protocol.steps if s.do in lot.done and lot.radicles(s.do) is not None}
    for step in protocol.steps:
        sown = step.role in (Role.SOW, Role.POT_UP) and step.do not in (*lot.done, *lot.dropped)
        if sown and run & set(protocol.before(step.do)):
            return step.do
    return ""


def said_of_rest(lot: Lot, action: Action) -> str:
    """What becomes of those that an act leaves out: `38 went in, 62 not: lost`; or by how many it has more than meant.

    Nothing where it leaves none out, and where more always come of an act than went in.
    """
    data, step = action.data, action.data["step"]
    if "count" not in data:
        return f"{lot.id} is not counted yet: say how many are alive when you have counted them"
    role, there = lot.batch.protocol.role(step), lot.count - data.get("left", 0)
    found = data.get("there", data["count"])
    if found > there and role is not Role.ARRIVE and not lot.batch.protocol.multiplies:
        return f"{found - there} more than the {there} planned: {lot.id} goes on with {found}"
    if role is Role.ARRIVE or found > there:
        return ""
    told = []
    if found < there:
        told.append(f"{found} {'went in' if role.sets_going else 'are left'}, {there - found} not: lost")
    if data["count"] < found:
        told.append(f"{data['count']} go on, {found - data['count']} culled")
    return "; ".join(told)


def _counts_fit(lot: Lot, step: str, count: int, left: int, there: int | None) -> None:
    """Raises Refused for counts that an act of a lot cannot have."""
    found = count if there is None else there
    if min(count, left, found) < 0:
        raise Refused("a count must be 0 or more")
    if count > found:  # of those found, whatever more was made of what went in
        raise Refused(f"{count} cannot go on when {found} are there", "lower how many go on too, or count again")
    if overtaken(lot, step):
        _told_afterwards_fits(lot, step, found, count)
        return
    if max(count, found) > MOST_IN_BATCH:
        told = f"{max(count, found):,} is more than one batch can hold"
        raise Refused(told, f"give a number up to {MOST_IN_BATCH:,}")
    if there is not None and not lot.batch.protocol.role(step).finds_out:
        raise Refused(f"{step} does not count what is there", "say how many went in")
    if found + left > lot.count and lot.done and not _multiplies(lot, step):
        hint = "found more? record a count of the stock first"
        raise Refused(f"{lot.id} has {lot.count}: {found + left} cannot have come through {step}", hint)
    if left >= lot.count:
        raise Refused(f"{lot.id} has {lot.count}: {left} cannot be left when some were done", "give a smaller number")


def _went_in_after(lot: Lot, step: str) -> int:
    """How many went into the acts that follow a step and are recorded: the most."""
    return max(act.into for do, act in lot.done.items() if step in lot.batch.protocol.before(do))


def _told_afterwards_fits(lot: Lot, step: str, found: int, count: int) -> None:
    """Raises Refused for counts of an act, told after one that follows it, which the counts about it do not allow.

    No more can have gone into it than went on from what came before, and no fewer than were found after; where one
    plant gives several in between, any count may be.
    """
    protocol = lot.batch.protocol
    anew = {each.do for each in protocol.steps if protocol.multiplies or protocol.role(each.do).counts_anew}
    for do, act in sorted(lot.done.items(), key=lambda each: each[1].day):
        told = f"{do}, done {act.day}"
        if do in protocol.before(step):
            between = {step, *(protocol.before(step) - protocol.before(do) - {do})}
            if found > act.count and not anew & between:
                why = f"{found} cannot have been there for {step} of {lot.id}: {act.count} went on from {told}"
                raise Refused(why, f"give {act.count} or fewer, or correct that entry first")
        elif step in protocol.before(do):
            alive = act.count if act.there is None else act.there
            between = {do, *(protocol.before(do) - protocol.before(step) - {step})}
            if count < alive and not anew & between:
                why = f"{count} cannot have gone on from {step} of {lot.id}: {alive} were there at {told}"
                raise Refused(why, f"give {alive} or more, or correct that entry first")


def _multiplies(lot: Lot, step: str) -> bool:
    """Whether more may come of an act than went in: where one plant gives several, and where it is counted anew."""
    protocol = lot.batch.protocol
    return protocol.multiplies or protocol.role(step).counts_anew


def parts_to_join(records: Records, lot: Lot, step: str, on: date) -> list[Lot]:
    """Parts of the same batch that stand just past this step, done within a week of `on`: they may be joined."""
    return [
        other
        for other in records.lots
        if other.id != lot.id
        and other.batch.id == lot.batch.id
        and set(other.done) == {*lot.done, step}
        and abs((other.done[step].day - on).days) <= JOIN_WITHIN
    ]


def look(lot: Lot, step: str, finding: str, on: date, today: date) -> Action:
    """A look at what lasts. Raises Refused where the step has not begun, or the finding is none of FINDINGS."""
    step = find_step(lot, step)
    not_to_come(on, today)
    if finding not in FINDINGS:
        raise Refused(f'a look finds {", ".join(FINDINGS)}, not "{finding}"', nearest(finding, FINDINGS))
    if step not in lot.done:
        raise Refused(f"{step} of {lot.id} has not begun", f"record it first: {step} done")
    if on < lot.done[step].day:
        raise Refused(f"a look on {on} is before {step} began, {lot.done[step].day}")
    return Action("look", on, {"batch": lot.id, "step": step, "finding": finding})


def hold(lot: Lot, step: str, reason: str, on: date) -> Action:
    """The grower's own wait, with a reason. Raises Refused for a step that is done, or without a reason."""
    step = find_step(lot, step)
    if step in lot.done:
        raise Refused(f"{step} of {lot.id} is done")
    if not reason.strip():
        raise Refused("a hold needs a reason", "say what it waits for")
    return Action("hold", on, {"batch": lot.id, "step": step, "reason": reason.strip()})


def release(lot: Lot, step: str, on: date) -> Action:
    """The end of the grower's own wait. Raises Refused where the step is not held."""
    step = find_step(lot, step)
    if step not in lot.held:
        raise Refused(f"{step} of {lot.id} is not held")
    return Action("release", on, {"batch": lot.id, "step": step})


def later(plan: Plan, step: str, to: date, today: date) -> Action:
    """Not now: a later day within the window. Raises Refused beyond it, with the reason."""
    step = find_step(plan.lot, step)
    if step in plan.lot.done:
        raise Refused(f"{step} of {plan.lot.id} is done")
    k = plan.index(step)
    if k is None:
        raise Refused(f"{step} of {plan.lot.id} was dropped")
    if to <= today:
        raise Refused(f"{to} is not later than today")
    last = plan.now.latest[k]
    if last is not None and to.toordinal() > last:
        from engine.schedule.why_this_act import why

        reason = why(plan, k, today)[-1]
        wanted = say_day(to.toordinal())
        raise Refused(f"{step} cannot wait until {wanted}: {reason}", f"the last day is {say_day(last)}")
    return Action("later", today, {"batch": plan.lot.id, "step": step, "to": to.isoformat()})


def put_off(nursery: Nursery, acts: Iterable[tuple[str, str, date]], today: date) -> list[Action]:
    """Several acts put off at once: each a lot, its step, and the day. Raises Refused as `later` does."""
    plans: dict[str, Plan] = {}
    actions = []
    for name, step, to in acts:
        plan = plans.get(name) or plan_lot(nursery, find_lot(nursery.records, name), today)
        plans[name] = plan
        actions.append(later(plan, step, to, today))
    return actions


def passed_over(plan: Plan, k: int) -> tuple[str, ...]:
    """The acts before act k that are not recorded: once it is done, they are not asked for again."""
    return tuple(plan.step(i).do for i in sorted(plan.chain.precedes(k)) if not plan.done(i))


def drop(lot: Lot, step: str, reason: str, on: date) -> Action:
    """Drop one act (the chain goes on without it), or, with no step, drop the whole lot.

    Raises Refused for an act that is done or dropped, and a lot that is given up.
    """
    data: dict[str, Any] = {"batch": lot.id}
    if step:
        step = find_step(lot, step)
        if step in lot.done:
            raise Refused(f"{step} of {lot.id} is done", "undo that entry first, if it is wrong")
        if step in lot.dropped:
            raise Refused(f"{step} of {lot.id} is already dropped")
        data["step"] = step
    elif lot.given_up is not None:
        raise Refused(f"{lot.id} is already dropped")
    if reason.strip():
        data["reason"] = reason.strip()
    return Action("drop", on, data)


def accept(plan: Plan, today: date) -> Action:
    """Accept the next window of what was missed. Raises Refused where nothing was."""
    if not any(plan.missed(k, today.toordinal()) for k in range(len(plan.chain.spans))):
        raise Refused(f"{plan.lot.id} has missed nothing")
    return Action("accept", today, {"batch": plan.lot.id})


def note(lot: Lot, text: str, on: date) -> Action:
    """A note on a lot. Raises Refused where it is empty."""
    if not text.strip():
        raise Refused("the note is empty")
    return Action("note", on, {"batch": lot.id, "text": text.strip()})
