"""The farm as its file says it: site, places, standing work, batches and protocols of its own."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from engine.almanac.almanac import Site
from engine.almanac.windows import Window
from engine.farm.planting import Planting
from engine.farm.stock import Need, Opening, StockPlant
from engine.protocols.model import Protocol, Species, Step
from engine.protocols.reading import Draft
from engine.reading.frozen import dataclass, field

if TYPE_CHECKING:
    from engine.farm.customers import Customer
    from engine.farm.prices import Price

# Where a farm does not list a place, these words of the library's are taken to be under cover (common practice).
UNDER_COVER = frozenset(
    ("cold store", "warm shelf", "propagation bench", "mist bench", "grafting bench", "cold frame", "potting shed")
)


@dataclass(frozen=True, slots=True)
class Place:
    """Where lots stand. `serves` lists the library's words for places that this one stands for."""

    name: str
    under_cover: bool
    serves: tuple[str, ...] = ()
    lot_loss_per_year: float | None = None
    room: tuple[str, ...] = ()
    """What it holds, in words that `engine/protocols/room.py` reads: `40 trays`, `12 m of row`."""
    years_seen: float = 0.0
    """For how many years lots have stood there, by the records."""
    losses_seen: int = 0
    """In how many of them a whole lot was lost to what befell the place."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Work that recurs by place and season, whatever is propagated."""

    do: str
    place: str
    window: Window
    every_days: int
    minutes: float
    once: bool = False
    """Once in its season: due from its opening until it is done."""
    index: int = -1
    """Which [[standing]] of the file it is, from 0; -1 where stock plants, stock or a planting ask for it."""
    plants: int = 0
    """To how many plants it is done, where it is care."""
    of: tuple[str, ...] = ()
    """Which those are, in words."""
    note: str = ""
    when_empty: bool = True
    """Whether it is done though nothing stands at its place."""


@dataclass(frozen=True, slots=True)
class Batch:
    """One lot of one species going through one protocol: nothing before `start`, done by `ready`."""

    id: str
    species: str
    cultivar: str
    method: str
    count: int
    start: date | None
    ready: date | None
    protocol: Protocol
    place: str = ""
    note: str = ""
    index: int = 0
    """Which [[batch]] of the file it is, from 0; -1 where it was added at the screen."""
    rootstock: str = ""
    """What it is grafted on, by name."""
    source: str = ""
    """From whom, or where, its seed or wood came; `from` in the file and the journal."""
    came: date | None = None
    """When that came."""
    places: tuple[tuple[str, str], ...] = ()
    """Where it stands instead of where its protocol says: the protocol's word, and the place. `protocol` has them."""


@dataclass(frozen=True, slots=True)
class Farm:
    """A farm file, read and checked."""

    file: str
    name: str
    site: Site
    units: str = "metric"
    week_starts: str = "monday"
    hours_by_month: tuple[float | None, ...] = (None,) * 12
    """Hours a week that there are, by month from January; None where the farm does not say."""
    places: tuple[Place, ...] = ()
    standing: tuple[Standing, ...] = ()
    batches: tuple[Batch, ...] = ()
    species: dict[str, Species] = field(default_factory=dict)
    opening: tuple[Opening, ...] = ()
    needs: tuple[Need, ...] = ()
    """Orders, and after them what the plantings ask for."""
    stock_plants: tuple[StockPlant, ...] = ()
    refinements: tuple[str, ...] = ()
    """What the farm's own protocols changed in the library's, in words, for `widger check`."""
    own: tuple[Draft, ...] = ()
    """The farm's own protocols, as its file writes them."""
    base: Farm | None = None
    """The farm before the journal added batches to it or changed some."""
    unset: Farm | None = None
    """The farm as its file says it, where the journal changes its places, prices or hours."""
    set_by: dict[object, tuple[Farm, tuple[str, ...]]] = field(default_factory=dict, compare=False, repr=False)
    """The farm as such entries leave it, and what of them cannot be: the same farm for the same entries."""
    found: dict[tuple[object, ...], Protocol] = field(default_factory=dict, compare=False, repr=False)
    """Protocols found for batches that are not in the file: what the same farm would find again."""
    plantings: tuple[Planting, ...] = ()
    prices: tuple[Price, ...] = ()
    currency: str = ""
    """What the prices are in, as the grower writes it."""
    customers: tuple[Customer, ...] = ()
    """Where orders go, by the name that needs bear."""

    registration: str = ""
    """Under which the grower is registered with their plant-health authority: it stands on a plant passport."""
    country: str = ""
    """Where what is raised here comes from, as a plant passport says it: two letters."""

    @property
    def written(self) -> Farm:
        """The farm as its file says it, with its places, prices and hours as they are set now."""
        return self.base or self

    @property
    def of_file(self) -> Farm:
        """The farm as its file says it, and nothing else."""
        return self.written.unset or self.written

    def same_ground(self, other: Farm) -> bool:
        """Whether another is of the same file, with the same places: what is dated here is dated so there."""
        return self.of_file is other.of_file and self.written.places == other.written.places

    def species_of(self, latin: str) -> Species:
        """The species of that Latin name; one with nothing but the name where none is known."""
        return self.species.get(latin) or Species(latin)

    def cautions_on(self, species: Species) -> tuple[str, ...]:
        """The cautions on a species, what the law of the farm's region says of it among them."""
        from engine.protocols.laws import lawful  # asked of one plant at a time, and not for the board

        return lawful(species, self.site.region).cautions

    def plant(self, species: str, cultivar: str = "") -> str:
        """What the grower calls it: the common name, and the cultivar."""
        return f"{self.species_of(species).name} {cultivar}".rstrip()

    def customer(self, name: str) -> Customer | None:
        """Where what is for that name goes; None where the file does not say."""
        return next((c for c in self.customers if c.name.lower() == name.lower()), None)

    def batch(self, batch_id: str) -> Batch | None:
        """The batch of that id; None where there is none."""
        return next((b for b in self.batches if b.id == batch_id), None)

    def place_for(self, word: str) -> str:
        """The farm's own place for a word of the library's."""
        own = next((p for p in self.places if p.name == word), None)
        serving = own or next((p for p in self.places if word in p.serves), None)
        return serving.name if serving else word

    def where(self, batch: Batch, step: Step) -> str:
        """Where a lot stands in a step: the step's own place, else the batch's; "" where neither says."""
        return self.place_for(step.place or batch.place)

    def under_cover(self, name: str) -> bool:
        """Whether a place is under cover: as the farm says, else as the library's word has it."""
        place = next((p for p in self.places if p.name == name), None)
        return place.under_cover if place else name in UNDER_COVER
