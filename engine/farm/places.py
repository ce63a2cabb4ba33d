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


def unused_places(farm: Farm, besides: Iterable[str] = ()) -> list[str]:
    """Of each place that nothing stands or is done in, in words, with the places of the steps that it might serve for.

    Nothing where every place of the steps is one of the farm's own. `besides`: where something stands by the records.
    """
    stepped = [farm.where(batch, step) for batch in farm.batches for step in batch.protocol.steps]
    named = [*(o.place for o in farm.opening), *(p.place for p in farm.stock_plants), *(w.place for w in farm.standing)]
    used = {farm.place_for(name) for name in (*named, *besides) if name} | set(stepped)
    own = [place.name for place in farm.places]
    homeless = sorted({name for name in stepped if name and name not in own})
    if not homeless:
        return []
    might = ", ".join(homeless)
    return [
        f'nothing stands or is done in "{name}": add serves = ["{homeless[0]}"] if steps mean it by that ({might})'
        for name in own
        if name not in used
    ]
