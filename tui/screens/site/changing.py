"""Change the farm from its site: places, prices and hours as entries, all else as lines for the grower's own file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from engine.acts.action import Action, say_refusal
from engine.acts.settings import remove_place, remove_price, rename_place, set_hours, set_place, set_price
from engine.farm.model import Farm, Place
from engine.farm.prices import HOUR, Price, known_items
from engine.reading.said import percent_given
from engine.records.settings import price_of as known_price
from engine.records.settings import said_hours, said_place, said_price
from engine.records.words import said, say_hours, say_price
from tui.answers import PRICES_WRITTEN, hours_by_month, listed, price_of
from tui.forms.choice import ChoiceScreen
from tui.forms.correct import mend_all
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_numbers import share_of
from tui.typed_words import yes_of
from tui.writing import write

if TYPE_CHECKING:
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery
    from tui.screen import FarmScreen

FOR_FILE = "lines for the file"


def ask_what(screen: FarmScreen, mark: str) -> None:
    """Ask what is to change; `mark` is the one under the cursor."""
    from tui.screens.site import file_lines

    farm = screen.app.house.farm
    asks: dict[str, tuple[str, Callable[[], None]]] = {}

    def add(label: str, told: str, ask: Callable[[], None]) -> None:
        asks[label] = f"{label:<30.30} {told}".rstrip(), ask

    hours = said_hours(farm)
    add("hours a week", "by month" if isinstance(hours, dict) else say_hours(hours), partial(ask_hours, screen))
    for place in farm.places:
        add(f"place: {place.name}", _said_place(place), partial(ask_place, screen, place))
    add("a new place", "", partial(ask_place, screen, None))
    for price in farm.prices:
        of = f" of {farm.plant(price.species)}" if price.species else ""
        add(f"price: {price.item}{of}", say_price(said_price(price)), partial(ask_price, screen, price))
    add("a new price", "", partial(ask_price, screen, None))
    add("frost dates", FOR_FILE, partial(file_lines.ask_frost, screen))
    add("temperatures", FOR_FILE, partial(file_lines.ask_warmth, screen))
    add("where the farm lies", FOR_FILE, partial(file_lines.ask_where, screen))
    names = [name for name in file_lines.marks_of(screen) if name != mark]
    for name in ([mark] if mark in file_lines.marks_of(screen) else []) + names:
        add(f"mark: {name}", FOR_FILE, partial(file_lines.ask_mark, screen, name))
    add("a new mark", FOR_FILE, partial(file_lines.ask_mark, screen, ""))

    def chosen(label: str | None) -> None:
        if label is not None:
            asks[label][1]()

    options = [(label, told) for label, (told, _) in asks.items()]
    told = "what is changed here is recorded, and u undoes it; the file itself stays as you wrote it"
    screen.app.push_screen(ChoiceScreen("What changes?", options, told), chosen)


def ask_hours(screen: FarmScreen) -> None:
    """The hours that there are to work in a week."""
    said = say_hours(said_hours(screen.app.house.farm))
    now = "" if said == "not said" else said

    def save(values: Values) -> None:
        told = hours_by_month(values["hours"])
        write(screen, lambda n, _: set_hours(n, told, screen.app.today))

    fields = [Field("hours", "hours a week (14; or 20, Jul 8; or Jan 6: other months stay)", now)]
    screen.app.push_screen(FormScreen("Hours a week", fields, save))


def ask_place(screen: FarmScreen, place: Place | None) -> None:
    """A place, or a new one: whether it is under cover, what it holds, what it stands for."""
    now = {} if place is None else said_place(place)
    loss = now.get("lot_loss_per_year")
    called = "name" if place is None else "name (what stands there follows; empty: remove it)"
    fields = [
        Field("name", called, "" if place is None else place.name, asked=place is None),
        Field("cover", "under cover (yes or no)", "yes" if now.get("under_cover") else "no"),
        Field("room", "room (40 trays, 12 m of row; empty: not said)", ", ".join(now.get("room", ()))),
        Field("serves", "stands for, in the steps (seed beds, nursery beds)", ", ".join(now.get("serves", ()))),
        Field("loss", "share of lots lost whole there in a year (5 %)", "" if loss is None else percent_given(loss)),
    ]

    def save(values: Values) -> None:
        told: dict[str, Any] = {
            "under_cover": yes_of(values["cover"], "under cover"), "room": listed(values["room"]),
            "serves": listed(values["serves"]),
            "lot_loss_per_year": share_of(values["loss"], "share of lots") if values["loss"] else None,
        }  # fmt: skip
        name, today = values["name"], screen.app.today

        def make(nursery: Nursery, _: Sequence[Entry]) -> list[Action]:
            if place is None:
                return [set_place(nursery, name, told, today)]
            if not name:
                return [remove_place(nursery, place.name, today)]
            made: list[Action] = []
            if name == place.name or any(told[key] != value for key, value in said_place(place).items()):
                made.append(set_place(nursery, place.name, told, today))
            if name != place.name:
                made.append(rename_place(nursery, place.name, name, today))
            return made

        def says(entries: Sequence[Entry]) -> str:
            return "; ".join(said(entry, screen.app.house.farm.units) for entry in entries)

        def then(refusal: Exception | None) -> None:
            screen.tell(screen.said if refusal is None else say_refusal(refusal))

        if screen.app.is_long():  # what cannot be is refused in the form
            screen.app.ruled = True
            make(screen.app.house.nursery, ())
        mend_all(screen, make, says, then)  # what was told before may mean another place now

    title = "A new place" if place is None else f"Place: {place.name}"
    screen.app.push_screen(FormScreen(title, fields, save, in_turn=place is None))


def ask_price(screen: FarmScreen, price: Price | None) -> None:
    """What a thing costs, or another thing."""
    farm = screen.app.house.farm

    def save(values: Values) -> None:
        item, species = (values["item"], values["species"]) if price is None else (price.item, price.species)
        if price is not None and not values["price"]:
            write(screen, lambda n, _: remove_price(n, item, species, screen.app.today))
            return
        told = price_of(values["price"])
        write(screen, lambda n, _: set_price(n, item, species, told, screen.app.today))

    if price is None:
        fields = [
            Field("item", f"item ({', '.join(known_items())})", asked=True),
            Field("species", f"species (empty: any; an {HOUR} has none)"),
            Field("price", f"price ({PRICES_WRITTEN.removeprefix('write ')})", asked=True),
        ]
        screen.app.push_screen(FormScreen("A new price", fields, save, in_turn=True))
        return
    of = f" of {farm.plant(price.species)}" if price.species else ""
    written = f"price ({PRICES_WRITTEN.removeprefix('write ')}; empty: remove it)"
    fields = [Field("price", written, _said_price(farm, price))]
    screen.app.push_screen(FormScreen(f"Price: {price.item}{of}", fields, save))


def _said_price(farm: Farm, price: Price) -> str:
    now = known_price(farm, price.item, price.species) or price
    return say_price(said_price(now))


def _said_place(place: Place) -> str:
    return ", ".join(("under cover" if place.under_cover else "in the open", *place.room))
