"""A frosty night, a heat day, a gale or a power cut ahead: what it threatens, the tenderest first, and what to do.

What each stage bears, and what is done for it, stands in `engine/library/frost.toml`, `heat.toml`, `wind.toml` and
`power_cut.toml`, each figure with its source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from functools import lru_cache
from typing import Any

import tomli

from engine.acts.place_work import against
from engine.almanac.almanac import Almanac
from engine.almanac.phrases import MarkBase, Phrase
from engine.farm.layout import plants_of
from engine.needs.planting_outlook import book_bearing
from engine.protocols import LIBRARY
from engine.reading.frozen import dataclass
from engine.records.stock import Holding
from engine.schedule.nursery import Nursery
from engine.views.how_hardened import LEAF_DAYS, SWELLING_DAYS, YEAR, Standing, below_ground, standing

FROST, HEAT, WIND, POWER_CUT = "frost", "heat", "wind", "power cut"
HAZARDS = (FROST, HEAT, WIND, POWER_CUT)
IN_BLOOM = "in bloom"
BLOOM = "bloom"
"""A mark of the farm's own of this name dates the bloom instead of the days after bud swell."""


@dataclass(frozen=True, slots=True)
class Hazard:
    """What is coming: one of HAZARDS; of frost and heat the low or the high that is forecast (°C)."""

    kind: str
    celsius: float | None = None


@dataclass(frozen=True, slots=True)
class Exposed:
    """A lot, or what blooms in a planting, that is threatened: how many stand where, and what to do.

    `bears_c` is the frost or heat that it bears (°C); None where no figure says it.
    """

    lot: str
    species: str
    plant: str
    form: str
    place: str
    count: int
    bears_c: float | None
    stage: str
    do: str
    source: str = ""
    at_most: bool = False
    """Whether some of them only may be there: plants of an age to bloom that were not seen to bear."""


def tonight(nursery: Nursery, low_c: float, today: date) -> tuple[Exposed, ...]:
    """Every lot out in the open that bears less frost than `low_c` (°C), the tenderest first."""
    return threatened(nursery, Hazard(FROST, low_c), today)


def threatened(nursery: Nursery, hazard: Hazard, today: date) -> tuple[Exposed, ...]:
    """What a night or a day threatens, the tenderest first.

    Of frost: seed that lies in the ground bears any; so does what stands under cover. Bloom is told of plantings alone.
    """
    known, ahead = bears(hazard.kind), hazard.celsius
    ranks = {stage: n for n, stage in enumerate(known)}
    found = [*_lots(nursery, hazard.kind, today)]
    if hazard.kind == FROST:
        found += _in_bloom(nursery, today)
    if ahead is not None:
        cold = hazard.kind == FROST
        found = [e for e in found if e.bears_c is not None and (e.bears_c > ahead if cold else e.bears_c < ahead)]
    sign = -1 if hazard.kind == FROST else 1
    return tuple(
        sorted(found, key=lambda e: (sign * (e.bears_c or 0), _rank(ranks, e, hazard.kind), e.place.lower(), e.lot))
    )


def _rank(ranks: Mapping[str, int], exposed: Exposed, kind: str) -> int:
    """By the table's own order where it has no figures."""
    return ranks[exposed.stage] if kind in (WIND, POWER_CUT) else 0


def seen_to(nursery: Nursery, kind: str, today: date) -> frozenset[str]:
    """The places that were made ready for it today, by the records."""
    do = against(kind)
    return frozenset(place for did, place, on in nursery.records.worked if did == do and on == today)


def _lots(nursery: Nursery, kind: str, today: date) -> Iterator[Exposed]:
    farm, known = nursery.farm, bears(kind)
    lots = {lot.id: lot for lot in nursery.records.lots}
    for held in nursery.records.stock.holdings:
        species = farm.species_of(held.name.species)
        lot = lots.get(held.lot)
        stands = standing(farm, nursery.almanac_for(species.latin), held, lot, today)
        if stands is None or (kind != POWER_CUT and (stands.form == "seed" or below_ground(held, lot, today))):
            continue
        stage = _STAGES[kind](stands)
        if not stage:
            continue
        borne = [known[stage].get("bears_c"), species.hardy_c if kind == FROST else None]
        figures = [each for each in borne if each is not None]
        if not figures and kind == FROST:
            continue
        yield _exposed(nursery, held, max(figures, default=None), stage, known[stage])


def _exposed(
    nursery: Nursery, held: Holding, bears_c: float | None, stage: str, known: Mapping[str, Any]
) -> Exposed:  # fmt: skip
    farm, latin = nursery.farm, held.name.species
    return Exposed(
        held.lot, latin, farm.plant(latin, held.name.cultivar), held.form, farm.place_for(held.place), held.count,
        bears_c, stage, known["do"], known["source"],
    )  # fmt: skip


# -- what each threat does harm to


def _frost(stands: Standing) -> str:
    if stands.under_cover:
        return ""
    if stands.grown is None:
        return "pot" if stands.potted else "ground"
    if stands.soft:
        return "soft"
    return "swelling" if stands.grown <= SWELLING_DAYS else "leaf" if stands.grown <= LEAF_DAYS else "hardened"


def _heat(stands: Standing) -> str:
    if stands.grown is None or stands.lies == "cold":
        return ""
    if stands.under_cover:
        return "under cover"
    if stands.potted:
        return "pot"
    return _by_form(HEAT, stands) or ("ground" if stands.this_year else "")


def _wind(stands: Standing) -> str:
    if stands.under_cover:
        return "under cover" if stands.grown is not None and not stands.lies else ""
    if stands.potted:
        return "pot"
    if stands.grown is None:
        return ""
    return _by_form(WIND, stands)


def _power_cut(stands: Standing) -> str:
    if not stands.under_cover:
        return ""
    grows = stands.grown is not None
    if grows and stands.unrooted and (stands.form == "cutting" or (not stands.lies and stands.form != "seedling")):
        return "mist"  # also over bottom heat: leaves wilt long before their feet are cold
    if stands.lies == "warm" and stands.grown is not None and stands.grown > SWELLING_DAYS:
        return "warm season"
    return stands.lies


def _by_form(kind: str, stands: Standing) -> str:
    """The stage in which a form is for what is coming, as the library has it, or nothing."""
    return next((stage for stage, told in bears(kind).items() if stands.form in told.get("forms", ())), "")


_STAGES = {FROST: _frost, HEAT: _heat, WIND: _wind, POWER_CUT: _power_cut}


def _in_bloom(nursery: Nursery, today: date) -> Iterator[Exposed]:
    """What blooms in the plantings: plants that have borne, or are old enough to, a line for each kind."""
    farm, known = nursery.farm, bears(FROST)[BLOOM]
    for planting in farm.plantings:
        lives = nursery.records.plantings.get(planting.name, {})
        counts: dict[tuple[str, str], int] = {}
        unseen: set[tuple[str, str]] = set()
        for plant in plants_of(planting):
            life = lives.get(plant.id)
            if life is None or life.planted is None or life.state not in ("alive", "bearing"):
                continue
            years = book_bearing(farm, plant)
            age = (today - life.planted).days / 365.25
            if life.state == "bearing" or (years is not None and age >= years[1]):
                kind = (plant.species, plant.cultivar)
                counts[kind] = counts.get(kind, 0) + 1
                unseen |= set() if life.state == "bearing" else {kind}
        for (latin, cultivar), count in counts.items():
            species = farm.species_of(latin)
            days = species.bloom_days or (known["from_swell_days"], known["from_swell_days"] + known["for_days"])
            if _blooms(nursery.almanac_for(latin), today, *days):
                own = species.bloom_bears_c
                yield Exposed(
                    planting.name, latin, farm.plant(latin, cultivar), IN_BLOOM, planting.name, count,
                    known["bears_c"] if own is None else own, BLOOM, known["do"],
                    known["source"] if own is None else species.source.get("bloom_bears_c", ""),
                    at_most=(latin, cultivar) in unseen,
                )  # fmt: skip


def _blooms(almanac: Almanac, today: date, first: float, last: float) -> bool:
    """Whether a kind blooms on a day: from the farm's own mark where it has one, else by the days from bud swell."""
    own = BLOOM in almanac.mark_names()
    begins = Phrase(MarkBase(BLOOM), 0, BLOOM) if own else Phrase(MarkBase("bud swell"), round(first), BLOOM)
    begun = almanac.latest(begins, today.toordinal() - YEAR, today.toordinal())
    return begun is not None and today.toordinal() - begun <= last - first


@lru_cache(maxsize=len(HAZARDS))
def bears(kind: str = FROST) -> Mapping[str, Mapping[str, Any]]:
    """What each stage bears and what is done about it, as the library has it, with its source."""
    path = LIBRARY / f"{kind.replace(' ', '_')}.toml"
    known: dict[str, dict[str, Any]] = tomli.loads(path.read_text(encoding="utf-8"))
    return known
