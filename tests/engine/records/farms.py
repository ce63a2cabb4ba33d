"""A small farm with batches under propagation, lots in stock, needs and stock plants, and entries about them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from functools import cache
from typing import Any

import tomli

from engine.acts.action import Action
from engine.acts.find_in_stock import Ledger, open_ledger
from engine.farm.model import Farm
from engine.farm.reading import read_document
from engine.journal.entry import Entry
from engine.journal.store import standing
from engine.records.records import Records, apply
from engine.records.stock import Stock
from engine.schedule.nursery import Nursery, open_nursery
from tests.tui.farms import TINY

TODAY = date(2027, 1, 18)

STOCK = """
[[place]]
name = "standing ground"
[[place]]
name = "north bed"

[[stock]]
lot = "P1"
species = "Fictus ripensis"
form = "1 L pot"
place = "standing ground"
count = 50
[[stock]]
lot = "P2"
species = "Fictus ripensis"
cultivar = "Pale"
form = "bare root"
grade = "first"
place = "north bed"
count = 30

[[need]]
id = "FAIR"
species = "Fictus ripensis"
form = "1 L pot"
count = 20
by = 2027-04-10
[[need]]
id = "HALL"
species = "Fictus ripensis"
cultivar = "Pale"
count = 40
by = 2027-03-01
who = "the hall"
"""


@cache
def farm_of(more: str = STOCK) -> Farm:
    text = TINY + more
    reading = read_document(tomli.loads(text), text, "hollow.toml")
    assert reading.farm is not None
    assert not reading.problems, [str(p) for p in reading.problems]
    return reading.farm


def entry(n: int, kind: str, on: date = TODAY, device: str = "shed", **data: Any) -> Entry:
    """The n-th entry of all: written a minute after the one before it."""
    at = f"2027-01-18T{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}+00:00"
    return Entry(f"{device}-{n:05}", at, on, kind, data)


class Journal:
    """A journal in memory, with the actions of a grower."""

    def __init__(self, farm: Farm | None = None) -> None:
        self.farm = farm or farm_of()
        self.entries: list[Entry] = []

    def tell(self, kind: str, on: date = TODAY, device: str = "shed", **data: Any) -> Entry:
        made = entry(len(self.entries), kind, on, device, **data)
        self.entries.append(made)
        return made

    def take(self, action: Action) -> Entry:
        return self.tell(action.kind, action.on, **action.data)

    @property
    def records(self) -> Records:
        return apply(self.farm, standing(self.entries))

    @property
    def stock(self) -> Stock:
        return self.records.stock

    def watched(self) -> Records:
        """The records with every movement kept."""
        return apply(self.farm, standing(self.entries), watch=None)

    def ledger(self, on: date = TODAY, today: date = TODAY) -> Ledger:
        return open_ledger(self.farm, self.records, standing(self.entries), on, today)

    def nursery(self, on: date = TODAY) -> Nursery:
        return open_nursery(self.farm, apply(self.farm, [e for e in standing(self.entries) if e.on <= on]))


def held(stock: Stock) -> dict[tuple[str, str, str, str], int]:
    return {(h.lot, h.form, h.grade, h.place): h.count for h in stock.holdings}


def adds_up(stock: Stock) -> None:
    """All that ever came in of a plant is on hand or has left; nothing is below zero."""
    on_hand: Counter[tuple[str, str]] = Counter()
    for holding in stock.holdings:
        assert holding.count > 0, holding
        on_hand[holding.name.species, holding.name.cultivar] += holding.count
    assert set(on_hand) <= set(stock.flows)
    for plant, (came, went) in stock.flows.items():
        assert went >= 0
        assert came == on_hand[plant] + went, plant


def undone(entries: Sequence[Entry], which: Entry, n: int) -> list[Entry]:
    return [*entries, entry(n, "undo", which.on, of=which.id)]
