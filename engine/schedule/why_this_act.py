"""Why an act lies where it lies: the phrase, wait or record that set each end, in a grower's words."""

from __future__ import annotations

from datetime import date

from engine.almanac.almanac import say_day, say_days
from engine.almanac.phrases import CalendarBase, Phrase
from engine.almanac.why_this_date import explain
from engine.almanac.windows import Span
from engine.protocols.model import Step
from engine.protocols.roles import past
from engine.reading.units import say_warmths
from engine.schedule.best_days import short_of_best
from engine.schedule.network import NONE
from engine.schedule.plan import Plan


def say(ordinal: int, today: date) -> str:
    """A day; with its year where it is not near."""
    return say_day(ordinal, year=abs(ordinal - today.toordinal()) > 300)


def why(plan: Plan, k: int, today: date) -> tuple[str, ...]:
    """Both ends of act k, and what else a grower must know of its date."""
    step = plan.step(k)
    if step.do in plan.lot.done:
        done = plan.lot.done[step.do]
        return (f"done {say_day(done.day.toordinal(), True)}, {done.count} went on",)
    told = [_earliest(plan, k, today), _latest(plan, k, today)]
    best = plan.best_until(k, today.toordinal())
    if best is not None:
        told.append(f"best before {say(best, today)}")
    told += [short_of_best(plan.chain, plan.now.aims, i) for i in (k, *filter(plan.done, plan.chain.before[k]))]
    if plan.overdue(k, today.toordinal()):
        told[:0] = overdue_words(plan, k, today)
    elif plan.missed(k, today.toordinal()):
        told.insert(0, _missed(plan, k))
    if step.do in plan.lot.held:
        told.insert(0, f"held: {plan.lot.held[step.do]}")
    for i in plan.chain.before[k]:
        seen = plan.lot.radicles(plan.step(i).do)
        if seen is not None:
            told.insert(0, radicles_advice(plan, k, seen, today))
        elif (course := plan.courses.get(plan.step(i).do)) is not None:
            told += course.told
    return tuple(t for t in told if t)


SLOW_C = 1.0, 2.0
"""Where seed that has thrown radicles is held back (common practice; Prunus: near freezing, AH 727 p.887)."""


def radicles_advice(plan: Plan, k: int, seen: date, today: date) -> str:
    """What to do with seed that has thrown radicles: act k follows now, or, where it is not open yet, hold it back."""
    told = f"radicles seen {say_day(seen.toordinal())}"
    span = plan.now.spans[k]
    if span is None or span.opens <= today.toordinal():
        return plan.radicles_told(k)
    before, cool = f"before {plan.step(k).do} opens {say_day(span.opens)}", say_warmths(SLOW_C, plan.units)
    return f"{told} {before}: pot what has sprouted, under cover; hold the rest at {cool}"


def _earliest(plan: Plan, k: int, today: date) -> str:
    now, chain = plan.now, plan.chain
    day, span = now.earliest[k], now.spans[k]
    if day is None:
        return "no earliest day" if now.fits else "no year fits"
    if span is not None and day == span.opens:
        set_by = _phrase(plan, span.opener, span.opens) if span.opener else "the day after it last closed"
        return f"opens {say(day, today)}: {set_by}"
    least = chain.network.least
    for i in chain.before[k]:
        base = now.earliest[i]
        if base is not None and base + least[i][k] == day:
            done = plan.done(i)
            if done and (seen := plan.lot.radicles(plan.step(i).do)) is not None and seen.toordinal() == day:
                return f"from {say(day, today)}: radicles seen"
            said = f"{plan.step(i).do} {'done' if done else 'at the earliest'} {say(base, today)}"
            return f"from {say(day, today)}: {_after(least[i][k], plan.step(i))}{said}"
    if day == now.wish.not_before.get(k):
        return f"from {say(day, today)}: put off by you"
    wait = plan.step(k).wait if now.wish.start is not None and not chain.before[k] else None
    if now.wish.start is not None and day == now.wish.start + (wait.least if wait else 0):
        waited = f"{say_days(wait.least)} after " if wait and wait.least else ""
        return f"from {say(day, today)}: {waited}the start of the batch"
    if day == now.wish.floor:
        meant = plan.meant.earliest[k]
        return f"open since {say(meant, today)}" if meant is not None and meant < day else f"from {say(day, today)}"
    for j in range(len(now.earliest)):
        later = now.earliest[j]
        if j != k and later is not None and least[j][k] != NONE and later + least[j][k] == day and least[j][k] <= 0:
            return (
                f"from {say(day, today)}: so that {plan.step(j).do} ({say(later, today)}) "
                f"follows within {say_days(-least[j][k])}"
            )
    return f"from {say(day, today)}"


def _after(least: int, before: Step) -> str:
    if least == 0:
        return "after "
    least_of_it = before.lasts.least if before.endures else 0
    lasted = f"{before.do} lasts at least {say_days(least_of_it)}; " if least_of_it else ""
    return f"{lasted}{say_days(least)} after "


def _latest(plan: Plan, k: int, today: date) -> str:
    now, chain = plan.now, plan.chain
    day, span = now.latest[k], now.spans[k]
    if day is None:
        return "no closing date" if now.fits else ""
    if plan.radicles(k) is not None and plan.last_day(k, today.toordinal()) == plan.radicles_by(k):
        return ""  # said with the radicles
    if span is not None and day == span.closes:
        set_by = _phrase(plan, span.closer, day) if span.closer else "the day before it next opens"
        return f"closes {say(day, today)}: {set_by}{_again(plan, k, span, today)}"
    least = chain.network.least
    for i in chain.before[k]:
        base = now.latest[i]
        if base is not None and least[k][i] != NONE and base - least[k][i] == day:
            done = f"done {say(base, today)}" if plan.done(i) else f"at the latest {say(base, today)}"
            return f"until {say(day, today)}: within {say_days(-least[k][i])} of {plan.step(i).do}, {done}"
    wait = plan.step(k).wait if now.wish.start is not None and not chain.before[k] else None
    if wait is not None and wait.most is not None and now.wish.start is not None and day == now.wish.start + wait.most:
        return f"until {say(day, today)}: within {say_days(wait.most)} of the start of the batch"
    if now.wish.ready is not None and day == now.wish.ready - chain.lasts[k].least:
        return f"until {say(day, today)}: everything must be ready by {say(now.wish.ready, today)}"
    for j in sorted(chain.reaches(k) - {k}, key=chain.order.index):
        later = now.latest[j]
        if later is not None and least[k][j] != NONE and later - least[k][j] == day:
            gap = f", {say_days(least[k][j])} on," if least[k][j] else ""
            return f"until {say(day, today)}: {plan.step(j).do} must follow{gap} by {say(later, today)}"
    return f"until {say(day, today)}"


def _again(plan: Plan, k: int, span: Span, today: date) -> str:
    """The next window of the same season."""
    domain = plan.chain.spans[k]
    if span.final or domain is None:
        return ""
    following = domain.from_day(span.closes + 1)
    return f"; again {say_day(following.opens)} to {say(following.closes, today)}"


_WHERE = {"kept cold": "in the cold", "kept warm": "in the warm", "stored": "in store"}


def overdue_words(plan: Plan, k: int, today: date) -> list[str]:
    """`15 days past its limit in store: do it now, or enter the day you did`.

    What did not lie is overdue since its last day.

    And what follows too late for its season.
    """
    now_day = today.toordinal()
    due = plan.due(k, now_day)
    seen = plan.radicles(k)  # then it did not lie too long: it ran
    lay = [plan.step(i) for i in plan.chain.before[k] if plan.step(i).endures and seen is None]
    if lay and (over := plan.days_over(k, now_day)):
        where = _WHERE.get(past(lay[0].do), f"for {lay[0].do}")
        told = f"{say_days(over)} past its limit {where}"
    else:
        told = f"overdue since {say(due, today)}, by {say_days(now_day - due)}"
    words = [f"{told}: do it now, or enter the day you did"]
    j = plan.put_to_another_season(k, now_day)
    if j is not None and (aim := plan.now.aims[j]) is not None:
        words.append(f"too late for {plan.step(j).do} this season, if it is not done yet: next {say_day(aim, True)}")
    return words


def _missed(plan: Plan, k: int) -> str:
    last, upcoming = plan.meant.latest[k], plan.now.aims[k]
    assert last is not None
    following = f"; the next window is {say_day(upcoming, True)}" if upcoming is not None else ""
    return f"missed: its last day was {say_day(last, True)}{following}"


def _phrase(plan: Plan, phrase: Phrase, day: int) -> str:
    almanac = plan.chain.almanac
    if isinstance(phrase.base, CalendarBase) and phrase.offset == 0:
        return "a fixed date"
    season = almanac.nearest(phrase, day)
    return phrase.text if season is None else explain(almanac, phrase, season)
