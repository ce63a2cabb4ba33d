"""What must be bought in or got ready for the batches under way: rootstocks, seed, scions, pots; by when; what came."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from engine.almanac.almanac import date_of
from engine.farm.model import Farm
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan

POTS = "pots"
AHEAD = 14
"""Days before they are used by which pots and scions should be ordered (common practice)."""
STATES = ("to order", "ordered", "arrived")


@dataclass(frozen=True, slots=True)
class OrderPart:
    """One lot's part of an order."""

    lot: str
    plant: str
    count: int
    order_by: date | None
    best_by: date | None
    """Later is allowed but poorer."""
    wanted: date | None
    """When it is to be there."""
    state: str
    came: int = 0
    note: str = ""
    step: str = ""
    """The step that says it came; of what is no plant, the one that it is bought for."""

    @property
    def to_order(self) -> int:
        """How many are still to be ordered."""
        return max(0, self.count - self.came) if self.state == STATES[0] else 0

    @property
    def short(self) -> int:
        """How many fewer came than were ordered; below 0, how many more."""
        return self.count - self.came if self.state == STATES[2] else 0

    @property
    def said_came(self) -> str:
        """`52 came, 3 short`; nothing where none did."""
        over = f", {self.short} short" if self.short > 0 else f", {-self.short} over" if self.short < 0 else ""
        return f"{self.came} came{over}" if self.came else ""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One thing to be bought for one kind of plant, summed over the lots that need it."""

    item: str
    plant: str
    parts: tuple[OrderPart, ...]
    rootstock: str = ""
    """Which rootstocks, where the batches say so."""

    @property
    def named(self) -> str:
        """What to ask for: `rootstocks, Quince A`."""
        return f"{self.item}, {self.rootstock}" if self.rootstock else self.item

    @property
    def count(self) -> int:
        """How many are wanted in all."""
        return sum(part.count for part in self.parts)

    @property
    def to_order(self) -> int:
        """How many are still to be ordered."""
        return sum(part.to_order for part in self.parts)

    @property
    def came(self) -> int:
        """How many have come."""
        return sum(part.came for part in self.parts)

    @property
    def short(self) -> int:
        """How many fewer came than were ordered, of what has arrived; what came over elsewhere makes up for nothing."""
        return sum(max(0, part.short) for part in self.parts)

    @property
    def order_by(self) -> date | None:
        """The first day by which something of it must be ordered; None where all is ordered, or nothing says."""
        return min((p.order_by for p in self.parts if p.state == STATES[0] and p.order_by), default=None)

    @property
    def state(self) -> str:
        """How far the part is that is furthest behind."""
        return min((part.state for part in self.parts), key=STATES.index)


def order_lines(nursery: Nursery, plans: Sequence[Plan]) -> tuple[OrderLine, ...]:
    """Everything to be bought for lots under way, what is to be ordered first at the top; what was used is left out."""
    found: dict[tuple[str, str, str], list[OrderPart]] = {}
    for plan in plans:
        if plan.lot.count <= 0 or not plan.now.fits:
            continue
        for item, plant, part in (*_ordered(nursery.farm, plan), *_scions(nursery.farm, plan), *_pots(plan)):
            onto = plan.batch.rootstock if item == plan.chain.protocol.onto else ""
            found.setdefault((item, plant, onto), []).append(part)
    lines = [OrderLine(item, plant, tuple(parts), onto) for (item, plant, onto), parts in found.items()]
    lines.sort(key=lambda line: (line.order_by or date.max, STATES.index(line.state), line.named, line.plant))
    return tuple(lines)


def _ordered(farm: Farm, plan: Plan) -> list[tuple[str, str, OrderPart]]:
    """What a protocol's own step orders, until the act for which it came is done."""
    protocol = plan.chain.protocol
    k, arrive = protocol.first(Role.ORDER), protocol.first(Role.ARRIVE)
    if k is None:
        return []
    awaits = arrive if arrive is not None else k
    if any(plan.done(j) for j in plan.chain.follows(awaits)):
        return []
    came = None if arrive is None else plan.lot.done.get(plan.step(arrive).do)
    number = came.count if came else plan.lot.came.get(plan.step(k).do, 0)
    state = STATES[2] if number or came else STATES[1] if plan.done(k) else STATES[0]
    count = came.into if came else plan.lot.count if plan.done(k) else plan.count(k)
    aim = plan.now.aims[awaits]
    part = OrderPart(
        plan.lot.id, _plant(farm, plan), count, date_of(plan.now.latest[k]), date_of(plan.now.best_until[k]),
        date_of(aim), state, number, plan.batch.note, plan.step(awaits).do,
    )  # fmt: skip
    return [(protocol.onto or protocol.takes, farm.species_of(plan.batch.species).name, part)]


def _scions(farm: Farm, plan: Plan) -> list[tuple[str, str, OrderPart]]:
    """Scions and buds of which the farm keeps no stock plants, until they are collected."""
    batch, protocol = plan.batch, plan.chain.protocol
    k = protocol.first(Role.COLLECT)
    if not protocol.onto or k is None or plan.done(k):
        return []
    material = protocol.takes
    if any((m.species, m.cultivar, m.material) == (batch.species, batch.cultivar, material) for m in farm.stock_plants):
        return []
    wanted = date_of(plan.now.aims[k])
    by = None if wanted is None else wanted - timedelta(AHEAD)
    step = plan.step(k).do
    part = OrderPart(plan.lot.id, _plant(farm, plan), plan.count(k), by, None, wanted, STATES[0], step=step)
    return [(material, _plant(farm, plan), part)]


def _pots(plan: Plan) -> list[tuple[str, str, OrderPart]]:
    """Pots for what is to be potted up."""
    parts = []
    for k, step in enumerate(plan.chain.protocol.steps):
        aim = plan.now.aims[k]
        if step.role is Role.POT_UP and not plan.done(k) and aim is not None:
            wanted = date.fromordinal(aim)
            by = wanted - timedelta(AHEAD)
            count, came = plan.count(k), plan.lot.came.get(step.do, 0)
            state = STATES[2] if count and came >= count else STATES[0]
            parts.append((POTS, "", OrderPart(plan.lot.id, "", count, by, None, wanted, state, came, "", step.do)))
    return parts


def _plant(farm: Farm, plan: Plan) -> str:
    return farm.plant(plan.batch.species, plan.batch.cultivar)
