"""What the season and its own history make of what stands in stock: how soft it is, how exposed, what it lies in."""

from __future__ import annotations

from datetime import date, timedelta

from engine.almanac.almanac import Almanac
from engine.almanac.phrases import MarkBase, Phrase
from engine.farm.model import Farm
from engine.protocols.forms import is_pot
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass
from engine.records.lots import Lot
from engine.records.stock import Holding

YEAR = 370
"""So far back a mark of every year is sure to have come."""
SOFT_DAYS = 120
"""So long after it was set going under cover, growth is taken to be soft, until the leaves drop (common practice)."""
BEFORE_SWELL = 42
"""Days before buds swell from which what is set going under cover grows in the season to come."""
SWELLING_DAYS, LEAF_DAYS = 21, 70
"""So long after bud swell buds are swelling, and leaves young (common practice)."""
COOL_C, WARM_C = 8.0, 10.0
"""What lies no warmer than the one lies in the cold; no cooler than the other, in the warm (common practice)."""
COLD_STORE = "cold store"
"""What is laid there lies in the cold, whatever was recorded of it; a dry seed does not mind."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A holding on a day: under cover or not, growing or dormant, and since when buds swelled, in days."""

    under_cover: bool
    grown: int | None
    """Days since buds swelled; None while it is dormant."""
    soft: bool
    """Whether it was rooted, sown or grafted under cover this season."""
    unrooted: bool
    """Stuck, sown or grafted, and not counted alive yet."""
    this_year: bool
    """Whether it was set going, set out or potted since buds swelled."""
    lies: str
    """`cold` or `warm`, where something that lasts is on in it; else nothing."""
    form: str

    @property
    def potted(self) -> bool:
        """Whether it stands in pots."""
        return is_pot(self.form)


def swelled(almanac: Almanac, today: date) -> int | None:
    """The day (an ordinal) on which the buds swelled that grow now; None while a kind is dormant."""
    now = today.toordinal()
    swell, drop = (
        almanac.latest(Phrase(MarkBase(mark), 0, mark), now - YEAR, now) for mark in ("bud swell", "leaf drop")
    )
    return swell if swell is not None and (drop is None or drop < swell) else None


def standing(farm: Farm, almanac: Almanac, held: Holding, lot: Lot | None, today: date) -> Standing | None:
    """A holding as it stands on a day; None for what is no plant and lies in nothing: seed in a bag, scions."""
    since = _days_since_set_going(lot, today)
    place = farm.place_for(held.place)
    under_cover = farm.under_cover(place)
    lies = _lies(lot)
    if under_cover and place == farm.place_for(COLD_STORE) and held.form != "seed":
        lies = lies or "cold"  # bare roots and wood that were bought in, or lifted, and laid there
    if held.name.unit or (held.form in ("seed", "scion") and not lies):
        return None
    swell = swelled(almanac, today)
    return Standing(
        under_cover=under_cover,
        grown=None if swell is None else today.toordinal() - swell,
        soft=swell is not None and since is not None and since <= SOFT_DAYS and _rooted_under_cover(farm, lot, swell),
        unrooted=held.going,
        this_year=swell is not None and since is not None and today.toordinal() - since >= swell - BEFORE_SWELL,
        lies=lies,
        form=held.form,
    )


def below_ground(held: Holding, lot: Lot | None, today: date) -> bool:
    """Whether what was sown shows nothing yet."""
    since = _days_since_set_going(lot, today)
    return held.going and held.form == "seedling" and (since is None or since < SWELLING_DAYS)


def _lies(lot: Lot | None) -> str:
    """Whether a lot lies in the cold or in the warm, by what was begun in it last and has not ended."""
    if lot is None:
        return ""
    for step in reversed(lot.batch.protocol.steps):
        if step.endures and step.do in lot.done and lot.ended(step.do) is None:
            if step.role is Role.STRATIFY_COLD or (step.temperature_c and step.temperature_c[1] <= COOL_C):
                return "cold"
            if step.role is Role.STRATIFY_WARM or (step.temperature_c and step.temperature_c[0] >= WARM_C):
                return "warm"
    return ""


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
