"""A plain simulation of every chain: what stands of a plant by a day, drawn act by act and place by place.

Nothing of the sums is used, nor of how lots, stays or waits are put to them. What is taken from the engine is what the
question is: the days on which the acts aim, where they are done, the share of each step with its spread, which
sowings are parts of one, and how many plants would tell as much as what batches of a method have in common.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from engine.needs.lots_in_common import kind_of, sowings
from engine.needs.stays_and_losses import losses_of
from engine.odds.batches_in_common import BINS, told_by
from engine.odds.lots_to_come import YEAR_DAYS
from engine.odds.rates import Rate
from engine.protocols.grades import saleable
from engine.records.rates import learned_for
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Plan
from tests.engine.odds.lots import shape

Steps = tuple[tuple[str, Rate], ...]


class Chains:
    """One run of many draws on a farm, from today on."""

    def __init__(self, nursery: Nursery, plans: Sequence[Plan], today: date, draws: int, seed: int) -> None:
        self.nursery, self.today, self.draws = nursery, today.toordinal(), draws
        self.rng = np.random.default_rng(seed)
        self.plans = {plan.lot.id: plan for plan in plans}
        self.named = sowings(nursery.farm, plans)
        self.events = {
            place: np.cumsum(self.rng.exponential(YEAR_DAYS / -np.log1p(-loss), (draws, 12)), axis=1)
            for place, loss in losses_of(nursery.farm).items()
        }
        self.luck: dict[str, np.ndarray] = {}
        self.shares: dict[str, dict[Steps, list[np.ndarray]]] = {}

    def there(self, species: str, by: date) -> np.ndarray:
        """How many plants of a species that can be sold stand on a day, in each draw."""
        total = np.zeros(self.draws, dtype=int)
        stock, until = self.nursery.records.stock, by.toordinal() - self.today
        going_on = {name for name, plan in self.plans.items() if self._steps(plan) is not None}
        for held in stock.holdings:
            key = (held.lot, held.form, held.grade, held.place)
            own = held.lot in going_on and stock.current.get(held.lot) == key
            sold = saleable(held.grade) and held.name.unit != "g" and not held.going
            if held.name.species == species and sold and not own:
                total += np.where(self._lost(held.place, 0, until), 0, held.count)
        for name in going_on:
            plan = self.plans[name]
            if plan.batch.species == species:
                total += self._raised(plan, until)
        return total

    def _steps(self, plan: Plan) -> Steps | None:
        """The steps of loss that are still to be lived through; None where nothing of the lot is to come."""
        protocol, lot = plan.batch.protocol, plan.lot
        to_come = [k for k in plan.chain.order if plan.step(k).do not in lot.done or plan.step(k).do in lot.under]
        if not to_come or lot.count <= 0:
            return None
        found = ((k, learned_for(self.nursery.track, protocol, plan.batch.cultivar, plan.step(k))) for k in to_come)
        return tuple((plan.step(k).do, learned.rate) for k, learned in found if learned is not None)

    def _raised(self, plan: Plan, until: int) -> np.ndarray:
        """What comes of one lot: thinned at each act, and lost whole where a place loses what stands in it."""
        steps, nothing = self._steps(plan), np.zeros(self.draws, dtype=int)
        to_come = [k for k in plan.chain.order if plan.step(k).do not in plan.lot.done]
        if steps is None or any(plan.now.aims[k] is None for k in to_come):
            return nothing
        if any(plan.missed(k, self.today) for k in range(len(plan.chain.spans))):
            return nothing
        aims = [
            (aim - self.today, n, k) for n, k in enumerate(plan.chain.order) if (aim := plan.now.aims[k]) is not None
        ]
        ready = max(aim + plan.chain.lasts[k].least for aim, _, k in aims)
        if ready > until:
            return nothing
        shares = dict(zip((do for do, _ in steps), self._shares(plan, steps), strict=True))
        left = np.full(self.draws, plan.lot.into)
        alive = np.ones(self.draws, dtype=bool)
        aims.sort()
        for n, (aim, _, k) in enumerate(aims):
            if (share := shares.get(plan.step(k).do)) is not None:
                left = self.rng.binomial(left, share)
            leaves = aims[n + 1][0] if n + 1 < len(aims) else until
            alive &= ~self._lost(self._where(plan, k), max(0, aim), leaves)
        return np.where(alive, left, 0)

    def _where(self, plan: Plan, k: int) -> str:
        """Where it stands after an act: where the book has it, for what is done."""
        key = self.nursery.records.stock.current.get(plan.lot.id)
        if key is not None and plan.step(k).do in plan.lot.done:
            return key[3]
        return self.nursery.farm.where(plan.batch, plan.step(k))

    def _lost(self, place: str, since: int, until: int) -> np.ndarray:
        if place not in self.events or until <= since:
            return np.zeros(self.draws, dtype=bool)
        return ((self.events[place] > since) & (self.events[place] < until)).any(axis=1)

    def _shares(self, plan: Plan, steps: Steps) -> list[np.ndarray]:
        """The share of each step: one for all parts of a sowing that have it to come; what those all have to come, by
        the luck of the method."""
        name = self.named.get(plan.batch.id, plan.batch.id)
        drawn = self.shares.setdefault(name, {})
        if steps not in drawn:
            common = self._common(name)
            if () not in drawn:
                drawn[()] = self._by_luck(kind_of(plan.batch.protocol), common)
            before = [self._beta(name, each) for each in steps[: len(steps) - len(common)]]
            drawn[steps] = [*before, *drawn[()]]
        return drawn[steps]

    def _common(self, name: str) -> Steps:
        """The last steps, which every part of a sowing has to come."""
        parts = [
            steps
            for plan in self.plans.values()
            if self.named.get(plan.batch.id, plan.batch.id) == name and (steps := self._steps(plan)) is not None
        ]
        common = 0
        while all(len(steps) > common for steps in parts) and len({steps[-common - 1 :] for steps in parts}) == 1:
            common += 1
        return parts[0][len(parts[0]) - common :]

    def _beta(self, name: str, step: tuple[str, Rate]) -> np.ndarray:
        known = self.shares[name].setdefault((step,), [])
        if not known:
            known.append(self._draw(step[1]))
        return known[0]

    def _draw(self, rate: Rate) -> np.ndarray:
        return np.full(self.draws, rate.mean) if rate.weight is None else self.rng.beta(*shape(rate), self.draws)

    def _by_luck(self, kind: str, steps: Steps) -> list[np.ndarray]:
        """The shares of the steps, those of one run of luck shuffled among the draws that have it."""
        shares = [self._draw(rate) for _, rate in steps]
        told = told_by(tuple(rate for _, rate in steps))
        if not told:
            return shares
        if kind not in self.luck:
            self.luck[kind] = self.rng.permutation(np.arange(self.draws) * BINS // self.draws)
        whole = np.prod(shares, axis=0)
        order = np.argsort(self.rng.binomial(told, whole) + self.rng.random(self.draws))  # ties as they fall
        by_bin = np.arange(self.draws) * BINS // self.draws
        taken = np.empty(self.draws, dtype=int)
        for n in range(BINS):
            taken[self.luck[kind] == n] = self.rng.permutation(order[by_bin == n])
        return [share[taken] for share in shares]
