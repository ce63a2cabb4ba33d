"""How long 200 orders of 10 lines take to be allotted: `python -m tests.benchmarks.orders_200`.

A farm of 120 lots on hand, 120 batches under way and 2,000 needs of 200 customers. Measured: the stock allotted to
them, and the parcels made of it with their days. What is wanted: both in under a second. On a machine of two slow
cores, busy with other work: 0.8 s.
"""

from __future__ import annotations

import sys
from datetime import date, timedelta
from time import perf_counter

from engine.needs.allotment import allot
from engine.needs.dispatch import parcels
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, plan_all
from tests.benchmarks.needs_300 import KINDS, nursery_of, standing

ORDERS, LINES, LOTS = 200, 10, 120
TODAY = date(2027, 1, 10)
SECONDS = 1.0


def nursery() -> Nursery:
    """The farm of the run."""
    text = standing(LOTS, 100)
    for n in range(ORDERS * LINES):
        by = date(2027, 2, 1) + timedelta(n // LINES % 60)
        text += f'[[need]]\nid = "n{n}"\nspecies = "Bench{n * 7 % KINDS}"\ncount = {2 + n % 11}\nby = {by}\n'
        text += f'who = "customer {n // LINES}"\n'
    return nursery_of(text)


def main() -> int:
    """Print the measures; 1 where it takes too long."""
    home = nursery()
    plans = plan_all(home, TODAY)
    began = perf_counter()
    allotted = allot(Day(home, plans, TODAY))
    took = perf_counter() - began
    found = parcels(home, allotted, TODAY)
    whole = perf_counter() - began
    print(f"{len(allotted.needs)} lines allotted: {took:.2f} s; {len(found)} parcels made: {whole:.2f} s in all")
    good = whole < SECONDS and len(found) == ORDERS
    print("within the aim" if good else f"outside the aim: {ORDERS} orders of {LINES} lines in under {SECONDS:g} s")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
