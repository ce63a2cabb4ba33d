"""Whether what a batch raises stands the coldest night of the site."""

from __future__ import annotations

from engine.farm.model import Batch, Farm
from engine.reading.units import say_cold


def too_tender(farm: Farm, batch: Batch) -> str:
    """Why the plants of a batch would die here outdoors; "" where they stand the cold, or it is not known.

    A batch that has a place of its own under cover is taken to be kept from the cold there.
    """
    coldest, hardy = farm.site.coldest, farm.species_of(batch.species).hardy_c
    if coldest is None or hardy is None or coldest >= hardy or (batch.place and farm.under_cover(batch.place)):
        return ""
    bears, here = say_cold(hardy, farm.units), say_cold(coldest, farm.units)
    return f"{farm.plant(batch.species)} is hardy to {bears}, and the coldest night here is {here}"


REMEDY = "give the batch a place under cover, or raise a hardier plant; coldest in [site] is the year's coldest night"
