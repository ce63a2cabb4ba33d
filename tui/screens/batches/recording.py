"""What the keys of the batches record: a new one, a change, the end of one, a note."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from engine.acts import propagation
from engine.acts.action import Action, Refused
from engine.acts.batches import GENERAL, KEEP, BatchChange, change_batch, places_of
from engine.farm.model import Farm
from engine.farm.protocols import ways_of
from engine.journal.entry import Entry
from engine.records.lots import NAMED_LATE, begun
from engine.schedule.nursery import Nursery
from engine.views.batches import BatchLine
from tui.forms.choice import ChoiceScreen
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_days import coming_day, day_of
from tui.typed_numbers import whole_of
from tui.typed_words import names_of
from tui.writing import attempt, write

if TYPE_CHECKING:
    from tui.screen import FarmScreen


def edit(screen: FarmScreen, line: BatchLine) -> None:
    """Change what a lot was meant to be, while it has not started; from then on, correct what was recorded of it."""
    today, lot, batch = screen.app.today, line.lot, line.lot.batch
    if begun(lot, NAMED_LATE):
        screen.action_mend()
        return

    def save(values: Values) -> None:
        count = whole_of(values["count"], "how many")
        start, ready = coming_day(values["start"], today), coming_day(values["ready"], today)
        came = day_of(values["came"], today) if values["came"] else None
        method, route = (
            KEEP if values[key] == was else values[key]
            for key, was in (("method", batch.method), ("route", batch.protocol.route))
        )
        names = names_of(values["places"])
        places = instead_in_order(there, names) if names != there else KEEP
        general = values["method"] in lacking and not screen.app.trying
        wanted = BatchChange(
            count, start, ready, values["cultivar"], method, route, places, values["rootstock"], values["from"], came,
            general,
        )  # fmt: skip

        def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
            return change_batch(nursery, lot.id, today, wanted)

        try:
            write(screen, make)
        except Refused as refusal:
            if not refusal.hint.endswith(GENERAL):
                raise
            lacking.append(values["method"])  # it may be a slip: it is asked once
            raise Refused(str(refusal), refusal.hint.replace(GENERAL, "save again for the general method")) from None

    lacking: list[str] = []
    farm = screen.app.house.farm
    there = places_of(farm, batch)
    since, until, arrived = (day.isoformat() if day else "" for day in (batch.start, batch.ready, batch.came))
    fields = [
        Field("count", "how many", str(batch.count)),
        Field("start", "nothing before (2027-03-09, 9 Mar, or empty)", since, day=True),
        Field("ready", "ready by (2028-04-15, 15 Apr, or empty)", until, day=True),
        Field("cultivar", "cultivar", batch.cultivar),
        Field("method", "method", batch.method),
        Field("route", "route (empty: the only one)", batch.protocol.route),
        Field("places", "places, in order", ", ".join(there)),
        Field("rootstock", "rootstock", batch.rootstock),
        Field("from", "from whom, or where, its seed or wood came", batch.source),
        Field("came", "when that came", arrived, day=True),
    ]
    told = f"it is raised by {_ways(farm, batch.species)}"
    screen.app.push_screen(FormScreen(f"Change: {line.plant} · {lot.id} · {line.title}", fields, save, told))


def _ways(farm: Farm, latin: str) -> str:
    """`seed (autumn sown under mesh; held cold), layering`: what may stand as method and route."""
    routes: dict[str, list[str]] = {}
    for way in ways_of(farm, latin):
        routes.setdefault(way.method, []).extend([way.route] if way.route else [])
    return ", ".join(f"{method} ({'; '.join(each)})" if each else method for method, each in routes.items())


def instead_in_order(there: tuple[str, ...], names: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """The places that others stand for in the list as it is typed. Raises Refused where the list is another length."""
    if len(names) != len(there):
        raise Refused(f"places: give {len(there)}, in order", ", ".join(there))
    return tuple((old, new) for old, new in zip(there, names, strict=True) if old != new)


def give_up(screen: FarmScreen, line: BatchLine) -> None:
    """Give up the whole lot, when that is chosen: to keep it stands first."""
    today, name = screen.app.today, line.lot.id
    if line.lot.given_up is not None:
        screen.tell(f"{name} was dropped on {line.lot.given_up}; u undoes the latest entry")
        return

    def chosen(choice: str | None) -> None:
        if choice == "lot":
            attempt(screen, lambda n, _: propagation.drop(propagation.find_lot(n.records, name), "", "", today))

    options = [("keep", "keep it"), ("lot", f"drop the whole lot {name}: {line.lot.count} {line.plant}")]
    screen.app.push_screen(ChoiceScreen(f"Drop: {line.plant} · {name}", options, "u undoes it"), chosen)


def note(screen: FarmScreen, line: BatchLine) -> None:
    today, name = screen.app.today, line.lot.id

    def save(values: Values) -> None:
        write(screen, lambda n, _: propagation.note(propagation.find_lot(n.records, name), values["text"], today))

    screen.app.push_screen(FormScreen(f"Note on {name} · {line.plant}", [Field("text", "note")], save))
