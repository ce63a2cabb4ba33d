"""The cold store: every seed lot in its warm or cold treatment, how far it is, when it is ready, and what to do now."""

from __future__ import annotations

from datetime import date, timedelta

from engine.almanac.almanac import say_day, say_days
from engine.farm.model import Farm
from engine.protocols.model import Days
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass, replace
from engine.reading.units import say_warmths
from engine.records.records import DRY_THROUGH, Look, Lot, Outage, drying_kills
from engine.schedule.best_days import ENOUGH, TOO_LONG, stage
from engine.schedule.chain import ChainFault
from engine.schedule.looks import look_days, said
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, Plan, plan_lot
from engine.schedule.states import closes_soon
from engine.schedule.treatment import is_treatment
from engine.schedule.why_this_act import SLOW_C, radicles_advice
from engine.views.week import plant_name

STARTS_WITHIN = 30
"""Days ahead in which a treatment that is to begin is shown."""
TOO_EARLY = 14
"""Days by which seed may be ready before its bed opens without more ado; beyond it, slow it (common practice)."""
TOLD_LOST = 30
"""Days for which a lot that was lost in its treatment is still told of."""
WARM, COLD, LOST = "warm", "cold", "lost"

MOULD = "Mould: rinse it outdoors and do not breathe the spores."
PEAT = "Peat and sphagnum: gloves, and wet them first; do not breathe the dust."
FOUND = {
    "mould": "rinse, pick out what is soft, give it air",
    "dry": "dry on top: water it until you can just squeeze out a drop",
}


@dataclass(frozen=True, slots=True)
class Phase:
    """One warm or cold phase: from when (or from its aim), what it lasts by what has happened, and days gone in it."""

    name: str
    index: int
    start: date | None
    begun: bool
    lasts: Days
    gone: int
    ended: date | None = None
    best: Days | None = None
    """Within what it lasts, what is meant."""

    @property
    def stage(self) -> str:
        """ENOUGH, BEST or TOO_LONG once it has had its least; nothing before."""
        return stage(self.gone, self.lasts, self.best) if self.begun else ""

    def after(self, days: int | None) -> date | None:
        """The day so many days after its start; None where either is not known."""
        return None if self.start is None or days is None else self.start + timedelta(days)


@dataclass(frozen=True, slots=True)
class ColdLot:
    """One lot under treatment. `phase` is warm, cold or lost; `day` is None until it has begun."""

    plan: Plan
    plant: str
    place: str
    phase: str
    phases: tuple[Phase, ...]
    current: int
    """Which of the phases it is in, or comes to first."""
    next_look: date | None
    """Today where a look is due, or over."""
    often: str
    last_look: Look | None
    radicles: date | None
    ready: date | None
    """When the treatment has lasted its least; where radicles were seen, that day."""
    ready_latest: date | None
    """When it has lasted its most, where it has one."""
    following: str
    """The act that ends the treatment, and when its window opens, and its latest day."""
    opens: date | None
    sow_by: date | None
    advice: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def lot(self) -> Lot:
        """The lot under treatment."""
        return self.plan.lot

    @property
    def now(self) -> Phase:
        """The phase that it is in, or comes to first."""
        return self.phases[self.current]

    @property
    def outages(self) -> tuple[Outage, ...]:
        """What happened to the place while the lot lay in it, and stays told, whatever came after."""
        return tuple(outage for course in self.plan.courses.values() for outage, _ in course.outages)

    @property
    def lost(self) -> bool:
        """Whether drying has killed it."""
        return self.phase == LOST

    def presses(self, today: date) -> bool:
        """Whether what follows is due, for radicles are out and its window is open, or closes within a week."""
        if self.radicles is not None and (self.opens is None or self.opens <= today):
            return True
        return self.sow_by is not None and closes_soon(self.sow_by.toordinal(), today.toordinal())

    @property
    def last_phase(self) -> bool:
        """Whether it is in the last of its phases, and has begun it."""
        return self.begun and self.current == len(self.phases) - 1

    @property
    def begun(self) -> bool:
        """Whether the phase has begun."""
        return self.now.begun

    @property
    def next_act(self) -> int | None:
        """The act that comes next: the beginning of what has not begun, else what ends the phase it is in."""
        return _following(self.plan, self.now.index) if self.begun else self.now.index

    @property
    def day(self) -> int | None:
        """How many days of the phase have gone; None until it has begun."""
        return self.now.gone if self.now.begun else None


def cold_view(day: Day) -> tuple[ColdLot, ...]:
    """The lots under treatment, those soon to begin and those just lost; what presses first stands first."""
    nursery, plans, today = day
    found = [lot for plan in (*plans, *_lost(nursery, today)) if (lot := _cold_lot(nursery.farm, plan, today))]
    return tuple(sorted(found, key=_order))


def _order(lot: ColdLot) -> tuple[int, date, str]:
    rank = 3 if lot.lost else 0 if lot.radicles else 1 if lot.begun else 2
    return rank, lot.ready or date.max, lot.lot.id


def _lost(nursery: Nursery, today: date) -> list[Plan]:
    """The plans of lots that drying killed not long ago."""
    plans = []
    for lot in nursery.records.lots:
        if _killed(nursery.farm, lot) and lot.given_up and 0 <= (today - lot.given_up).days <= TOLD_LOST:
            try:
                plans.append(plan_lot(nursery, lot, today))
            except ChainFault:
                continue
    return plans


def _killed(farm: Farm, lot: Lot) -> bool:
    dried = (look.day for look in lot.looks if look.finding == DRY_THROUGH)
    return drying_kills(farm, lot) and lot.given_up is not None and lot.given_up in dried


def _cold_lot(farm: Farm, plan: Plan, today: date) -> ColdLot | None:
    """The lot, where it is under treatment on that day or soon will be."""
    phases = tuple(_phase(plan, k, today) for k in plan.chain.order if is_treatment(plan.step(k)))
    begun = [n for n, phase in enumerate(phases) if phase.begun]
    if not phases or (not begun and not _soon(phases[0], today)):
        return None
    current = begun[-1] if begun else 0
    now = phases[current]
    if now.ended is not None and now.ended <= today:
        return None
    step = plan.step(now.index)
    then = _following(plan, phases[-1].index)
    span = plan.now.spans[then] if then is not None else None
    latest = plan.last_day(then, today.toordinal()) if then is not None else None
    closes = latest if latest is not None else span.closes if span else None
    radicles = plan.lot.radicles(step.do) if now.begun else None
    lost = _killed(farm, plan.lot)
    last_look = plan.lot.last_look(step.do)
    next_look, often = (None, "") if lost else _next_look(plan, now, last_look, today)
    ready = radicles or phases[-1].after(phases[-1].lasts.least)
    lot = ColdLot(
        plan=plan,
        plant=plant_name(farm, plan),
        place=farm.where(plan.batch, step) or "anywhere",
        phase=LOST if lost else now.name,
        phases=phases,
        current=current,
        next_look=next_look,
        often=often,
        last_look=last_look,
        radicles=radicles,
        ready=None if lost else ready,
        ready_latest=None if lost else phases[-1].after(phases[-1].lasts.most),
        following=plan.step(then).do if then is not None else "",
        opens=date.fromordinal(span.opens) if span else None,
        sow_by=date.fromordinal(closes) if closes is not None and not lost else None,
        advice=(),
        cautions=_cautions(farm, plan, now.index),
    )
    return _advised(lot, today)


def _phase(plan: Plan, k: int, today: date) -> Phase:
    step, aim = plan.step(k), plan.now.aims[k]
    done = plan.lot.done.get(step.do)
    begun = done is not None and done.day <= today
    start = done.day if done else None if aim is None else date.fromordinal(aim)
    course = plan.courses.get(step.do)
    lasts = course.lasts if course else plan.chain.lasts[k]
    ended = plan.lot.ended(step.do)
    gone = (min(today, ended or today) - start).days if begun and start else 0
    best = course.best if course else plan.chain.best[k]
    return Phase(WARM if step.role is Role.STRATIFY_WARM else COLD, k, start, begun, lasts, gone, ended, best)


def _soon(phase: Phase, today: date) -> bool:
    return phase.ended is None and phase.start is not None and (phase.start - today).days <= STARTS_WITHIN


def _following(plan: Plan, k: int) -> int | None:
    """The act that ends the treatment: sowing, where that follows, else whatever does."""
    after = plan.chain.follows(k)
    return next((j for j in after if plan.step(j).role is Role.SOW), after[0] if after else None)


def _next_look(plan: Plan, now: Phase, last: Look | None, today: date) -> tuple[date | None, str]:
    """The day of the next look, today where one is due; and how often it is looked at."""
    if not now.begun or now.start is None:
        return None, ""
    step, lasts = plan.step(now.index), plan.chain.lasts[now.index]
    first = max(now.start, last.day if last else now.start) + timedelta(1)
    horizon = max(first, today) + timedelta(max(step.look_days or 0, 31))
    days = look_days(step, lasts, now.start, first, horizon, last.day if last is not None else None)
    if not days:
        return None, ""
    day = max(days[0], today)
    return day, said(step, lasts, now.start, day)


def _cautions(farm: Farm, plan: Plan, k: int) -> tuple[str, ...]:
    """The step's and the species' own, and those of the work itself where they do not say them."""
    step = plan.step(k)
    told = [*step.cautions, *farm.cautions_on(farm.species_of(plan.batch.species))]
    words = " ".join(told).lower()
    if any(w in step.medium.lower() for w in ("peat", "sphagnum")) and "peat" not in words and "sphagnum" not in words:
        told.append(PEAT)
    if "mould" not in words:
        told.append(MOULD)
    return tuple(dict.fromkeys(told))


def _advised(lot: ColdLot, today: date) -> ColdLot:
    return replace(lot, advice=tuple(_advice(lot, today)))


def _advice(lot: ColdLot, today: date) -> list[str]:
    """What a grower is told of the lot on the day, what presses first."""
    if lot.lost:
        assert lot.lot.given_up is not None
        when = say_day(lot.lot.given_up.toordinal())
        return [f"dried out {when}: drying kills this seed, and the lot is lost; cut a few open to be sure"]
    told = []
    now = lot.now
    if lot.radicles is not None:
        told.append(_radicles(lot, today))
    elif lot.last_phase and now.gone >= now.lasts.least:
        told += _ripe(lot, today)
    if (course := lot.plan.courses.get(lot.plan.step(now.index).do)) is not None:
        told += course.happened if lot.radicles else course.told
    early, slow = _days_early(lot), say_warmths(SLOW_C, lot.plan.units)
    if early > TOO_EARLY and lot.radicles is None and not _open(lot, today):
        told.append(
            f"ready {say_days(early)} before {lot.following} opens: "
            + (f"slow it at {slow} from then, or pot it" if now.begun else f"begin later, slow it at {slow}, or pot it")
        )
    if (last := lot.last_look) is not None and last.finding in FOUND:
        told.append(f"{last.finding} {say_day(last.day.toordinal())}: {FOUND[last.finding]}")
    return told if lot.radicles else told + list(lot.plan.problems)


def _radicles(lot: ColdLot, today: date) -> str:
    assert lot.radicles is not None
    seen = f"radicles seen {say_day(lot.radicles.toordinal())}"
    if lot.current < len(lot.phases) - 1:
        return f"{seen}: go on to the next phase now; pot what has sprouted"
    k = lot.plan.index(lot.following) if lot.following else None
    return f"{seen}: pot what has sprouted" if k is None else radicles_advice(lot.plan, k, lot.radicles, today)


def _ripe(lot: ColdLot, today: date) -> list[str]:
    now = lot.now
    if now.lasts.most is not None and now.gone > now.lasts.most:
        over = say_days(now.gone - now.lasts.most)
        return [f"{TOO_LONG}, {over} past its maximum: {lot.following or 'end it'} as soon as you can"]
    if now.stage == ENOUGH and now.best is not None and now.gone < now.best.least:
        from_day = now.after(now.best.least)
        assert from_day is not None
        if lot.sow_by is not None and lot.sow_by < from_day:
            return [f"{ENOUGH}; longer is no better: {lot.following} by {say_day(lot.sow_by.toordinal())}"]
        return [f"{ENOUGH}; best from {say_day(from_day.toordinal())}, day {now.best.least}: wait if you can"]
    if not lot.following or not _open(lot, today):
        return ["minimum chill reached: look twice a week until the bed opens"]
    by = f" by {say_day(lot.sow_by.toordinal())}" if lot.sow_by else ""
    return [f"ready: {lot.following}{by}"]


def early_radicles(lot: ColdLot, today: date) -> str:
    """What to do if radicles show before the time."""
    if lot.lost or lot.radicles is not None:
        return ""
    if lot.current < len(lot.phases) - 1:
        return "if radicles show: go on to the next phase"
    if lot.opens is None or lot.opens <= today:
        return f"if radicles show: {lot.following or 'pot'} at once, within a week at most"
    when, slow = say_day(lot.opens.toordinal()), say_warmths(SLOW_C, lot.plan.units)
    return f"if radicles show before {when}: hold it at {slow}, or pot what has sprouted, under cover"


def told_of_outage(day: Day, outage: Outage) -> tuple[str, ...]:
    """What an outage means for each lot that stood there: `H26: add the days`."""
    told = []
    for lot in cold_view(day):
        for course in lot.plan.courses.values():
            told += [f"{lot.lot.id}: {means.do}" for happened, means in course.outages if happened == outage]
    return tuple(told)


def _open(lot: ColdLot, today: date) -> bool:
    return lot.opens is None or lot.opens <= today


def _days_early(lot: ColdLot) -> int:
    """Days from the least's end to the opening of the bed."""
    return (lot.opens - lot.ready).days if lot.opens and lot.ready else 0
