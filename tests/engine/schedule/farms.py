"""Ten-line farms for the worked examples: a site at 45 degrees, one protocol of its own, one batch, some entries."""

from __future__ import annotations

from datetime import date
from functools import cache

import tomli

from engine.farm.model import Farm
from engine.farm.reading import read_document
from engine.journal.entry import Entry
from engine.records.records import Lot, Records, apply
from engine.schedule.nursery import open_nursery
from engine.schedule.placing import Placement
from engine.schedule.plan import Plan, plan_lot
from engine.schedule.states import state

NORTH = (
    '[site]\nlatitude = 45.0\nlongitude = 5.0\ntimezone = "Europe/Paris"\nlast_frost = "04-24"\nfirst_frost = "10-14"\n'
)
SOUTH = (
    '[site]\nlatitude = -43.0\nlongitude = 172.0\ntimezone = "Pacific/Auckland"\n'
    'last_frost = "10-24"\nfirst_frost = "04-14"\n'
)
HEAD = '[[protocol]]\nspecies = "Arbor ficta"\nmethod = "seed"\nwhole = true\n'
COLD_THEN_SOW = """
[[protocol.step]]
do = "stratify cold"
lasts_days = [90, 120]
[[protocol.step]]
do = "sow"
opens = ["1 Apr"]
closes = ["12 May"]
"""


def day(text: str) -> date:
    return date.fromisoformat(text)


@cache
def farm(steps: str, start: str = "", ready: str = "", site: str = NORTH, count: int = 240) -> Farm:
    """A farm with the batch B of an invented tree, raised by these steps."""
    batch = f'[[batch]]\nid = "B"\nspecies = "Arbor ficta"\nmethod = "seed"\ncount = {count}\n'
    batch += (f"start = {start}\n" if start else "") + (f"ready = {ready}\n" if ready else "")
    text = site + HEAD + steps + batch
    reading = read_document(tomli.loads(text), text, "ten-lines.toml")
    assert not reading.problems, [p.message for p in reading.problems]
    assert reading.farm is not None
    return reading.farm


def entry(on: str, kind: str, step: str = "", batch: str = "B", **data: object) -> Entry:
    own = {"batch": batch, **({"step": step} if step else {}), **data}
    return Entry(f"{on} {kind} {step} {batch}", f"{on}T08:00:00+00:00", day(on), kind, own)


def planned(home: Farm, today: str, *entries: Entry, lot: str = "B") -> Plan:
    """The plan of a lot on a day, after these entries."""
    records = apply(home, entries)
    assert not records.strays, records.strays
    nursery = open_nursery(home, records)
    return plan_lot(nursery, lot_of(records, lot), day(today))


def lot_of(records: Records, name: str = "B") -> Lot:
    lot = records.lot(name)
    assert lot is not None
    return lot


def iso(ordinal: int | None) -> str | None:
    return None if ordinal is None else date.fromordinal(ordinal).isoformat()


def dates(placement: Placement, which: str = "earliest") -> list[str | None]:
    return [iso(at) for at in getattr(placement, which)]


def states(plan: Plan, today: str, hours_a_week: float | None = None) -> list[str]:
    return [state(plan, k, day(today), hours_a_week) for k in range(len(plan.chain.spans))]


def told(plan: Plan) -> str:
    return " | ".join(plan.problems)
