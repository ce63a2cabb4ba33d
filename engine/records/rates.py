"""What share comes through each step, learned from the grower's own counts: by cultivar, species and method, genus.

One batch is one look at a rate, its parts together. Batches lost whole by accident (a mouse, a dead fridge) are none: a
place's yearly chance of loss says how often that happens.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from engine.farm.model import Batch
from engine.odds.rates import Learned, Rate, Went, as_by, book_rate, expected_share, learn
from engine.protocols.model import Protocol, Step
from engine.reading.frozen import dataclass, field
from engine.records.counts_teach import by_step
from engine.records.records import Records


@dataclass(frozen=True, slots=True)
class Act:
    """A step of a kind of plant by one method and route."""

    species: str
    cultivar: str
    method: str
    route: str
    do: str

    @property
    def genus(self) -> str:
        """The first word of the Latin name; nothing where there is none."""
        return self.species.split()[0] if self.species.split() else ""


@dataclass(frozen=True, slots=True)
class Track:
    """The grower's own results: for each act, how many went in and came through, a batch at a time."""

    went: Mapping[Act, tuple[Went, ...]] = field(default_factory=dict)
    _kin: Mapping[tuple[str, str, str], tuple[Act, ...]] = field(default_factory=dict)
    """The acts of a genus, by method and step."""
    books: Mapping[Act, float] = field(default_factory=dict)
    """What the book of each act says."""
    _learned: dict[tuple[Act, Rate], Learned] = field(default_factory=dict)

    def learned(self, act: Act, book: Rate) -> Learned:
        """The rate of the next batch: the book's, then that of the genus, the species by its method, the cultivar.

        What kindred plants teach is how far they came out from their own book: a willow that roots as well as its book
        says lifts no other.
        """
        key = (act, book)
        if key not in self._learned:
            genus: list[Went] = []
            species: list[Went] = []
            cultivar: list[Went] = []
            for other in self._kin.get((act.genus, act.method, act.do), ()):
                same = (other.species, other.route) == (act.species, act.route)
                own = self.books.get(other, book.mean)
                level = genus if not same else species if other.cultivar != act.cultivar else cultivar
                level += [went if level is cultivar else as_by(went, own, book.mean) for went in self.went[other]]
            self._learned[key] = learn(book, (genus, species, cultivar))
        return self._learned[key]

    def share(self, protocol: Protocol, cultivar: str, step: Step) -> float:
        """The share that is expected to come through a step, 0 to 1; 1 where nothing is lost in it."""
        if step.survive is None or (protocol.species.partition(" ")[0], protocol.method, step.do) not in self._kin:
            return 1.0 if step.survive is None else step.survive  # nobody's own: by the book, without working it out
        learned = learned_for(self, protocol, cultivar, step)
        return step.survive if learned is None else learned.rate.mean


def results_of(records: Records, until: date = date.max) -> dict[tuple[str, str], tuple[Batch, int, int]]:
    """By batch and step: how many went in and came out, as the counts up to a day taught; parts are one batch."""
    batches = {lot.batch.id: lot.batch for lot in (*records.joined, *records.lots)}
    sums: dict[tuple[str, str], tuple[Batch, int, int]] = {}
    for trial in records.trials:
        if (batch := batches.get(trial.batch)) is None or trial.day > until:
            continue
        for do, into, came in by_step(batch.protocol, trial):
            _, all_into, all_came = sums.get((batch.id, do), (batch, 0, 0))
            sums[batch.id, do] = (batch, all_into + into, all_came + came)
    return sums


def track_of(records: Records) -> Track:
    """What the journal tells of every batch, a batch one look at each of its steps."""
    went: dict[Act, list[Went]] = {}
    books: dict[Act, float] = {}
    acts: dict[tuple[int, str, str], Act] = {}
    for (_, do), (batch, into, came) in results_of(records).items():
        key = (id(batch.protocol), batch.cultivar, do)
        if (act := acts.get(key)) is None:
            act = acts[key] = act_of(batch.protocol, batch.cultivar, do)
            survive = batch.protocol.steps[batch.protocol.index(do)].survive
            if survive is not None:
                books[act] = survive
        went.setdefault(act, []).append(Went(min(came, into), into))
    kin: dict[tuple[str, str, str], list[Act]] = {}
    for act in went:
        kin.setdefault((act.genus, act.method, act.do), []).append(act)
    return Track({act: tuple(w) for act, w in went.items()}, {key: tuple(acts) for key, acts in kin.items()}, books)


def act_of(protocol: Protocol, cultivar: str, do: str) -> Act:
    """The act that a step of a protocol is, for plants of a cultivar."""
    return Act(protocol.species, cultivar, protocol.method, protocol.route, do)


def book_of(step: Step) -> Rate | None:
    """The protocol's own figure for a step; None where nothing is lost in it."""
    return None if step.survive is None or step.runs is None else book_rate(step.survive, step.runs)


def learned_for(track: Track, protocol: Protocol, cultivar: str, step: Step) -> Learned | None:
    """The rate of one step from the book and the grower's records; None where nothing is lost in it."""
    book = book_of(step)
    return None if book is None else track.learned(act_of(protocol, cultivar, step.do), book)


def rates_for(track: Track, protocol: Protocol, cultivar: str, steps: Iterable[Step]) -> tuple[Rate, ...]:
    """The rates of those of the steps that lose plants, in order."""
    found = (learned_for(track, protocol, cultivar, step) for step in steps)
    return tuple(learned.rate for learned in found if learned is not None)


@dataclass(frozen=True, slots=True)
class Shares:
    """What comes through a protocol's steps, by the book and the grower's own results."""

    learned: tuple[tuple[int, Learned], ...] = ()
    """By the number of the step, for those that lose plants; the first to be done first."""

    @property
    def rates(self) -> tuple[Rate, ...]:
        """The rates alone, in the order of the acts."""
        return tuple(learned.rate for _, learned in self.learned)

    @property
    def share(self) -> float:
        """The share that is expected through all steps, 0 to 1, whole lots lost aside."""
        return expected_share(self.rates)

    @property
    def book(self) -> float:
        """The same by the book alone."""
        return expected_share([Rate(learned.book) for _, learned in self.learned])

    @property
    def behind(self) -> tuple[int, int]:
        """How many own batches stand behind the share, and how many of kindred plants: the most at any step."""
        return (
            max((learned.batches for _, learned in self.learned), default=0),
            max((learned.kindred for _, learned in self.learned), default=0),
        )

    def says(self) -> str:
        """The share, and what stands behind it: `yours 71 % from 3 batches; published 80`."""
        own, kindred = self.behind
        share, book = f"{self.share * 100:.0f} %", f"{self.book * 100:.0f}"
        if not self.learned:
            return "no step of it is known to lose plants"
        if not own and not kindred:
            return f"{share} by the library; no batch of yours yet"
        if not own:
            return f"{share} from {_batches(kindred)} of related plants; library {book}"
        more = f" and {kindred} of related plants" if kindred else ""
        return f"yours {share} from {_batches(own)}{more}; library {book}"


def shares_of(track: Track, protocol: Protocol, cultivar: str, order: Iterable[int]) -> Shares:
    """The learned shares of a protocol's steps, in the order given by their numbers."""
    found = ((k, learned_for(track, protocol, cultivar, protocol.steps[k])) for k in order)
    return Shares(tuple((k, learned) for k, learned in found if learned is not None))


def _batches(count: int) -> str:
    return f"{count} batch{'' if count == 1 else 'es'}"
