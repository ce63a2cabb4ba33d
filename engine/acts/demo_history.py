"""A made-up history for the demo farm: what a diligent, not faultless, grower would have recorded up to a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from math import prod

from engine.acts import propagation
from engine.acts.action import Action
from engine.farm.layout import plants_of
from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.protocols.forms import form_after, keeps_until
from engine.protocols.model import Step
from engine.protocols.roles import Role
from engine.reading.frozen import replace
from engine.records.lots import Lot, tell_lot
from engine.records.records import Records
from engine.schedule.looks import look_days
from engine.schedule.nursery import Nursery, open_nursery
from engine.schedule.placing import Wish, place
from engine.schedule.plan import Plan

BEHIND_DAYS = 4
"""The grower is at least so many days behind with every lot, and up to a month with some: the board has work on it."""

SENT_DAYS = 2
"""An order goes so many days before it must leave, packed the day before."""

GIVEN_UP_DAYS = 14
"""So long after its day what an order is short of is still owed; then the customer has it from elsewhere."""

EVENING = time(17, tzinfo=UTC)
"""When the grower writes down what was done on a day."""

HEELED_IN_DAYS = 2
"""Lifted and sorted, bare roots are in the ground again within so many days."""

RADICLES_FROM = 0.5
"""In one lot of seed in five radicles show from this share of the least days in the cold."""

LOSSES = (("browsed", 1, 9, 3), ("drought", 4, 13, 6), ("girdled", 2, 11, 8), ("disease", 9, 17, 15))
"""Of a planting that stands: what takes one plant in so many, in which year after planting, and which that is."""


def unwritten(farm: Farm) -> Nursery:
    """The farm before anything was recorded."""
    return open_nursery(farm, Records(tuple(Lot(b.id, b, b.count) for b in farm.batches)))


def rehearse(farm: Farm, today: date, nursery: Nursery | None = None) -> tuple[Entry, ...]:
    """Entries that bring the farm to a day: acts done at their aims, looks taken as they fell due, a wait, a note.

    The same farm and day give the same entries. Lots differ in how well they come through by a fixed pattern. What is
    found on the way of dates and chains stays with the `nursery`, as `unwritten` has it, where it is given.
    """
    nursery = nursery or unwritten(farm)
    written: list[tuple[date, str, Action]] = []
    for number, lot in enumerate(nursery.records.lots):
        written += [(action.on, lot.id, action) for action in _lot_history(nursery, lot, number, today)]
    written += [(action.on, "", action) for action in (*_walks(farm, today), *_orders(nursery, today))]
    written.sort(key=lambda item: (item[0], item[1]))
    return tuple(
        Entry(f"demo-{n:06}", _at(on, n), on, action.kind, action.data) for n, (on, _, action) in enumerate(written)
    )


def _at(on: date, number: int) -> str:
    """In the evening of the day, a second after the entry before it."""
    return (datetime.combine(on, EVENING) + timedelta(seconds=number)).isoformat()


def _walks(farm: Farm, today: date) -> Iterator[Action]:
    """What the walks of each July found in plantings that stand, told where it changes, and at the latest walk."""
    for planting in farm.plantings:
        for number, plant in enumerate(plants_of(planting)):
            if plant.planted is None:
                continue
            said = partial(_walk, planting.name, plant.id)
            guarded = number % 3 != 0
            cause, dies = next(((c, y) for c, y, every, at in LOSSES if number % every == at), ("", 99))
            dies = dies if guarded or cause != "browsed" else 1
            bears = round(sum(farm.species_of(plant.species).bearing_years.get("vegetative", (3, 5))) / 2) + number % 2
            walks = today.year - plant.planted.year - (today < _july(today.year))
            years = range(1, walks + 1)
            for year in years:
                day = _july(plant.planted.year + year) + timedelta(number % 3)
                if day > today:
                    continue
                if year == 1:
                    yield said("guard on" if guarded else "guard off", day)
                if year == dies:
                    yield said("dead", day, cause)
                    if number % 2 == 0 and not plant.beside:
                        yield (
                            said("planted", date(day.year, 11, 20))
                            if date(day.year, 11, 20) <= today
                            else said("note", day, note="to be planted again")
                        )
                    break
                if year == bears or year == years[-1]:
                    yield said("bearing" if year >= bears else "alive", day)


def _walk(planting: str, position: str, state: str, on: date, cause: str = "", note: str = "") -> Action:
    told = {"planting": planting, "position": position, "state": state, "cause": cause, "note": note}
    return Action("walked", on, {key: value for key, value in told.items() if value})


def _july(year: int) -> date:
    return date(year, 7, 4)


def _orders(nursery: Nursery, today: date) -> Iterator[Action]:
    """What customers were promised of the stock that was there at the start, packed and sent in time."""
    farm = nursery.farm
    left = {held.lot: held.count for held in farm.opening}
    for need in sorted((n for n in farm.needs if n.who and n.by), key=lambda n: n.by or today):
        customer = farm.customer(need.who)
        goes = (need.by or today) - timedelta(SENT_DAYS + (customer.travel_days if customer is not None else 1))
        if goes > today:
            continue
        sent = 0
        for held in farm.opening:
            fits = (held.species, need.cultivar or held.cultivar, need.form or held.form, need.grade or held.grade)
            count = min(need.count - sent, left[held.lot])
            if count and fits == (need.species, held.cultivar, held.form, held.grade):
                told = {"lot": held.lot, "form": held.form, "grade": held.grade, "place": held.place, "count": count}
                yield Action("packed", goes - timedelta(1), {"need": need.id, "count": count})
                yield Action("sell", goes, {**told, "to": need.who, "need": need.id})
                left[held.lot] -= count
                sent += count
        owed = (need.by or today) + timedelta(GIVEN_UP_DAYS)
        if 0 < sent < need.count and owed <= today:
            from engine.acts.needs import NeedChange, amend_need  # on few days of the year

            yield amend_need(nursery, need.id, owed, NeedChange(count=sent))


def _lot_history(nursery: Nursery, lot: Lot, number: int, today: date) -> Iterator[Action]:
    behind = 45 if number % 9 == 4 else BEHIND_DAYS + number * 7 % 26
    until = today - timedelta(behind)
    start = lot.batch.start or until
    if start > today:
        return
    chain = nursery.chain(lot.batch.protocol)
    ready = None if lot.batch.ready is None else lot.batch.ready.toordinal()
    placed = place(chain, Wish(start.toordinal(), ready), tell=False)
    plan = Plan(lot, chain, placed, placed, frozenset())
    while (k := _next_act(plan, until)) is not None:
        step, day = plan.step(k), date.fromordinal(plan.now.aims[k] or 0)
        luck = 1 - (number * 7 + k * 3) % 5 * 0.04
        there, goes_on = _counts(lot, step, luck)
        action = propagation.do(
            nursery.records, lot, step.do, propagation.Told(goes_on, there=there, join=False), day, today
        )
        yield action
        lot = _after(nursery.farm, lot, action)
        plan = replace(plan, lot=lot)  # what is done at its aim leaves all that follows where it was
    yield from _heeled_in(nursery, plan, until)
    yield from _looks(plan, number, today)
    if number % 11 == 5 and (k := _next_act(plan, today)) is not None:
        yield propagation.hold(lot, plan.step(k).do, "waiting for compost", today - timedelta(2))
    if lot.batch.note and start <= today:
        yield propagation.note(lot, lot.batch.note, start)


def _heeled_in(nursery: Nursery, plan: Plan, until: date) -> Iterator[Action]:
    """Bare roots sorted in a shed go back into the ground in a few days: in the shed they would not live to summer."""
    farm, lot, form = nursery.farm, plan.lot, ""
    if not all(plan.done(k) for k in plan.chain.order):
        return
    for k in plan.chain.order:
        form = form_after(plan.step(k), plan.batch.protocol, form)
    place = farm.where(plan.batch, plan.step(plan.chain.order[-1]))
    if keeps_until(form) and farm.under_cover(place):
        day = max(done.day for done in lot.done.values()) + timedelta(HEELED_IN_DAYS)
        if day <= until:
            told = {"lot": lot.id, "form": form, "grade": "", "place": place, "count": lot.count}
            yield Action("move", day, {**told, "to": farm.place_for("nursery beds")})


def _next_act(plan: Plan, until: date) -> int | None:
    waiting = [
        (aim, k)
        for k in plan.chain.order
        if not plan.done(k)
        and (aim := plan.now.aims[k]) is not None
        and aim <= until.toordinal()
        and all(plan.done(b) for b in plan.chain.before[k])
    ]
    return min(waiting)[1] if waiting else None


def _looks(plan: Plan, number: int, today: date) -> Iterator[Action]:
    """Looks at what lasts now, up to a few days ago; one lot in its time has thrown radicles."""
    for k, step in enumerate(plan.chain.protocol.steps):
        done = plan.lot.done.get(step.do)
        following = plan.chain.follows(k)
        if done is None or not step.endures or not following or any(plan.done(j) for j in following):
            continue
        lasts = plan.chain.lasts[k]
        days = look_days(step, lasts, done.day, done.day + timedelta(1), today - timedelta(3 + number % 3))
        for n, day in enumerate(days):
            gone = (day - done.day).days / max(1, lasts.least)
            ripe = gone >= RADICLES_FROM and n == len(days) - 1 and step.role is Role.STRATIFY_COLD
            mouldy = number % 4 == 1 and n == 1
            finding = "radicles" if ripe and number % 5 == 3 else "mould" if mouldy else "nothing"
            yield propagation.look(plan.lot, step.do, finding, day, today)


def _counts(lot: Lot, step: Step, luck: float) -> tuple[int | None, int]:
    """How many an act finds alive, where it finds out, and how many go on from it: by the book, better or worse."""
    lived = prod(s.survive or 1.0 for s in lot.batch.protocol.steps if s.do in lot.under)
    alive = lot.count if not lot.under else max(1, min(lot.count, round(lot.into * lived * luck)))
    if not step.role.finds_out:
        return None, alive if step.role.sets_going else lot.count
    kept = 1.0 if step.survive is None else step.survive * (1.0 if lot.under else luck)
    return alive, max(1, round(alive * kept))


def _after(farm: Farm, lot: Lot, action: Action) -> Lot:
    """The lot once the journal has taken the act up."""
    lots = {lot.id: lot}
    tell_lot(farm, lot, Entry("", "", action.on, action.kind, action.data), lots, (), [], [])
    return lots[lot.id]
