"""Read what a farm file says that things cost: an hour of work, stocks, seed, pots; only where a file has prices."""

from __future__ import annotations

from functools import lru_cache

import tomli

from engine.protocols import LIBRARY
from engine.reading.frozen import dataclass
from engine.reading.limits import MOST_HELD, MOST_PRICE
from engine.reading.table import Table
from engine.reading.units import OUNCE_KG, POUND_KG

HOUR = "hour"
BY_COUNT = {"each": 1, "hundred": 100, "thousand": 1000}
BY_WEIGHT = {"kg": 1.0, "g": 0.001, "lb": POUND_KG, "oz": OUNCE_KG}
"""Kilograms in each; for seed."""
PACKET = "packet"


@dataclass(frozen=True, slots=True)
class Price:
    """What one thing costs, for one species or (species "") for any: so much for each `unit` of it.

    A unit is so many pieces (`count`), so many kilograms of seed (`kg`), or a packet of so many seeds (`whole`: no part
    of one is sold).
    """

    item: str
    species: str
    amount: float
    count: float | None = None
    kg: float | None = None
    whole: bool = False


@lru_cache(maxsize=1)
def known_items() -> tuple[str, ...]:
    """What a price may be of, as `engine/library/prices.toml` has it."""
    return tuple(tomli.loads((LIBRARY / "prices.toml").read_text(encoding="utf-8"))["items"])


def read_price(table: Table) -> Price | None:
    """One [[price]] table: what it is of, and one of each, hundred, thousand; for seed also kg, g, lb, oz or packet."""
    if table.raw("item") is None:
        table.fault(None, '"item" is missing', f'add item = "rootstock"; it is one of {", ".join(known_items())}')
    item = table.choice("item", known_items())
    species = table.text("species") or ""
    known = (*BY_COUNT, *BY_WEIGHT, PACKET)
    given = {key: table.number(key, 0, MOST_PRICE) for key in known if table.has(key)}
    seeds = table.whole("seeds", 1, MOST_HELD, required=PACKET in given)
    table.finish()
    if item == HOUR and species:
        table.fault("species", "an hour costs the same for every species", "leave species out")
        return None
    if len(given) != 1:
        said = f"this one has {' and '.join(given)}" if given else "this one has none"
        table.fault(None, f"a price is for one of {', '.join(known)}; {said}", "write such as each = 1.2")
        return None
    if table.has("seeds") and PACKET not in given:
        table.fault("seeds", "seeds says how many are in a packet", "write packet = 3.5 and seeds = 200")
        return None
    (key, amount), *_ = given.items()
    if item is not None and key not in BY_COUNT and item != "seed":
        table.fault(key, f"only seed is sold by the {key}, not {item}", "write each = 1.2, or hundred = 95")
        return None
    if item is None or amount is None or (key == PACKET and seeds is None):
        return None
    if key == PACKET:
        return Price(item, species, amount, count=seeds, whole=True)
    if key in BY_WEIGHT:
        return Price(item, species, amount, kg=BY_WEIGHT[key])
    return Price(item, species, amount, count=BY_COUNT[key])


def read_prices(tables: list[Table]) -> list[tuple[Price, Table]]:
    """Every [[price]] of a file, with its table."""
    found: list[tuple[Price, Table]] = []
    for table in tables:
        price = read_price(table)
        if price is None:
            continue
        if any((price.item, price.species) == (other.item, other.species) for other, _ in found):
            of = f" of {price.species}" if price.species else ""
            table.fault("item", f"there are two prices for {price.item}{of}", "keep one of them")
            continue
        found.append((price, table))
    return found
