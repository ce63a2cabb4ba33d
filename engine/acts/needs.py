"""What a grower may record of needs: a new one, a change to one, and that it is withdrawn, or refused."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from engine.acts.action import Action, Refused
from engine.acts.batches import KEEP, _Keep, find_species
from engine.acts.free_ids import first_free
from engine.farm.model import Farm
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.protocols.grades import NO_CULLS, form_slip, grade_slip, saleable
from engine.protocols.names import plain
from engine.reading.frozen import dataclass, replace
from engine.reading.problems import nearest
from engine.records.needs import SURE, check_need, of_plantings
from engine.records.values import Unfit
from engine.schedule.nursery import Nursery


def new_need(nursery: Nursery, entries: Iterable[Entry], wanted: Need, on: date) -> Action:
    """A new need, its species by any of its names; `entries` are the journal's, for the ids it has used.

    Raises Refused for an id that is or was taken, a species that is not known, and counts, days and sureness that
    cannot be, each with the nearest good spelling or a remedy.
    """
    farm, name = nursery.farm, _words(wanted.id)
    if not name:
        raise Refused("a need needs an id", "such as HALE27: it goes on everything sold for it")
    for taken in _taken(nursery, entries):
        if plain(taken) == plain(name):
            raise Refused(f'"{taken}" has already been used', "give another id")
    if not wanted.species.strip():
        raise Refused("a need needs a species")
    species = find_species(farm, wanted.species)
    _fitting(wanted, on)
    _kind_fits(nursery, wanted)
    data: dict[str, Any] = {
        "need": name, "species": species.latin, "cultivar": _words(wanted.cultivar), "form": _words(wanted.form),
        "grade": _words(wanted.grade),
        "count": wanted.count, "by": wanted.by.isoformat() if wanted.by else None,
        "sure": None if wanted.sure == SURE else wanted.sure, "who": _words(wanted.who),
    }  # fmt: skip
    return Action("need", on, {key: value for key, value in data.items() if value not in ("", None)})


@dataclass(frozen=True, slots=True)
class NeedChange:
    """What is to change of a need; None takes its day away."""

    count: int | _Keep = KEEP
    by: date | _Keep | None = KEEP
    sure: float | _Keep = KEEP
    form: str | _Keep = KEEP
    grade: str | _Keep = KEEP
    cultivar: str | _Keep = KEEP
    who: str | _Keep = KEEP


def amend_need(nursery: Nursery, need: str, on: date, wanted: NeedChange) -> Action:
    """A change to a need.

    Raises Refused for what a planting asks for, and for what cannot be or would change nothing.
    """
    found = find_need(nursery.farm, need)
    asked: dict[str, Any] = {
        "count": wanted.count, "by": wanted.by, "sure": wanted.sure, "form": wanted.form, "grade": wanted.grade,
        "cultivar": wanted.cultivar, "who": wanted.who,
    }  # fmt: skip
    told: dict[str, Any] = {k: _words(v) if isinstance(v, str) else v for k, v in asked.items() if v is not KEEP}
    told = {key: value for key, value in told.items() if value != getattr(found, key)}
    if not told:
        raise Refused(f"nothing about {found.id} would change")
    meant = replace(found, **told)
    _fitting(meant, on, "by" in told)
    _kind_fits(nursery, meant)
    if isinstance(day := told.get("by"), date):
        told["by"] = day.isoformat()
    return Action("amend", on, {"need": found.id, **told})


def withdraw_need(nursery: Nursery, need: str, reason: str, on: date) -> Action:
    """A need that is withdrawn. Raises Refused for what a planting asks for, and where none is called so."""
    found = find_need(nursery.farm, need)
    told = {"reason": words} if (words := _words(reason)) else {}
    return Action("withdraw", on, {"need": found.id, **told})


def find_need(farm: Farm, name: str, planned: bool = False) -> Need:
    """The need of that id; a planting's own only where what is `planned` may be meant.

    Raises Refused with the nearest good spelling.
    """
    found = next((need for need in farm.needs if plain(need.id) == plain(name)), None)
    if found is None:
        raise Refused(f'no need is called "{name.strip()}"', nearest(name, [need.id for need in farm.needs]))
    if not planned and (planting := of_plantings(farm).get(found.id)) is not None:
        raise Refused(f"{found.id} belongs to the planting {planting}", "change the planting in the farm file")
    return found


def free_need_id(nursery: Nursery, entries: Iterable[Entry], name: str, day: date, mark: str = "") -> str:
    """An id that is free: the plant's name and the year, `hazel-28`, else `hazel-28b`, then `hazel-28c`."""
    first = f"{'-'.join(plain(name).split()) or 'need'}-{day.year % 100:02}"
    taken = {plain(each) for each in _taken(nursery, entries)}
    return first_free(first, taken, mark)


def _taken(nursery: Nursery, entries: Iterable[Entry]) -> list[str]:
    """Every id that a need bears or has borne."""
    farm = nursery.farm
    taken = [need.id for need in (*farm.needs, *farm.written.needs)]
    return taken + [str(entry.data.get("need", "")) for entry in entries if entry.kind == "need"]


def _kind_fits(nursery: Nursery, need: Need) -> None:
    """Raises Refused for culls, and for a form or a grade that is one letter off one that the farm has."""
    held = nursery.records.stock.holdings
    if need.grade and not saleable(need.grade):
        raise Refused(*NO_CULLS)
    forms = (*(one.form for one in held), *(batch.protocol.form for batch in nursery.farm.batches))
    grades = dict.fromkeys(one.grade for one in held if one.grade)
    for what, wanted, near in (
        ("form", need.form, form_slip(need.form, forms)),
        ("grade", need.grade, grade_slip(need.grade, grades)),
    ):
        if wanted and near:
            raise Refused(f'{what} "{wanted}" is not known', f'did you mean "{near}"?')


def _words(text: str) -> str:
    """A text in one line."""
    return " ".join(text.split())


def _fitting(need: Need, on: date, new_day: bool = True) -> None:
    """Raises Refused for a need that cannot be, and for a day that has passed where it is given now."""
    if need.by is not None and new_day and need.by < on:
        raise Refused(f"{need.by} has passed", f"give a day from {on} on, or none")
    try:
        check_need(need.count, need.by, need.sure)
    except Unfit as fault:
        raise Refused(str(fault)) from None
