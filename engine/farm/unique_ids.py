"""Ids of a farm file: each stands once among all the kinds that share it, blanks, case and accents aside.

Batches and lots of the stock share their ids, for a batch is a lot as soon as anything of it is there; needs share
theirs with what the plantings ask for. What the file names comes before what is given a name here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from engine.farm.planting import Planting
from engine.protocols.names import plain
from engine.reading.table import Table

_REMEDY = "ids must be unique: change one"


def named(table: Table, key: str) -> str:
    """The id that a table gives itself, without blanks at its ends; "" where it gives none."""
    name = table.values.get(key)
    return name.strip() if isinstance(name, str) else ""


def given_ids(tables: Sequence[Table], key: str, letter: str, beside: Iterable[str] = ()) -> list[str]:
    """The id of each table: its own, else the letter and its number, or a later number where that is an id already."""
    own = [named(table, key) for table in tables]
    taken = {plain(name) for name in (*own, *beside)}
    found, spare = [], len(tables)
    for n, name in enumerate(own, 1):
        given = name or f"{letter}{n}"
        while not name and plain(given) in taken:
            spare += 1
            given = f"{letter}{spare}"
        taken.add(plain(given))
        found.append(given)
    return found


def had_twice(kinds: Iterable[tuple[str, str, Sequence[Table]]]) -> set[int]:
    """Note every id that is had twice among kinds that share it; the tables that are second, by their identity.

    Each kind is what it is called, the key of its id, and its tables.
    """
    first: dict[str, str] = {}
    second: set[int] = set()
    for what, key, tables in kinds:
        for table in tables:
            name = named(table, key)
            if not name:
                continue
            holder = first.setdefault(plain(name), f"{what}\n{id(table)}")
            if holder == f"{what}\n{id(table)}":
                continue
            other = holder.split("\n")[0]
            told = f'two {what} are called "{name}"' if other == what else f'one of the {other} is called "{name}" too'
            table.fault(key, told, _REMEDY)
            second.add(id(table))
    return second


def asked_by_plantings(needs: Sequence[Table], plantings: Iterable[Planting]) -> set[int]:
    """Note every need with the id of one that a planting asks for; the tables of those needs, by their identity."""
    planned = {plain(need.id): planting.name for planting in plantings for need in planting.needs()}
    found = set()
    for table in needs:
        if (planting := planned.get(plain(named(table, "id")))) is not None:
            table.fault("id", f'the planting {planting} asks for plants under the id "{named(table, "id")}"', _REMEDY)
            found.add(id(table))
    return found
