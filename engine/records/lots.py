"""A lot on its way through a protocol: acts, looks, waits and notes of it; split and joined again as entries tell."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import TypeVar

from engine.farm.model import Batch, Farm
from engine.journal.entry import Entry
from engine.protocols.forms import SEED
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass, field, replace
from engine.records.counts_teach import Trial, is_accident, share_out
from engine.records.never_below_none import is_count
from engine.records.stock import say_given_up
from engine.records.values import texts

T = TypeVar("T")
DRY_THROUGH = "dry through"
"""Not dry at the surface alone: seed that drying kills is lost, and other seed begins its treatment anew."""
POTTED = "radicles potted"
"""What had run was taken out and potted: no finding of a look, but what stands among the looks of the rest."""
FINDINGS = ("nothing", "radicles", "mould", "dry", DRY_THROUGH)


@dataclass(frozen=True, slots=True)
class Done:
    """An act done: the day, how many went on from it, the entry that says so, and how many it was done to.

    `there` is how many were found alive, where it was counted and told apart from what went on.
    """

    day: date
    count: int
    entry: str
    into: int = 0
    there: int | None = None


@dataclass(frozen=True, slots=True)
class Look:
    """What a look at a lasting step found."""

    day: date
    step: str
    finding: str
    entry: str


@dataclass(frozen=True, slots=True)
class Lot:
    """A batch, or a part of one that was done apart, with what has happened to it so far."""

    id: str
    batch: Batch
    count: int
    done: Mapping[str, Done] = field(default_factory=dict)
    held: Mapping[str, str] = field(default_factory=dict)
    later: Mapping[str, date] = field(default_factory=dict)
    dropped: Mapping[str, date] = field(default_factory=dict)
    looks: tuple[Look, ...] = ()
    notes: tuple[tuple[date, str], ...] = ()
    accepted: date | None = None
    given_up: date | None = None
    under: tuple[str, ...] = ()
    """The steps set going, or lived through, since it was last counted: what it loses in them is not known yet."""
    went: int | None = None
    """How many were there when it was last counted, or went into the first of `under`; None: as many as there are.

    What is lost since stays in it, for the next count to teach; what an accident takes leaves it.
    """
    going: bool = False
    """Sown, stuck or grafted and not yet counted alive."""
    came: Mapping[str, int] = field(default_factory=dict)
    """How many pots, or what else is no plant, came for a step. Of two parts only one keeps it, and what was lost."""

    @property
    def into(self) -> int:
        """How many the next count is held against."""
        return self.count if self.went is None else self.went

    def last_look(self, step: str) -> Look | None:
        """The latest look at a step; None where it was not looked at."""
        return next((look for look in reversed(self.looks) if look.step == step), None)

    def radicles(self, step: str) -> date | None:
        """When radicles were first seen in a step that lasts, of those that are in it still.

        Those out before it dried through are dead; others were taken out and potted.
        """
        first = None
        for look in self.looks:
            if look.step == step and look.finding in ("radicles", DRY_THROUGH, POTTED):
                first = first or look.day if look.finding == "radicles" else None
        return first

    def ended(self, step: str) -> date | None:
        """The day on which what a step started came to its end: the first act done that comes after it."""
        protocol, past, days = self.batch.protocol, {step}, []
        for k, following in enumerate(protocol.steps):
            if any(after.do in past for after in protocol.after(k)):
                past.add(following.do)
                if following.do in self.done:
                    days.append(self.done[following.do].day)
        return min(days, default=None)


def tell_lot(
    farm: Farm,
    lot: Lot,
    entry: Entry,
    lots: dict[str, Lot],
    names: Collection[str],
    joined: list[Lot],
    trials: list[Trial],
) -> str:
    """Apply one entry to its lot; returns what does not fit, or nothing.

    A part that ends goes to `joined`, what a count taught to `trials`.
    """
    step = str(entry.data.get("step") or "")
    if step and all(s.do != step for s in lot.batch.protocol.steps):
        return f'its protocol has no step "{step}"'
    match entry.kind:
        case "done":
            return _done(lot, step, entry, lots, names, joined, trials)
        case "look":
            finding = str(entry.data.get("finding", "nothing"))
            looked = replace(lot, looks=(*lot.looks, Look(entry.on, step, finding, entry.id)))
            dead = finding == DRY_THROUGH and drying_kills(farm, lot) and lot.ended(step) is None
            lots[lot.id] = replace(looked, given_up=entry.on) if dead and lot.given_up is None else looked
        case "hold":
            lots[lot.id] = replace(lot, held={**lot.held, step: str(entry.data.get("reason", ""))})
        case "release":
            lots[lot.id] = replace(lot, held={k: v for k, v in lot.held.items() if k != step})
        case "later":
            try:
                to = date.fromisoformat(str(entry.data.get("to")))
            except ValueError:
                return "its date cannot be read"
            lots[lot.id] = replace(lot, later={**lot.later, step: to})
        case "accept":
            lots[lot.id] = replace(lot, accepted=entry.on)
        case "drop" if step in lot.done:
            return f'"{step}" was already done on {lot.done[step].day}'
        case "drop" if step:
            lots[lot.id] = replace(lot, dropped={**lot.dropped, step: entry.on})
        case "drop" if lot.given_up is not None:
            return f"it was already dropped on {lot.given_up}"
        case "drop":
            cause = str(entry.data.get("reason", ""))
            if lot.under and not is_accident(cause, True):
                trials.append(Trial(lot.batch.id, lot.under, lot.into, 0, entry.on, entry.id))
            lots[lot.id] = replace(lot, given_up=entry.on)
        case "came":
            if not step or not (count := whole(entry.data.get("count"), 0)):
                return "it names no step, or its count cannot be read"
            lots[lot.id] = replace(lot, came={**lot.came, step: lot.came.get(step, 0) + count})
        case "note":
            lots[lot.id] = replace(lot, notes=(*lot.notes, (entry.on, str(entry.data.get("text", "")))))
        case _:
            return "this version of Widger does not know such an entry; a newer one may"
    return ""


def _done(
    lot: Lot,
    step: str,
    entry: Entry,
    lots: dict[str, Lot],
    names: Collection[str],
    joined: list[Lot],
    trials: list[Trial],
) -> str:
    if not step:
        return "it names no step"
    if step in lot.done:
        return f'"{step}" was already done on {lot.done[step].day}'
    if lot.given_up is not None:
        return say_given_up(lot.given_up)
    left = whole(entry.data.get("left"), 0)
    count = whole(entry.data.get("count"), lot.count - left)
    if left and left >= lot.count:
        return f"{left} cannot be left of {lot.count}"
    if overtaken(lot, step):  # told afterwards: what came of it since is counted already
        _resized(lot, step, count, trials)
        lots[lot.id] = replace(lot, done={**lot.done, step: Done(entry.on, count, entry.id, count)})
        return ""
    apart, rest = _parted(lot, left) if left else (lot, lot)
    after, act = _after(apart, step, count, entry, trials)
    held = {k: v for k, v in lot.held.items() if k != step}
    dropped = {k: v for k, v in lot.dropped.items() if k != step}
    after = replace(after, held=held, dropped=dropped, done={**lot.done, step: act})
    if left > 0:
        part = str(entry.data.get("part") or "")
        if not part or part in names:  # two devices may have chosen one name
            part = part_id(lot.id, names)
        unused = {k: max(0, n - count) if k == step else n for k, n in lot.came.items()}  # what the act used up is gone
        if entry.data.get("run"):
            before = [s for s in lot.batch.protocol.before(step) if lot.radicles(s) is not None]
            rest = replace(rest, looks=(*rest.looks, *(Look(entry.on, s, POTTED, entry.id) for s in before)))
        lots[lot.id] = replace(rest, came=unused)
        lots[part] = replace(after, id=part, came={})
        return ""
    alone: list[str] = []
    for other in texts(entry.data.get("join")):
        part_lot = lots.get(other)
        kin = part_lot is not None and part_lot.id != lot.id and part_lot.batch.id == lot.batch.id
        if part_lot is not None and kin and alike(part_lot, after) and part_lot.given_up is None:
            del lots[part_lot.id]
            joined.append(replace(part_lot, done={k: v for k, v in part_lot.done.items() if k != step}))
            after = both(after, part_lot, step)
        else:
            alone.append(other)
    lots[lot.id] = after
    if entry.data.get("join") and not texts(entry.data["join"]):
        return "done, but what was joined to it cannot be read"
    return f"not joined, because it has gone on or is not there: {', '.join(alone)}" if alone else ""


def _after(lot: Lot, step: str, count: int, entry: Entry, trials: list[Trial]) -> tuple[Lot, Done]:
    """A lot after an act, so many of it going on, and the act. What it counts goes to `trials`.

    An act that finds out counts what is alive, and, where that is told apart, what of it goes on. One that sets going
    counts too where something has been set going since the last count: the living are handled one by one.
    """
    meant = lot.batch.protocol.steps[lot.batch.protocol.index(step)]
    role, losing = meant.role, meant.survive is not None
    if role is Role.ARRIVE:  # as many were ordered, whether fewer or more came
        ordered = whole(entry.data.get("ordered"), lot.count)
        return replace(lot, count=count, went=None), Done(entry.on, count, entry.id, ordered)
    told = entry.data.get("there")
    there = whole(told, count) if role.finds_out else count
    act = Done(entry.on, count, entry.id, lot.count, there if role.finds_out and told is not None else None)

    def taught(steps: tuple[str, ...], into: int, came: int) -> None:
        if into > 0:
            trials.append(Trial(lot.batch.id, steps, into, came, entry.on, entry.id))

    uncounted = "count" not in entry.data and tells_how_many(lot, step)
    if uncounted or not (role.finds_out or role.sets_going):  # what is lost in it shows at the next count
        under = (*lot.under, step) if losing else lot.under
        return replace(lot, count=count, under=under, went=max(lot.into, count)), act  # more may be cut than was meant
    passed = _passed_over(lot, step)
    if lot.under:
        taught((*passed, *lot.under), lot.into, there)
        if role.finds_out and losing and told is not None:
            taught((step,), there, count)
    elif role.finds_out and (losing or passed):
        taught((*passed, step), lot.into, count)
    following = any(s.do not in lot.done and s.do != step for s in lot.batch.protocol.steps)
    under = (step,) if role.sets_going and losing else ()
    return replace(lot, count=count, under=under, went=None, going=role.leaves_going and (losing or following)), act


def _passed_over(lot: Lot, step: str) -> tuple[str, ...]:
    """The steps of loss before one that is done now which nobody recorded, nor any act since: it lived through them."""
    protocol = lot.batch.protocol
    before = protocol.before(step) - lot.done.keys() - lot.dropped.keys()
    if not before:  # as with most
        return ()
    before -= set().union(*(protocol.before(do) for do in lot.done))
    return tuple(each.do for each in protocol.steps if each.do in before and each.survive is not None)


def _resized(lot: Lot, step: str, count: int, trials: list[Trial]) -> None:
    """What an act told afterwards says of a count that came after it: no more than went on from it went into that."""
    acts = {act.entry for act in lot.done.values()}
    for n, trial in enumerate(trials):
        if trial.entry in acts and step in trial.steps and trial.came <= count < trial.into:
            trials[n] = replace(trial, into=count)


def tells_how_many(lot: Lot, step: str) -> bool:
    """Whether an act tells how many are alive, so that no other number may stand in for the count."""
    meant = lot.batch.protocol.steps[lot.batch.protocol.index(step)]
    if meant.role.finds_out:
        return meant.survive is not None or bool(lot.under or _passed_over(lot, step))
    return meant.role.sets_going and bool(lot.under)


def _parted(lot: Lot, left: int) -> tuple[Lot, Lot]:
    """A lot in two: what an act is done to, and what is left for another day."""
    with_rest = share_out(lot.into, left, lot.count)
    return replace(lot, count=lot.count - left, went=lot.into - with_rest), replace(lot, count=left, went=with_rest)


def part_off(lot: Lot, count: int, name: str) -> tuple[Lot, Lot]:
    """A lot in two: the part of that name, so many, that goes through the same steps, and what stays."""
    part, stays = _parted(lot, lot.count - count)
    return replace(part, id=name, came={}), stays


def alike(one: Lot, other: Lot) -> bool:
    """Whether two lots are as far on: the same acts done, and both or neither counted since."""
    return set(one.done) == set(other.done) and one.under == other.under and one.going == other.going


def both(lot: Lot, other: Lot, step: str = "") -> Lot:
    """Two lots that are as far on in one; of a step done to both, `step`, how many went into it together."""
    done = dict(lot.done)
    if step:
        mine, theirs = done[step], other.done[step]
        there = None if mine.there is None or theirs.there is None else mine.there + theirs.there
        done[step] = replace(mine, count=mine.count + other.count, into=mine.into + theirs.into, there=there)
    return replace(
        lot,
        count=lot.count + other.count,
        went=lot.into + other.into,
        came=both_came(lot.came, other.came),
        done=done,
        looks=(*lot.looks, *(look for look in other.looks if look not in lot.looks)),
        notes=(*lot.notes, *(note for note in other.notes if note not in lot.notes)),
    )


def counted(lot: Lot, count: int, entry: Entry, trials: list[Trial]) -> Lot:
    """A lot of which so many were counted alive on a day between its acts; what an accident took teaches nothing."""
    if lot.under and lot.into > 0 and not is_accident(str(entry.data.get("reason", "")), False):
        trials.append(Trial(lot.batch.id, lot.under, lot.into, count, entry.on, entry.id))
    return replace(lot, count=count, under=(), went=None, going=False)


def bereft(lot: Lot, left: int, cause: str, entry: Entry, trials: list[Trial]) -> Lot:
    """A lot of which only so many are left: the loss teaches at the next count, unless it was an accident."""
    if is_accident(cause, left == 0):
        return replace(lot, count=left, went=max(left, lot.into - (lot.count - left)))
    if not left and lot.under:
        trials.append(Trial(lot.batch.id, lot.under, lot.into, 0, entry.on, entry.id))
    return replace(lot, count=left, went=lot.into)


def both_came(one: Mapping[str, int], other: Mapping[str, int]) -> Mapping[str, int]:
    """What came for the steps of two lots that are joined."""
    return {**one, **{step: one.get(step, 0) + count for step, count in other.items()}} if other else one


NAMED_LATE = frozenset(("cultivar", "from", "came"))
"""What of a graft is settled when its scions are cut, and not when its rootstocks are ordered."""
_BUYING = frozenset((Role.ORDER, Role.ARRIVE))


def overtaken(lot: Lot, step: str) -> bool:
    """Whether a step that follows this one, near or far, is recorded already."""
    protocol = lot.batch.protocol
    later = False
    for each in protocol.steps:
        if later and each.do in lot.done and step in protocol.before(each.do):
            return True
        later = later or each.do == step
    return False


def drying_kills(farm: Farm, lot: Lot) -> bool:
    """Whether the lot is seed that does not survive drying (acorns, chestnuts, pawpaw)."""
    return lot.batch.protocol.takes == SEED and farm.species_of(lot.batch.species).drying_kills


def part_id(lot_id: str, taken: Iterable[str]) -> str:
    """The next free name for a part of a lot: elder-27/1, then elder-27/2."""
    names = set(taken)
    number = 1
    while f"{lot_id}/{number}" in names:
        number += 1
    return f"{lot_id}/{number}"


def whole(value: object, default: int) -> int:
    """A count that an entry gives, or the default where it gives none that can be one."""
    return value if is_count(value) else default


def meant_otherwise(lot: Lot, batch: Batch) -> Lot:
    """A lot that has not begun, as the batch that it is now meant to be: what was told of steps that fall away goes."""
    steps = {step.do for step in batch.protocol.steps}

    def kept(told: Mapping[str, T]) -> dict[str, T]:
        return {do: value for do, value in told.items() if do in steps}

    looks = tuple(look for look in lot.looks if look.step in steps)
    return replace(
        lot, batch=batch, count=batch.count, held=kept(lot.held), later=kept(lot.later), dropped=kept(lot.dropped),
        came=kept(lot.came), looks=looks,
    )  # fmt: skip


def begun(lot: Lot, changes: Collection[str] = ()) -> str:
    """Why a lot can no longer be changed so, or nothing: of a graft that has only its rootstocks the cultivar can."""
    if lot.id != lot.batch.id:
        return f"it is a part of {lot.batch.id}"
    if lot.given_up is not None:
        return f"it was dropped on {lot.given_up}"
    named_late = bool(changes) and NAMED_LATE.issuperset(changes) and bool(lot.batch.protocol.onto)
    if not (named_late and all(lot.batch.protocol.role(step) in _BUYING for step in lot.done)) and lot.done:
        step, done = min(lot.done.items(), key=lambda item: (item[1].day, item[0]))
        return f"it has started: {step} was done on {done.day}"
    return ""
