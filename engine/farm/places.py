"""The places that a grower may mean: those the farm lists, those its work names, and those where something stands."""

from __future__ import annotations

from collections.abc import Iterable

from engine.farm.model import UNDER_COVER, Farm
from engine.protocols.names import same_name


def known_places(farm: Farm, besides: Iterable[str] = ()) -> list[str]:
    """Every place of the farm by its own name, and those `besides`."""
    names = [p.name for p in farm.places] + [word for p in farm.places for word in p.serves]
    names += [*besides, *(o.place for o in farm.opening), *(p.place for p in farm.stock_plants)]
    names += [step.place for b in farm.batches for step in b.protocol.steps] + [b.place for b in farm.batches]
    names += sorted(UNDER_COVER)
    return list(dict.fromkeys(farm.place_for(name) for name in names if name))


def place_named(farm: Farm, name: str, besides: Iterable[str] = ()) -> str | None:
    """The farm's own name for a place, case and accents aside; a word that a place serves for means that place."""
    words = [word for p in farm.places for word in (p.name, *p.serves)]
    return next((farm.place_for(w) for w in (*words, *known_places(farm, besides)) if same_name(w, name)), None)
