"""What share comes through a step: a mean, and how far batches differ, learned from the grower's own records.

Batches differ more than the plants within one do, so a batch is one look at the rate however many plants it held. The
estimator is Kleinman's (1973, "Proportions with extraneous variance: single and independent samples", J. Am. Stat.
Assoc. 68), by moments: a batch of n counts n / (n + weight) of a look, and the scatter that chance alone would give
is taken off before the rest is called a difference between batches. The book's figure stands in it as so many batches
more, as in the normal model with a conjugate prior (Gelman et al. 2013, "Bayesian data analysis", section 3.3): no
records give the book again, many leave nothing of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, isfinite, lgamma

from engine.odds.likely_range import likely_range
from engine.odds.ranges import MOST_WEIGHT, least_weight, weight_of
from engine.reading.frozen import dataclass

BOOK_BATCHES = 3.0
"""How many batches a figure of a book's, or of kindred plants, is worth (common practice: two or three)."""


@dataclass(frozen=True, slots=True)
class Rate:
    """The share that comes through a step: 0 to 1, and how many plants its certainty is worth.

    The next batch's share is a beta with a = mean * weight and b = (1 - mean) * weight; no weight: known exactly.
    `common` is the part of that spread, 0 to below 1, which all batches have in common because the mean itself is not
    known; the rest is what batches differ by. Raises ValueError outside 0 to 1, or for a weight that is not above 0.
    """

    mean: float
    weight: float | None = None
    common: float = 0.0

    def __post_init__(self) -> None:
        if not 0 <= self.mean <= 1:
            raise ValueError(f"a rate is from 0 to 1, not {self.mean:g}")
        if self.weight is not None and not (self.weight > 0 and isfinite(self.weight)):
            raise ValueError(f"a rate is worth more than 0 observations, not {self.weight:g}")
        if not 0 <= self.common < 1:
            raise ValueError(f"a rate shares from 0 to below 1 of its spread, not {self.common:g}")

    @property
    def known(self) -> bool:
        """Whether every batch has this share: nothing to be unsure of."""
        return self.weight is None or self.mean in (0, 1)

    def over(self, times: float) -> float:
        """The chance that one plant comes through so many times (0 or more; years, say), the share the same each time:
        E[p ** times]."""
        if self.known or self.weight is None:
            return float(self.mean**times)
        a, w = self.mean * self.weight, self.weight
        return exp(lgamma(a + times) - lgamma(a) - lgamma(w + times) + lgamma(w))


def expected_share(rates: Sequence[Rate]) -> float:
    """The share that comes through all the steps on the whole, 0 to 1."""
    share = 1.0
    for rate in rates:
        share *= rate.mean
    return share


def book_rate(mean: float, runs: tuple[float, float], worth: float = BOOK_BATCHES) -> Rate:
    """A book's figure: the mean, and the range that nine batches of ten run, from farm to farm and year to year.

    That spread holds both what is not known of the mean here, which is as good as known from `worth` batches, and what
    batches differ by.
    """
    return Rate(mean) if mean in (0, 1) else Rate(mean, weight_of(mean, *runs), 1 / (1 + worth))


@dataclass(frozen=True, slots=True)
class Went:
    """One batch at one step: how many went in, how many came through. Raises ValueError where that cannot be."""

    through: float
    into: int

    def __post_init__(self) -> None:
        if not 0 <= self.through <= self.into or self.into < 1:
            raise ValueError(f"{self.through:g} of {self.into} cannot have come through")


def as_by(record: Went, own: float, book: float) -> Went:
    """Another plant's batch as one of this plant would have been: as far from this one's book as it was from its own.

    Both books are means, 0 to 1; the distance is one of log odds, where 90 and 95 % are as far apart as 10 and 5 are.
    Half a plant is added to either side, so that a batch of which all or none came is a finite way off.
    """
    if own == book or not (0 < own < 1 and 0 < book < 1):
        return record
    odds = (record.through + 0.5) / (record.into - record.through + 0.5) * book / (1 - book) * (1 - own) / own
    return Went(record.into * odds / (1 + odds), record.into)


@dataclass(frozen=True, slots=True)
class Learned:
    """A rate with what it rests on: the grower's own batches, those of kindred plants, and the book's figure."""

    rate: Rate
    batches: int
    kindred: int
    book: float

    def says(self, what: str) -> str:
        """In words: "your elder hardwood: 71 % (a batch runs 48 to 89), from 3 batches; published 80"."""
        mean = f"{self.rate.mean * 100:.0f} %"
        low, high = (round(bound / 10) for bound in batch_runs(self.rate, 1000))
        runs = "" if self.rate.known else f" (batches {low} to {high})"
        if not self.batches and not self.kindred:
            return f"{what}: {mean}{runs}, by the library; no batch of yours yet"
        own = f"{self.batches} batch{'' if self.batches == 1 else 'es'}"
        more = f" and {self.kindred} of related plants" if self.kindred else ""
        if not self.batches:
            own, more = f"{self.kindred} batch{'' if self.kindred == 1 else 'es'} of related plants", ""
        return f"your {what}: {mean}{runs}, from {own}{more}; library {self.book * 100:.0f} %"


def batch_runs(rate: Rate, count: int, share: float = 0.9) -> tuple[int, int]:
    """Between which counts the next batch of `count` comes out, in `share` of batches."""
    return likely_range(count, rate.mean, MOST_WEIGHT if rate.weight is None else rate.weight, share)


def learn(book: Rate, levels: Sequence[Sequence[Went]], worth: float = BOOK_BATCHES) -> Learned:
    """The rate from the book and the grower's records, one Went a batch.

    `levels` run from the widest to the plant itself (genus, species and method, cultivar), each without the records of
    the narrower ones: no batch counts twice. Each level's rate is the next one's book, worth `worth` batches; so a
    cultivar of k batches holds to its own by about k / (k + worth), and leans on its species for the rest.
    """
    rate = book
    for level in levels:
        rate = learned_rate(rate, level, worth)
    own = len(levels[-1]) if levels else 0
    return Learned(rate, own, sum(len(level) for level in levels) - own, book.mean)


def learned_rate(book: Rate, records: Sequence[Went], worth: float = BOOK_BATCHES) -> Rate:
    """The rate of the next batch from the records, the book's rate standing as `worth` batches more (above 0).

    For the variance v between batches the next batch's is v * (1 + 1 / looks): the mean is not known exactly either.
    The book's own spread is taken to hold both. The spread is never wider than ignorance (`least_weight`): one batch
    that failed whole says little of how often that happens.
    """
    if not worth > 0:
        raise ValueError(f"what the library says is worth more than 0 batches, not {worth:g}")
    if not records:
        return book
    book_variance = 0.0 if book.known or book.weight is None else book.mean * (1 - book.mean) / (book.weight + 1)
    book_between = book_variance / (1 + 1 / worth)
    weight = MOST_WEIGHT if book.weight is None else book.weight
    mean = book.mean
    for _ in range(200):
        looks = [r.into / (r.into + weight) for r in records]
        total = worth + sum(looks)
        mean = (worth * book.mean + sum(k * r.through / r.into for k, r in zip(looks, records, strict=True))) / total
        whole = mean * (1 - mean)
        if whole <= 0:
            return Rate(mean)
        least = least_weight(mean)
        scatter = sum(
            k * ((r.through / r.into - mean) ** 2 - whole * weight / (weight + 1) / r.into)
            for k, r in zip(looks, records, strict=True)
        )
        between = (worth * (book_between + (book.mean - mean) ** 2) + max(0.0, scatter)) / total
        new = min(MOST_WEIGHT, max(least, whole / max(between * (1 + 1 / total), 1e-12) - 1))
        if abs(new - weight) <= 1e-9 * weight:
            break
        weight = (new * weight) ** 0.5
    return Rate(mean, max(weight, least_weight(mean)), 1 / (1 + total))
