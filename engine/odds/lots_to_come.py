"""Lots that are to come: how many, through which steps, where they stand, and with which others they hang together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import prod

from engine.odds.rates import Rate
from engine.reading.frozen import dataclass, replace

YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True)
class Stay:
    """Where a lot stands, from `since` to `until`, in days from today (0 or more)."""

    place: str
    until: float
    since: float = 0.0


@dataclass(frozen=True, slots=True)
class Coming:
    """A lot under way or in stock: how many it is now, the rates of the steps before it, and where it will stand.

    The stays reach to the date asked about and do not overlap. No stay: nothing takes it whole. Lots of one `batch` are
    its parts: they have one share in common, not each its own. Lots of one `kind`, one plant by one method, have in
    common what is not known of its mean. Without either a lot knows of no other. `waits` is where it stands once it is
    ready, without end: `until` makes a stay of that.
    """

    count: int
    rates: tuple[Rate, ...] = ()
    stays: tuple[Stay, ...] = ()
    batch: str = ""
    kind: str = ""
    waits: Stay | None = None

    def until(self, days: float) -> Coming:
        """The lot as it is so many days from today: it stands where it waits from the day it is ready."""
        if self.waits is None:
            return self
        stays, since = self.stays, self.waits.since
        if days > since:
            if stays and (stays[-1].place, stays[-1].until) == (self.waits.place, since):
                stays, since = stays[:-1], stays[-1].since
            stays = (*stays, Stay(self.waits.place, days, since))
        return replace(self, stays=stays, waits=None)


def stands(stays: Sequence[Stay], losses: Mapping[str, float]) -> float:
    """The chance, above 0 to 1, that nothing takes a lot whole in all its stays.

    `losses` gives the chance in a year, 0 to below 1, that a place loses whatever stands in it; ValueError beyond.
    """
    return prod(spared(losses, stay.place, stay.until - stay.since) for stay in stays)


def spared(losses: Mapping[str, float], place: str, days: float) -> float:
    """The chance that a place loses nothing whole for so many days."""
    loss = losses.get(place, 0.0)
    if not 0 <= loss < 1:
        raise ValueError(f"{place} loses a lot in a year with chance {loss:g}; from 0 to below 1 can be")
    return float((1 - loss) ** (max(0.0, days) / YEAR_DAYS))


def merged(lots: Sequence[Coming]) -> list[Coming]:
    """The lots with something in them; those that share all that comes to them as one lot: parts of a batch that are as
    far on and stand in the same places, and what is ready and stands there too."""
    found: dict[object, Coming] = {}
    for n, lot in enumerate(lots):
        if lot.count > 0:
            key = (lot.batch if lot.rates else "", lot.rates, lot.stays) if lot.batch or not lot.rates else n
            found[key] = replace(lot, count=lot.count + found[key].count) if key in found else lot
    return list(found.values())
