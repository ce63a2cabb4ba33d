"""The plantings: every plant in a list, the planting drawn to scale beside it, and the walk with one key each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from rich.text import Text
from textual import on
from textual.binding import BindingType
from textual.timer import Timer

from engine.farm.layout import plants_of
from engine.needs.planting_outlook import Grown, grown_of
from engine.views.light import OLDEST
from engine.views.planting import PlantingView, PlantLine, planting_view
from tui.cells import dated
from tui.facts import Facts
from tui.in_a_thread import kept, work_out
from tui.paper.planting import said_counts
from tui.screen import WIDE, Ends, FarmScreen
from tui.screens.planting.keys import HINT, HINT_DEAD, KEYS
from tui.screens.planting.rows import PlantList, PlantRow, plant_rows

if TYPE_CHECKING:
    from engine.schedule.plan import Day
    from engine.views.works_here import Works

ABREAST = 72
"""From so many columns on the map stands beside the list."""
MOST_LIST = 60
"""Columns of the list at the most."""
REST = 0.3
"""Seconds after which the cursor is taken to rest."""


class PlantingScreen(FarmScreen):
    """What stands where."""

    CSS = """
    PlantingScreen #main { layout: horizontal; }
    PlantingScreen #panel, PlantingScreen.-wide #panel {
        width: 1fr; height: 1fr; border-top: none; border-left: solid $rule;
    }
    PlantingScreen.-stacked #main { layout: vertical; }
    PlantingScreen.-stacked #panel { width: 100%; border-top: solid $rule; border-left: none; }
    PlantingScreen.-stacked.-low #panel { height: 8; }
    """
    TITLE_OF_KEYS = "Keys: plantings"
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.shift = 0
        """Years from now whose crowns are drawn."""
        self._views: dict[str, PlantingView] = {}
        self._grown: Grown | None = None
        self._rest: Timer | None = None
        self._headed: tuple[Ends, Ends] | None = None

    def share(self) -> None:
        """Where there is room no plant's name is cut; the map has the rest."""
        width = self.size.width or self.app.size.width
        self.set_class(width < ABREAST, "-stacked")
        most = min(MOST_LIST, self.list.natural + 2)
        self.list.styles.width = "100%" if width < ABREAST else most if width >= WIDE else min(most, width * 3 // 5)

    def make_list(self) -> PlantList:
        return PlantList()

    @property
    def plants(self) -> PlantList:
        return cast(PlantList, self.list)

    def derive(self) -> None:
        self._views, self._grown = {}, None  # each is made when it is first looked at
        self.draw()

    def draw(self) -> None:
        house, today = self.app.house, self.app.today
        farm, lives = house.farm, house.records.plantings
        laid = [(each, plants_of(each), lives.get(each.name, {})) for each in farm.plantings]
        kinds = {(plant.species, plant.cultivar) for _, plants, _ in laid for plant in plants}
        names = {kind: farm.plant(*kind) for kind in kinds}
        self.plants.put(plant_rows(laid, names, self.words, today))
        self.show_head()
        self.show_foot()

    def head(self) -> tuple[Ends, Ends]:
        view = self.view
        if view is None:
            return ("Plantings", f"{self.app.today:%a} {dated(self.app.today)}"), ("", "")
        row = self.plants.row
        mine = [each for each in self.plants.rows if each.plant is not None and each.planting is view.planting]
        left = sum(not each.seen for each in mine)
        of = f" of {len(mine)}" if self.size.width >= ABREAST else ""
        walk = f"{left}{of} still to see" if row and left < len(mine) else "this walk has seen none"
        walk = walk if left else "this walk has seen them all"
        title = (f"Planting   {view.planting.name}", f"{self.app.today:%a} {dated(self.app.today)}")
        return title, (said_counts(view, self.size.width >= ABREAST), walk)

    @property
    def view(self) -> PlantingView | None:
        """The planting of the line under the cursor."""
        row = self.plants.row
        if row is None:
            return None
        name = row.planting.name
        if name not in self._views:
            house = self.app.house
            if self._grown is None:
                self._grown = grown_of(house.farm, house.records)
            self._views[name] = planting_view(house.nursery, row.planting, self.app.today, self._grown)
        return self._views[name]

    @property
    def line(self) -> PlantLine | None:
        """The plant under the cursor."""
        row, view = self.plants.row, self.view
        return view.line(row.plant.id) if view is not None and row is not None and row.plant is not None else None

    def under_cursor(self) -> tuple[PlantingView, PlantLine] | None:
        """The plant under the cursor and its planting; says so where there is none."""
        view, line = self.view, self.line
        if view is None or line is None:
            self.tell("no plant is here: [[planting]] in the farm file says what stands where")
            return None
        return view, line

    def facts(self) -> Text:
        from tui.screens.planting.facts import facts_of

        view, line = self.view, self.line
        if view is None or line is None:
            return Text("The farm file has no [[planting]] yet: the README shows one to start from.")
        if (head := self.head()) != self._headed:  # a head that is the same asks for no new layout
            self._headed = head
            self.show_head()
        size = self.query_one(Facts).scrollable_content_region
        name = self._thought_of(view, line)
        now = cast("Sequence[str] | None", kept(self.app, name))
        if now is None:  # years of light take longer than a key may wait: they are told when the cursor rests
            if self._rest is not None:
                self._rest.stop()
            self._rest = self.set_timer(REST, self._think)
        return facts_of(view, line, self.year_shown(view), size.width, size.height, now, self.app.house.farm.units)

    def _thought_of(self, view: PlantingView, line: PlantLine) -> object:
        return "now", view.planting.name, line.plant.id, self.year_shown(view)

    def _think(self) -> None:
        """Work out, beside the keys, what is to be said of the plant on which the cursor rests."""
        from tui.screens.planting.facts import thought_of

        view, line = self.view, self.line
        if view is None or line is None:
            return
        planting, name, year = view.planting, line.plant.id, self.year_shown(view)

        def make(day: Day) -> tuple[str, ...]:
            grown = grown_of(day.nursery.farm, day.nursery.records)
            fresh = planting_view(day.nursery, planting, day.today, grown)
            here = fresh.line(name)
            return () if here is None else thought_of(fresh, here, year)

        work_out(self, self._thought_of(view, line), make, lambda _: self._show_facts())

    def year_shown(self, view: PlantingView) -> int:
        """The year of the planting whose crowns are drawn."""
        return min(OLDEST, max(0, view.age + self.shift))

    def hint(self) -> str:
        line = self.line
        return HINT_DEAD if line is not None and line.state == "dead" else HINT

    def signs(self) -> str:
        return (
            "- wanted  · alive  * bearing  x dead  @ the cursor  ✓ seen by this walk"
            "\n▓ tall  ▒ middle  ░ shrubs and climbers  , herbs and ground"
        )

    def on_resize(self) -> None:
        super().on_resize()
        if self._painted:
            self.call_after_refresh(self._show_facts)

    @on(PlantList.Chosen)
    def _chosen(self) -> None:
        self.action_details()

    def action_year(self, by: int) -> None:
        view = self.view
        if view is not None and 0 <= view.age + self.shift + by <= OLDEST:
            self.shift += by
            self._show_facts()

    def action_this_year(self) -> None:
        self.shift = 0
        self._show_facts()

    def action_walk(self) -> None:
        """Go to the first plant of the planting that the running walk has not seen, from its head."""
        here = self.plants.row
        following = next((row for row in self._of_planting(here) if not row.seen), None)
        if following is None:
            self.tell("this walk has seen every plant of it")
        else:
            self.plants.go_to(following.key)

    def _of_planting(self, here: PlantRow | None) -> list[PlantRow]:
        return [row for row in self.plants.rows if here and row.plant is not None and row.planting is here.planting]

    def action_found(self, state: str) -> None:
        from tui.screens.planting.recording import found

        if found(self, state) and state in ("alive", "bearing"):
            self._on()

    def action_died(self, cause: str) -> None:
        from tui.screens.planting.recording import found

        if found(self, "dead", cause):
            self._on()

    def _on(self) -> None:
        """To the next plant; what was recorded stays said at the foot."""
        rows, at = self.plants.rows, self.plants.cursor
        here = self.plants.row
        following = next(
            (r for r in rows[at + 1 :] if r.plant is not None and here and r.planting == here.planting), None
        )
        if following is not None:
            self.plants.go_to(following.key)

    def action_note(self) -> None:
        from tui.screens.planting.recording import note

        note(self)

    def action_take_over(self) -> None:
        from tui.screens.planting.recording import take_over

        take_over(self)

    def action_ask_anew(self) -> None:
        from tui.screens.planting.recording import ask_anew

        ask_anew(self)

    def action_works(self) -> None:
        """What lived and bore in all plantings; its light takes a while."""
        from engine.views.works_here import works_here
        from tui.paper.planting_sheets import works_sheet
        from tui.screens.needs.late_page import LatePage

        farm = self.app.house.farm

        def make(day: Day) -> tuple[Works, ...]:
            nursery, _, today = day
            grown = grown_of(nursery.farm, nursery.records)
            views = [planting_view(nursery, each, today, grown) for each in nursery.farm.plantings]
            return works_here(nursery.farm, views, today)

        meanwhile = Text("working out what works here …")
        self.app.push_screen(LatePage("works", make, lambda found: Text(works_sheet(farm, found)), meanwhile))

    def action_details(self) -> None:
        from tui.forms.page import PageScreen
        from tui.screens.planting.facts import page_of

        if (here := self.under_cursor()) is not None:
            self.app.push_screen(PageScreen(page_of(*here)))
