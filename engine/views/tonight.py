"""A frosty night ahead: what stands exposed and bears less than the low that is forecast, the tenderest first."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from functools import lru_cache
from typing import Any

import tomli

from engine.almanac.almanac import Almanac
from engine.almanac.phrases import MarkBase, Phrase
from engine.farm.model import Farm
from engine.protocols import LIBRARY
from engine.reading.frozen import dataclass
from engine.records.lots import Lot
from engine.records.stock_book import Holding
from engine.schedule.nursery import Nursery

YEAR = 370
"""So far back a mark of every year is sure to have come."""
SOFT_DAYS = 120
"""So long after it was set going under cover, growth is taken to be soft, until the leaves drop (common practice)."""
BEFORE_SWELL = 42
"""Days before buds swell from which what is set going under cover grows in the season to come."""
SWELLING_DAYS, LEAF_DAYS = 21, 70
"""So long after bud swell buds are swelling, and leaves young (common practice)."""


@dataclass(frozen=True, slots=True)
class Exposed:
    """A lot that a night threatens: how many stand where, the frost they bear (°C), and what to do before dusk."""

    lot: str
    species: str
    plant: str
    form: str
    place: str
    count: int
    bears_c: float
    stage: str
    do: str


def tonight(nursery: Nursery, low_c: float, today: date) -> tuple[Exposed, ...]:
    """Every lot out in the open that bears less frost than `low_c` (°C), the tenderest first.

    Seed that lies in the ground bears any frost; so does what stands under cover. What is in bloom is not known.
    """
    lots = {lot.id: lot for lot in nursery.records.lots}
    found = []
    for held in nursery.records.stock.holdings:
        exposed = _exposed(nursery, held, lots.get(held.lot), today)
        if exposed is not None and exposed.bears_c > low_c:
            found.append(exposed)
    return tuple(sorted(found, key=lambda e: (-e.bears_c, e.place.lower(), e.lot)))


def _exposed(nursery: Nursery, held: Holding, lot: Lot | None, today: date) -> Exposed | None:
    farm = nursery.farm
    place = farm.place_for(held.place)
    species = farm.species_of(held.name.species)
    stage = "" if farm.under_cover(place) else stage_of(farm, nursery.almanac_for(species.latin), held, lot, today)
    known = bears()
    if not stage:
        return None
    borne = [each for each in (known[stage].get("bears_c"), species.hardy_c) if each is not None]
    if not borne:
        return None
    return Exposed(
        held.lot, species.latin, farm.plant(species.latin, held.name.cultivar), held.form, place, held.count,
        max(borne), stage, known[stage]["do"],
    )  # fmt: skip


def stage_of(farm: Farm, almanac: Almanac, held: Holding, lot: Lot | None, today: date) -> str:
    """What the season makes of a holding: soft, leaf, hardened, swelling, pot or ground; nothing for seed."""
    since = _days_since_set_going(lot, today)
    if held.form in ("seed", "scion") or held.name.unit:
        return ""
    if held.going and held.form == "seedling" and (since is None or since < SWELLING_DAYS):
        return ""  # still below ground
    now = today.toordinal()
    swell, drop = (
        almanac.latest(Phrase(MarkBase(mark), 0, mark), now - YEAR, now) for mark in ("bud swell", "leaf drop")
    )
    growing = swell is not None and (drop is None or drop < swell)
    if not growing or swell is None:
        return "pot" if "pot" in held.form else "ground"
    if since is not None and since <= SOFT_DAYS and _rooted_under_cover(farm, lot, swell):
        return "soft"
    grown = today.toordinal() - swell
    return "swelling" if grown <= SWELLING_DAYS else "leaf" if grown <= LEAF_DAYS else "hardened"


def _days_since_set_going(lot: Lot | None, today: date) -> int | None:
    """Days since the latest act that set a lot going, or potted it; None where there is none."""
    if lot is None:
        return None
    roles = {step.do: step.role for step in lot.batch.protocol.steps}
    days = [act.day for do, act in lot.done.items() if do in roles and roles[do].sets_going]
    return (today - max(days)).days if days else None


def _rooted_under_cover(farm: Farm, lot: Lot | None, swell: int) -> bool:
    """Whether a lot was sown, stuck or grafted under cover in the season that began on a day: its shoots are soft."""
    if lot is None:
        return False
    return any(
        step.role.leaves_going
        and step.do in lot.done
        and lot.done[step.do].day >= date.fromordinal(swell) - timedelta(BEFORE_SWELL)
        and farm.under_cover(farm.where(lot.batch, step))
        for step in lot.batch.protocol.steps
    )


@lru_cache(maxsize=1)
def bears() -> Mapping[str, Mapping[str, Any]]:
    """What each stage bears and what is done about it, as `engine/library/frost.toml` has it, with its source."""
    known: dict[str, dict[str, Any]] = tomli.loads((LIBRARY / "frost.toml").read_text(encoding="utf-8"))
    return known
