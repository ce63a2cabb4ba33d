"""What an action of the stock is checked against, and what it means: a holding, a lot, a place, a form, a species."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from engine.acts.action import Refused, not_to_come
from engine.farm.model import Farm
from engine.farm.places import known_places, place_named
from engine.farm.protocols import species_named
from engine.journal.entry import Entry
from engine.protocols.forms import known_forms, so_many
from engine.protocols.grades import form_slip
from engine.protocols.library import all_names
from engine.protocols.names import one_letter_off
from engine.reading.frozen import dataclass
from engine.reading.problems import nearest
from engine.records.records import Records, records_on
from engine.records.stock import Holding, Stock


@dataclass(frozen=True, slots=True)
class Ledger:
    """What an action is checked against: the farm, its records now, and the stock on the day the entry is about."""

    farm: Farm
    records: Records
    then: Stock
    on: date
    today: date

    @property
    def now(self) -> Stock:
        """The stock as it is on the day of the entry."""
        return self.records.stock


def open_ledger(farm: Farm, records: Records, entries: Sequence[Entry], on: date, today: date) -> Ledger:
    """The ledger for an entry about `on`; `entries` are those that stand. Raises Refused for a day to come."""
    not_to_come(on, today)
    return Ledger(farm, records, records_on(farm, records, entries, on).stock, on, today)


# -- what is meant


def find_holding(
    ledger: Ledger, lot: str, form: str | None = None, grade: str | None = None, place: str | None = None
) -> Holding:
    """The one holding of a lot that is meant; what is None may be left out where it is then the only one.

    Raises Refused for an unknown lot, form, grade or place, and where several holdings are meant.
    """
    name = find_lot(ledger, lot)
    held = ledger.now.of(name)
    if not held:
        raise Refused(f"there is none of {name}")
    found: Iterable[Holding] = held
    for what, wanted in (("form", form), ("grade", grade), ("place", place)):
        if wanted is not None:
            wanted = ledger.farm.place_for(wanted) if what == "place" else wanted
            found = [h for h in found if getattr(h, what).lower() == wanted.lower()]
            if not found:
                known = dict.fromkeys(getattr(h, what) or "(none)" for h in held)
                told = f'{name} has no {what} "{wanted}"; there are {say_holdings(held)}'
                raise Refused(told, near if (near := nearest(wanted, known)).startswith("did") else "")
    meant = list(found)
    if len(meant) > 1:
        raise Refused(f"{name} is held as {say_holdings(meant)}", "say which: its form, grade or place")
    return meant[0]


def find_counted(
    ledger: Ledger, lot: str, form: str | None = None, grade: str | None = None, place: str | None = None
) -> Holding:
    """The holding that a count is of: by a lot's name alone, of one under way what goes through its next acts.

    Raises Refused as `find_holding` does.
    """
    name = find_lot(ledger, lot)
    if form is None and grade is None and place is None and (key := ledger.now.current.get(name)) is not None:
        for held in ledger.now.of(name):
            if (held.lot, held.form, held.grade, held.place) == key:
                return held
    return find_holding(ledger, name, form, grade, place)


def find_lot(ledger: Ledger, lot: str) -> str:
    """The name of a lot, case aside. Raises Refused with the nearest good spelling."""
    names = ledger.now.names
    if lot in names:
        return lot
    same = next((name for name in names if name.lower() == lot.lower()), None)
    if same is None:
        raise Refused(f'no lot is called "{lot}"', nearest(lot, names))
    return same


def find_place(ledger: Ledger, place: str) -> str:
    """A place of the farm, by its own name. Raises Refused for one that it does not have, if it lists its places."""
    farm, name = ledger.farm, place.strip()
    if not name:
        raise Refused("it needs a place", "say where")
    held = [h.place for h in ledger.now.holdings]
    if (found := place_named(farm, name, held)) is not None:
        return found
    known = known_places(farm, held)
    if farm.places or any(one_letter_off(name, p) for p in known):
        raise Refused(f'no place is called "{place}"', nearest(place, known) or "add a [[place]] to the farm file")
    return name


def find_form(ledger: Ledger, form: str) -> str:
    """A form, new ones too; one letter off a known form is a slip. Raises Refused."""
    name = " ".join(form.split())
    if not name:
        raise Refused("it needs a form", f"such as {', '.join(tuple(known_forms())[:4])}, 1 L pot")
    known = dict.fromkeys((*known_forms(), *(h.form for h in ledger.now.holdings)))
    same = next((f for f in known if f.lower() == name.lower()), None)
    if same is None and (near := form_slip(name, known)):
        raise Refused(f'form "{form}" is not known', f'did you mean "{near}"?')
    return same or name


def find_species(ledger: Ledger, species: str) -> str:
    """The Latin name meant by a Latin or common name. One letter off a known name is a slip: raises Refused."""
    name = " ".join(species.split())
    if not name:
        raise Refused("it needs a species")
    if (found := species_named(ledger.farm, name)) is not None:
        return found.latin
    for one_name in (*all_names(), *(n.species for n in ledger.now.names.values())):
        if one_letter_off(name, one_name):
            raise Refused(f'species "{species}" is not known', f'did you mean "{one_name}"?')
    return name


def say_holdings(held: Iterable[Holding]) -> str:
    """`40 liners at nursery beds, 12 pots (first) at standing ground`."""
    return ", ".join(f"{so_many(h.count, h.form, h.grade)} at {h.place or 'no place'}" for h in held)
