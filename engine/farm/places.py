"""The places of a farm, as its file lists them, and those that a grower may mean; the hours that there are to work."""

from __future__ import annotations

from collections.abc import Iterable

from engine.farm.model import UNDER_COVER, Farm, Place
from engine.protocols.names import same_name
from engine.reading.limits import MOST_HOURS
from engine.reading.table import Table

MONTH_KEYS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


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
        f'nothing stands or is done in "{name}": steps name {might}; if it is one of these, write '
        f'serves = ["{homeless[0]}"] under its name'
        for name in own
        if name not in used
    ]


def unlisted_work(farm: Farm) -> list[str]:
    """Of the file's standing work what is done where the farm lists no place, in words; nothing where it lists none."""
    own = {place.name for place in farm.places}
    return [
        f'"{work.do}" is standing work of "{work.place}", which is not one of your places: it is put up only while '
        f"something stands there; add a [[place]] of that name, or change its place"
        for work in farm.standing
        if own and work.index >= 0 and farm.place_for(work.place) not in own
    ]


# -- as the file has them


def read_hours(head: Table) -> tuple[float | None, ...]:
    """Hours a week by month from January: one number for all, or a table by month; None where none are said."""
    value = head.raw("hours_per_week")
    if isinstance(value, dict):
        months = head.table("hours_per_week")
        assert months is not None
        hours = tuple(months.number(month, 0, MOST_HOURS) for month in MONTH_KEYS)
        months.finish()
        return hours
    return (head.number("hours_per_week", 0, MOST_HOURS),) * 12


def read_place(table: Table) -> Place | None:
    """One [[place]] table; None where it has no name."""
    name = table.text("name", required=True)
    under_cover = table.flag("under_cover")
    place = Place(
        name=name or "",
        under_cover=name in UNDER_COVER if under_cover is None else under_cover,
        serves=table.texts("serves") or (),
        lot_loss_per_year=table.number("lot_loss_per_year", 0, 1),
        room=_read_room(table),
    )
    table.finish()
    return place if name else None


def _read_room(table: Table) -> tuple[str, ...]:
    texts = table.texts("room")
    if not texts:
        return ()
    from engine.protocols.room import RoomFault, read_limits  # few places give it

    try:
        read_limits(texts)
    except RoomFault as fault:
        table.fault("room", f"room: {fault}", fault.hint)
        return ()
    return texts
