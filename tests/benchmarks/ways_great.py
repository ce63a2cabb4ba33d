"""Every way to have very many, alone and in two: `python -m tests.benchmarks.ways_great`.

For 100, 5,000 and 100,000 hazels on the demo farm: the seconds that the ways take, their pairs, and the fewest in two.
Wanted: 2 seconds in all, however many are asked for.
"""

from __future__ import annotations

from datetime import date
from time import perf_counter

from engine.farm.stock import Need
from engine.needs.stays_and_losses import losses_of
from engine.needs.ways import lean_splits, splits, ways
from engine.schedule.plan import Day
from tests.engine.needs.test_promises_hold import demo

TODAY, SURE = date(2027, 3, 2), 0.9


def main() -> None:
    """Print the seconds for each count."""
    nursery, plans = demo(TODAY)
    losses = losses_of(nursery.farm)
    for want in (100, 5_000, 100_000):
        began = perf_counter()
        found = ways(Day(nursery, plans, TODAY), Need("", "Corylus avellana", "", "", want, None, SURE))
        alone = perf_counter() - began
        pairs = splits(want, found, losses)
        lean = lean_splits(want, pairs, losses, SURE)
        print(f"{want:7,}: {alone:.2f} s for {len(found)} ways, {perf_counter() - began:.2f} s with {len(lean)} in two")


if __name__ == "__main__":
    main()
