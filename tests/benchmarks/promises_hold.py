"""Whether every promise holds in 200,000 draws of the whole chain: `python -m tests.benchmarks.promises_hold`.

For the demo in spring and in autumn and three farms made up at random: each promise with the share of draws in which it
is kept, and in which one more would be. Wanted: the sureness between the two, within the error of sampling.
"""

from __future__ import annotations

from time import perf_counter

from tests.engine.needs.test_promises_hold import FARMS, held_to, offers
from tests.engine.needs.whole_chain import Chains

DRAWS = 200_000


def main() -> None:
    """Print every promise; raises AssertionError where one does not hold."""
    for name, make in FARMS.items():
        (nursery, plans), today = make()
        began = perf_counter()
        chains = Chains(nursery, plans, today, DRAWS, 7)
        for each in offers(nursery, plans, today):
            assert each.need.by is not None
            word = each.promise.free + each.promise.promised
            there = chains.there(each.need.species, each.need.by)
            kept, more = (there >= word).mean(), (there >= word + 1).mean()
            print(
                f"{name:18} {each.need.sure:.0%}  {word:5}  kept {kept:.4f}, one more {more:.4f}  {each.need.species}"
            )
        seen = held_to(nursery, plans, today, DRAWS)
        print(f"{name:18} {seen} promises hold; {perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()
