"""How long it takes to plan many batches of eight steps each: `python -m tests.benchmarks.plan_batches`.

Forty protocols with windows on frost, on light and on the calendar, a join of scion and rootstock, pairs of days and a
late aim; batches start on any day of two years, some ask to be ready instead, some have acts done. What is wanted:
5,000 batches in under three seconds, and a time for each batch that does not grow with their number.
"""

from __future__ import annotations

import sys
import tomllib
from datetime import date, timedelta
from time import perf_counter

from engine.farm.model import Batch, Farm
from engine.farm.reading import read_document
from engine.journal.entry import Entry
from engine.protocols.model import Protocol
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import plan_all
from engine.schedule.states import state

SIZES = (500, 1000, 2000, 5000)
SECONDS_FOR_LARGEST = 3.0
GROWTH = 1.5
TODAY = date(2027, 3, 10)
PROTOCOLS = 40

SITE = """
[farm]
name = "bench"
[site]
latitude = 45.0
longitude = 5.0
timezone = "Europe/Paris"
[site.last_frost]
"90%" = "04-08"
"50%" = "04-24"
"10%" = "05-10"
[site.first_frost]
"10%" = "09-28"
"50%" = "10-14"
"90%" = "10-30"
"""

GRAFT = """
[[protocol]]
species = "Bench{k}"
method = "bench graft"
whole = true
[[protocol.step]]
do = "collect scions"
after = []
opens = ["leaf drop + {weeks} weeks"]
closes = ["bud swell - 4 weeks"]
[[protocol.step]]
do = "lift stocks"
after = []
opens = ["leaf drop + {days} days"]
closes = ["bud swell"]
[[protocol.step]]
do = "graft"
after = [{{do = "collect scions", wait_days = [0, 75]}}, {{do = "lift stocks", wait_days = [0, 50]}}]
opens = ["bud swell - 8 weeks"]
closes = ["bud swell + {weeks} weeks"]
aim = "middle"
per_hour = 20
[[protocol.step]]
do = "callus"
wait_days = [0, 1]
lasts_days = [18, 28]
[[protocol.step]]
do = "line out"
opens = ["soil workable"]
closes = ["soil workable + 8 weeks"]
best_until = ["soil workable + 4 weeks"]
[[protocol.step]]
do = "check take"
wait_days = [30, 60]
[[protocol.step]]
do = "lift"
opens = ["leaf drop"]
closes = ["bud swell - 1 week"]
wait_days = 60
[[protocol.step]]
do = "grade"
wait_days = [0, 7]
"""

SEED = """
[[protocol]]
species = "Bench{k}"
method = "seed"
whole = true
[[protocol.step]]
do = "collect"
after = []
opens = ["day length falls to 14 h"]
closes = ["day length falls to 14 h + {wide} days"]
[[protocol.step]]
do = "clean"
wait_days = [0, 7]
[[protocol.step]]
do = "stratify warm"
lasts_days = [{days}, 60]
[[protocol.step]]
do = "stratify cold"
lasts_days = [90, 120]
aim = "late"
[[protocol.step]]
do = "sow"
opens = ["soil workable"]
closes = ["15 Jun"]
best_until = ["last frost (10%)"]
per_hour = 300
[[protocol.step]]
do = "harden off"
wait_days = [20, 40]
[[protocol.step]]
do = "lift"
opens = ["leaf drop"]
closes = ["ground freeze", "bud swell - 1 week"]
wait_days = 100
[[protocol.step]]
do = "grade"
wait_days = [0, 7]
"""


def protocols() -> tuple[Farm, list[Protocol]]:
    """A farm without batches and the protocols of the run."""
    text = SITE
    for k in range(PROTOCOLS):
        days, weeks, wide = 10 + k % 20, 2 + k % 6, 60 + k
        text += (GRAFT if k % 2 else SEED).format(k=k, days=days, weeks=weeks, wide=wide)
        method = "bench graft" if k % 2 else "seed"
        text += f'[[batch]]\nid = "b{k}"\nspecies = "Bench{k}"\nmethod = "{method}"\ncount = 1\nstart = 2026-09-01\n'
    reading = read_document(tomllib.loads(text), text, "bench.toml")
    assert reading.farm is not None
    assert not reading.problems, reading.problems
    return reading.farm, [b.protocol for b in reading.farm.batches]


def batches(kinds: list[Protocol], size: int) -> tuple[Batch, ...]:
    """So many batches: their starts lie over two years, every seventh asks for a day to be ready by."""
    made = []
    for n in range(size):
        protocol = kinds[n % len(kinds)]
        start = date(2025, 9, 1) + timedelta(n * 37 % 730)
        ready = date(2029, 1, 15) + timedelta(n * 11 % 365) if n % 7 == 0 else None
        from_day = None if ready else start
        made.append(Batch(f"b{n}", protocol.species, "", protocol.method, 100, from_day, ready, protocol, index=n))
    return tuple(made)


def entries(some: tuple[Batch, ...]) -> list[Entry]:
    """In every third batch the first act was done, ten days after its start."""
    written = "2026-01-01T00:00:00+00:00"
    return [
        Entry(b.id, written, on, "done", {"batch": b.id, "step": b.protocol.steps[0].do})
        for b in some
        if b.index % 3 == 0 and b.start is not None and (on := b.start + timedelta(10)) <= TODAY
    ]


def measure(farm: Farm, kinds: list[Protocol], size: int) -> tuple[float, float]:
    """Seconds to plan so many batches, and to ask after the state of every act, the almanac made anew."""
    some = batches(kinds, size)
    grown = Farm(farm.file, farm.name, farm.site, batches=some, species=farm.species)
    records = apply(grown, entries(some))
    began = perf_counter()
    nursery = open_nursery(grown, records)
    plans = plan_all(nursery, TODAY)
    planned = perf_counter()
    for plan in plans:
        for k in range(len(plan.chain.spans)):
            state(plan, k, TODAY, 14.0)
    told = perf_counter()
    assert len(plans) == size, f"{size - len(plans)} batches were not planned"
    return planned - began, told - planned


def main() -> int:
    """Print the measures; 1 where the largest takes too long or the time for each batch grows."""
    farm, kinds = protocols()
    measure(farm, kinds, 50)
    each: list[float] = []
    seconds = 0.0
    print("batches   plan s   ms each   states s")
    for size in SIZES:
        seconds, states = measure(farm, kinds, size)
        each.append(seconds / size)
        print(f"{size:7}  {seconds:7.3f}  {1000 * seconds / size:8.3f}  {states:9.3f}")
    print(f"time for each batch, largest run to smallest: {each[-1] / each[0]:.2f}")
    good = seconds < SECONDS_FOR_LARGEST and each[-1] / each[0] < GROWTH
    print("within the aim" if good else f"outside the aim: under {SECONDS_FOR_LARGEST:g} s and linear")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
