"""What a grower may record of the stock: each action is checked and gives the data of one entry, or is refused.

A count is checked against what is there now and, for a day gone by, against what was there on that day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from engine.acts.action import Action, Refused
from engine.acts.find_in_stock import Ledger, find_form, find_lot, find_place, find_species, say_holdings
from engine.acts.free_ids import new_lot
from engine.acts.going import counted_first, no_more_alive, on_its_way
from engine.protocols.forms import ends_as, so_many
from engine.protocols.grades import meets_grade
from engine.reading.frozen import dataclass
from engine.reading.limits import MOST_HELD, MOST_ROW
from engine.reading.problems import nearest
from engine.reading.units import say_length
from engine.records.records import part_id
from engine.records.rows import RowPart
from engine.records.stock import ORIGINS, Holding, Stock, say_given_up

# -- what is done


@dataclass(frozen=True, slots=True)
class Incoming:
    """So many of a plant that came in: `origin` one of ORIGINS, `source` whence; an empty lot gets a name."""

    lot: str
    species: str
    cultivar: str
    form: str
    place: str
    count: int
    grade: str = ""
    origin: str = "bought"
    source: str = ""
    unit: str = ""


def receive(ledger: Ledger, came: Incoming) -> Action:
    """So many came in, 1 to MOST_HELD. A lot that is there already takes more of the same plant.

    Raises Refused for counts beyond, names that are not known, and a lot of that name that is another plant.
    """
    _whole(came.count, 1)
    if came.origin not in ORIGINS or came.origin in ("opening", "propagated"):
        given = [o for o in ORIGINS if o not in ("opening", "propagated")]
        raise Refused(f'what comes in is {", ".join(given)}, not "{came.origin}"', nearest(came.origin, given))
    name = came.lot.strip() or new_lot(ledger.now)
    latin = find_species(ledger, came.species)
    _not_given_up(ledger, name)
    known = ledger.now.names.get(name)
    if known is not None and (known.species, known.cultivar) != (latin, came.cultivar):
        plant = f"{known.species} {known.cultivar}".rstrip()
        raise Refused(f"lot {name} is {plant}, a different plant", "put what came in a lot of its own")
    data: dict[str, Any] = {
        "lot": name, "species": latin, "cultivar": came.cultivar.strip(), "form": find_form(ledger, came.form),
        "grade": came.grade.strip(), "place": find_place(ledger, came.place), "count": came.count,
        "origin": came.origin,
    }  # fmt: skip
    if came.source.strip():
        data["from"] = came.source.strip()
    if came.unit.strip():
        data["unit"] = came.unit.strip()
    return Action("receive", ledger.on, data)


def move(ledger: Ledger, held: Holding, count: int, to: str) -> Action:
    """So many went to another place. Raises Refused for more than there are, and where they stand there already.

    A part of what is on its way through its steps is split off first: what goes on elsewhere is a lot of its own.
    """
    data = _of(ledger, held, count)
    if count < held.count and on_its_way(ledger.records, held):
        told = f"{held.lot} is still under way: {count} of {held.count} moved elsewhere must be a lot of their own"
        raise Refused(told, f"split them off first (widger split {held.lot} {count}), then move that lot")
    target = find_place(ledger, to)
    if target == held.place:
        raise Refused(f"{held.lot} is at {target} already")
    return Action("move", ledger.on, {**data, "to": target})


def pot_up(ledger: Ledger, held: Holding, count: int, to_form: str, to: str = "") -> Action:
    """So many were potted up, or otherwise made another form, there or at another place.

    Raises Refused for more than there are, names that are not known, where nothing would change, and for what is going
    and not counted yet.
    """
    counted_first(ledger.records, held)
    data = _of(ledger, held, count)
    target = find_place(ledger, to) if to.strip() else held.place
    form = find_form(ledger, to_form)
    if (form, target) == (held.form, held.place):
        raise Refused(f"{held.lot} is already {ends_as(form)} there")
    return Action("pot_up", ledger.on, {**data, "to_form": form, "to": target})


def grade(ledger: Ledger, held: Holding, grades: Mapping[str, int]) -> Action:
    """So many of each grade; the rest stays as it is.

    Raises Refused where they are more than there are, and for what is going and not counted yet.
    """
    counted_first(ledger.records, held)
    if not grades or any(not name.strip() for name in grades):
        raise Refused("it needs grades", "such as first=40 second=15")
    for count in grades.values():
        _whole(count, 0)
    data = _of(ledger, held, sum(grades.values()))
    del data["count"]
    return Action("grade", ledger.on, {**data, "grades": {name.strip(): n for name, n in grades.items()}})


def sell(
    ledger: Ledger, held: Holding, count: int, to: str = "", need: str = "", unnamed: bool = False, kind: str = "sell"
) -> Action:
    """So many sold (or, by `kind`, given or planted out), to whom or where, and for which need.

    A lot whose name is doubtful goes only `unnamed`: never under its cultivar. Raises Refused for that, for more than
    there are, for what is going and not counted yet, and for a need that asks for another plant.
    """
    counted_first(ledger.records, held)
    data = _of(ledger, held, count)
    name = held.name
    if kind != "plant_out" and name.doubtful and name.cultivar and not unnamed:
        raise Refused(
            f"{held.lot} may not be sent as {name.cultivar}: name not certain",
            "verify it first, or let it go without its name (--unnamed)",
        )
    if to.strip():
        data["to"] = to.strip()
    if unnamed:
        data["unnamed"] = True
    if need.strip():
        found = next((n for n in ledger.farm.needs if n.id.lower() == need.strip().lower()), None)
        if found is None:
            raise Refused(f'no need is called "{need}"', nearest(need, [n.id for n in ledger.farm.needs]))
        plant = f"{found.species} {found.cultivar}".rstrip()
        sure = name.cultivar if not (name.doubtful or unnamed) else ""
        if found.species != name.species or found.cultivar not in ("", sure):
            raise Refused(f"{found.id} asks for {plant}; {held.lot} is not that, or not for certain")
        if not meets_grade(found.grade, held.grade):
            asked = f"asks for {found.grade}" if found.grade else "takes no culls"
            told = f"{found.id} {asked}; these of {held.lot} are {held.grade or 'not sorted'}"
            raise Refused(told, "change the need, or let them go without it")
        data["need"] = found.id
    return Action(kind, ledger.on, data)


def lose(ledger: Ledger, held: Holding, count: int, cause: str = "") -> Action:
    """So many lost, to a cause. Raises Refused for more than there are."""
    data = _of(ledger, held, count)
    return Action("lose", ledger.on, {**data, "cause": cause.strip()} if cause.strip() else data)


def count(ledger: Ledger, held: Holding, counted: int, reason: str = "") -> Action:
    """So many counted.

    Raises Refused for a day since which the count has changed: it would undo that; and for more of what is going than
    went in, where one plant does not give several.
    """
    _whole(counted, 0)
    no_more_alive(ledger.records, held, counted)
    then = _there(ledger.then, held)
    if then != held.count:
        raise Refused(
            f"{held.lot} had {so_many(then, held.form)} at {held.place} on {ledger.on}, and has changed since",
            "count it as it is today",
        )
    data = {**_key(held), "count": counted}
    return Action("count", ledger.on, {**data, "reason": reason.strip()} if reason.strip() else data)


def split(ledger: Ledger, held: Holding, count: int, into: str = "") -> Action:
    """So many go on as a lot of their own. Raises Refused for more than there are, and a name that is taken."""
    data = _of(ledger, held, count)
    name = into.strip() or part_id(held.lot, ledger.now.names)
    if name in ledger.now.names:
        raise Refused(f'there is already a lot called "{name}"', "give it another name")
    return Action("split", ledger.on, {**data, "into": name})


def _not_given_up(ledger: Ledger, lot: str) -> None:
    """Raises Refused for a lot that was dropped: nothing comes to it."""
    if (when := ledger.now.given_up.get(lot)) is not None:
        raise Refused(f"{lot}: {say_given_up(when)}", "or put what came in a lot of its own")


def join(ledger: Ledger, lot: str, into: str) -> Action:
    """All of one lot goes into another of the same plant, and, under propagation, as far on.

    Raises Refused where they are different plants, one name is doubtful alone, one is further on, or nothing is there.
    """
    one, other = find_lot(ledger, lot), find_lot(ledger, into)
    first, second = ledger.now.names[one], ledger.now.names[other]
    if one == other:
        raise Refused("a lot cannot be joined to itself")
    _not_given_up(ledger, other)
    if (first.species, first.cultivar) != (second.species, second.cultivar):
        raise Refused(f"{one} and {other} are different plants")
    if first.doubtful != second.doubtful:
        unsure = one if first.doubtful else other
        raise Refused(f"the name of {unsure} is not certain, the other's is", "verify it first, or keep them apart")
    if ledger.on != ledger.today and sum(h.count for h in ledger.then.of(one)) != sum(
        h.count for h in ledger.now.of(one)
    ):
        raise Refused(f"{one} has changed since {ledger.on}", "join it as it is today")
    if not ledger.now.of(one):
        raise Refused(f"there is none of {one}")
    here, there = ledger.records.lot(one), ledger.records.lot(other)
    if here is not None and (there is None or set(here.done) != set(there.done)):
        raise Refused(f"{one} is still being propagated, and {other} is not at the same stage")
    return Action("join", ledger.on, {"lot": one, "into": other})


def doubt(ledger: Ledger, lot: str, reason: str = "") -> Action:
    """The lot's name has become doubtful: a label is lost. Raises Refused where it is so already."""
    name = find_lot(ledger, lot)
    if ledger.now.names[name].doubtful:
        raise Refused(f"the name of {name} is already marked as not certain")
    return Action("doubt", ledger.on, {"lot": name, "reason": reason.strip()} if reason.strip() else {"lot": name})


def verify(ledger: Ledger, lot: str, reason: str = "") -> Action:
    """The lot's name is sure again. Raises Refused where it was never doubtful."""
    name = find_lot(ledger, lot)
    if not ledger.now.names[name].doubtful:
        raise Refused(f"the name of {name} is already certain")
    return Action("verify", ledger.on, {"lot": name, "reason": reason.strip()} if reason.strip() else {"lot": name})


def row(ledger: Ledger, place: str, name: str, parts: Sequence[RowPart]) -> Action:
    """What stands in a row, from its fixed end, in metres; it replaces what was told of that row.

    No parts: it is empty. Raises Refused for a place or a lot that is not known, and lengths beyond 0 to MOST_ROW.
    """
    where = find_place(ledger, place)
    if not name.strip():
        raise Refused("it needs the row's name")
    lots: list[list[Any]] = []
    for part in parts:
        _whole(part.count, 0)
        if not 0 <= part.metres <= MOST_ROW:
            raise Refused(f"{say_length(part.metres, ledger.farm.units)} is not a possible length of a row")
        lots.append([find_lot(ledger, part.lot), part.metres, part.count])
    return Action("row", ledger.on, {"place": where, "row": name.strip(), "lots": lots})


# -- checks


def _key(held: Holding) -> dict[str, Any]:
    return {"lot": held.lot, "form": held.form, "grade": held.grade, "place": held.place}


def _of(ledger: Ledger, held: Holding, count: int) -> dict[str, Any]:
    """The data of so many of a holding. Raises Refused where there are, or on that day were, not so many."""
    _whole(count, 1)
    there = _there(ledger.now, held)
    if count > there:
        key = (held.form, held.grade, held.place)
        others = [h for h in ledger.now.of(held.lot) if (h.form, h.grade, h.place) != key]
        rest = f"; the rest: {say_holdings(others)}" if others else ""
        here = f"only {so_many(there, held.form)} at {held.place or 'no place'}"
        raise Refused(f"{count} of {held.lot} wanted, {here}{rest}")
    then = _there(ledger.then, held)
    if count > then:
        here = f"only {so_many(then, held.form)} at {held.place or 'no place'} on {ledger.on}"
        raise Refused(f"{count} of {held.lot} wanted, {here}", "give a later day")
    return {**_key(held), "count": count}


def _there(stock: Stock, held: Holding) -> int:
    key = (held.lot, held.form, held.grade, held.place)
    return sum(h.count for h in stock.holdings if (h.lot, h.form, h.grade, h.place) == key)


def _whole(count: int, least: int) -> None:
    if isinstance(count, bool) or not least <= count <= MOST_HELD:
        raise Refused(f"a count here must be {least} or more")
