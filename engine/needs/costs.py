"""What a batch costs, where the farm gives prices: what must be bought for it, and the hours that it takes."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from engine.needs.prospect import Prospect
from engine.protocols.names import same_name
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass, replace

if TYPE_CHECKING:
    from engine.farm.model import Farm
    from engine.farm.prices import Price


@dataclass(frozen=True, slots=True)
class Cost:
    """What a batch costs: each part of it, and what would cost something too but has no price. In the farm's money."""

    parts: tuple[tuple[str, float], ...]
    unpriced: tuple[str, ...]
    currency: str = ""

    @property
    def total(self) -> float:
        """The sum of its parts, in the farm's money."""
        return sum(amount for _, amount in self.parts)

    def __add__(self, other: Cost) -> Cost:
        """Both batches together, part by part."""
        names = dict.fromkeys(name for name, _ in (*self.parts, *other.parts))
        mine, theirs = dict(self.parts), dict(other.parts)
        parts = tuple((name, mine.get(name, 0.0) + theirs.get(name, 0.0)) for name in names)
        return Cost(parts, tuple(dict.fromkeys((*self.unpriced, *other.unpriced))), self.currency)

    def says(self) -> str:
        """`costs 212 EUR: rootstocks 132, work 80; no price for pots`."""
        told = f"costs {self.sum_only()}"
        if len(self.parts) > 1:
            told += f": {', '.join(f'{name} {_money(amount)}' for name, amount in self.parts)}"
        return f"{told}; no price for {' and '.join(self.unpriced)}" if self.unpriced else told

    def sum_only(self) -> str:
        """`212 EUR`."""
        return f"{_money(self.total)} {self.currency}".rstrip()


@dataclass(frozen=True, slots=True)
class Costing:
    """What is needed to say what a batch by one way costs, however many are started.

    `left` is what the stock plants have of the material in that year, which is then not bought; None where none are
    kept.
    """

    farm: Farm
    prospect: Prospect
    material: str
    left: int | None
    year: int

    def after(self, other: Costing, taken: int) -> Costing:
        """The same where so many are started by the other first, which may cut from the same stock plants."""
        if self.left is None or (self.material, self.year) != (other.material, other.year):
            return self
        return replace(self, left=max(0, self.left - taken))

    def cost(self, count: int) -> Cost:
        """What so many started cost."""
        parts: dict[str, float] = {}
        unpriced: list[str] = []

        def buy(name: str, item: str, number: float, surely: bool = True) -> None:
            """So many of an item; `surely`: they must be bought, so that it is told where no price is known."""
            price = self._price(item)
            amount = None if price is None else self._amount(price, number)
            if number > 0 and amount is not None:
                parts[name] = parts.get(name, 0.0) + amount
            elif number > 0 and surely:
                unpriced.append(name)

        protocol = self.prospect.protocol
        ordered = protocol.first(Role.ORDER) is not None
        if protocol.onto and ordered:
            buy(protocol.onto, protocol.onto.removesuffix("s"), count)
        own = count if self.left is None else max(0, count - self.left)
        if protocol.onto or not ordered:  # cuttings and seed may be had from the hedge: only at a price
            buy(self.material, self.material.removesuffix("s"), own, bool(protocol.onto))
        else:
            buy(self.material, self.material.removesuffix("s"), count)
        potted = (k for k, step in enumerate(protocol.steps) if step.role is Role.POT_UP)
        buy("pots", "pot", sum(self.prospect.into(k, count) for k in potted))
        buy("work", "hour", self.prospect.hours(count) or 0.0)
        return Cost(tuple(parts.items()), tuple(unpriced), self.farm.currency)

    def _price(self, item: str) -> Price | None:
        """The price for the species, else the one for any."""
        species = self.farm.species_of(self.prospect.protocol.species)
        names = (species.latin, *species.common)
        mine = [price for price in self.farm.prices if price.item == item]
        own = (price for price in mine if price.species and any(same_name(price.species, name) for name in names))
        return next(own, None) or next((price for price in mine if not price.species), None)

    def _amount(self, price: Price, number: float) -> float | None:
        """What so many pieces cost; None where it is sold by weight and nobody knows what one weighs."""
        if price.kg is not None:
            weight = seed_kg(self.farm, self.prospect.protocol.species, number)
            return None if weight is None else price.amount * weight / price.kg
        units = number / (price.count or 1)
        return price.amount * (ceil(units) if price.whole else units)


def seed_kg(farm: Farm, species: str, count: float) -> float | None:
    """About how heavy so many seeds are, by the middle of the library's figures; None where that is not known."""
    per_kg = farm.species_of(species).seeds_per_kg
    return None if per_kg is None or sum(per_kg) <= 0 else count / (sum(per_kg) / 2)


def _money(amount: float) -> str:
    return f"{amount:,.0f}" if amount >= 100 else f"{amount:,.2f}"
