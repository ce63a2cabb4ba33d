"""Orders to the door: the parcels by customer, or in walking order, with one key packed and one key sent."""

from __future__ import annotations

from typing import ClassVar, cast

from rich.text import Text
from textual import on
from textual.binding import BindingType

from engine.needs.allotment import Allotment, allot
from engine.needs.dispatch import Parcel, parcels
from engine.schedule.plan import Day
from tui.cells import counted, dated
from tui.in_a_thread import work_out
from tui.screen import Ends, FarmScreen
from tui.screens.dispatch.facts import facts_of
from tui.screens.dispatch.keys import HINT, HINT_PLACE, HINT_SHORT, KEYS
from tui.screens.dispatch.rows import ParcelList, ParcelRow, parcel_rows, say_when

GAP = 4
"""Cells about and between the two ends of a line of the head."""

STATES = (
    ("blocked", "it may not travel, or not in time: the panel says why"),
    ("ready", "all of it can be picked and may travel"),
    ("part ready", "some of it can be picked, some is short"),
    ("waiting", "it may not travel yet"),
    ("short", "nothing of it can be picked"),
    ("packed", "packed, not sent yet"),
)
"""How a parcel stands, in words."""

Found = tuple[Allotment, tuple[Parcel, ...]]


class DispatchScreen(FarmScreen):
    """What goes to whom."""

    TITLE_OF_KEYS = "Keys: orders to the door"
    BINDINGS: ClassVar[list[BindingType]] = [*KEYS]

    def __init__(self) -> None:
        super().__init__()
        self.by_place = False
        self.found: Found | None = None
        """None until it is first worked out."""
        self.settled = False
        """Whether what is shown is the farm as it stands."""
        self._go = ""

    def make_list(self) -> ParcelList:
        return ParcelList()

    @property
    def parcel_list(self) -> ParcelList:
        return cast(ParcelList, self.list)

    def derive(self) -> None:
        self.settled = False

        def make(day: Day) -> Found:
            allotted = allot(day)
            return allotted, parcels(day.nursery, allotted, day.today)

        def stand(found: Found) -> None:
            self.found, self.settled = found, True
            self.draw()
            self.share()
            if self._go:
                self.parcel_list.go_to(self._go)
                self._go = ""

        work_out(self, "parcels", make, stand)
        if not self.settled:
            self.show_head()
            self.call_later(self.show_foot)

    @property
    def parcels(self) -> tuple[Parcel, ...]:
        """The parcels that are still to go."""
        return self.found[1] if self.found is not None else ()

    def go_to_parcel(self, who: str) -> None:
        """Put the cursor on the first line of a customer's parcel, now or when it is known."""
        mine = next((p for p in self.parcels if p.who == who), None) if self.settled else None
        if mine is not None:
            self.parcel_list.go_to(mine.lines[0].need)
        else:
            needs = [need.id for need in self.app.house.farm.needs if need.who == who]
            self._go = needs[0] if needs else ""

    def draw(self) -> None:
        self.parcel_list.today = self.app.today
        self.parcel_list.put(parcel_rows(self.parcels, self.words, self.by_place, self.app.today))
        self.show_head()
        self.show_foot()

    def head(self) -> tuple[Ends, Ends]:
        today = self.app.today
        order = ", in walking order" if self.by_place else ""
        title = (f"Orders to the door{order}", f"{today:%a} {dated(today)}")
        if not self.settled:
            return title, ("working out what is ready …", "")
        found = self.parcels
        states = [parcel.state(today) for parcel in found]
        told = ", ".join(f"{n} {s}" for s in dict.fromkeys(states) if (n := states.count(s)))
        first = next((p for p in found if p.send_by is not None and not p.blocked), None)
        following = f"next: {first.who}, {say_when(first, today)}" if first else ""
        counts = f"{counted(len(found), 'parcel')}: {told}" if found else "nothing is on order"
        fits = len(counts) + len(following) + GAP <= self.size.width
        return title, (counts, following if fits else "")  # what goes next stands at the head of the list as well

    def signs(self) -> str:
        return "[ ] still to be packed  [x] packed"

    def states(self) -> tuple[tuple[str, str], ...]:
        return STATES

    def facts(self) -> Text:
        row = self._row
        if row is None or row.parcel is None or row.line is None:
            return Text("Nothing is left to send. Orders are entered on the needs screen (5).")
        return facts_of(self.app.house.farm, row.parcel, row.line, self.app.today)

    def hint(self) -> str:
        row = self._row
        if self.by_place:
            return HINT_PLACE
        return HINT_SHORT if row is not None and row.line is not None and row.line.short else HINT

    def lot_here(self) -> str:
        row = self._row
        picks = row.line.picks if row is not None and row.line is not None else ()
        return row.pick.lot if row is not None and row.pick is not None else picks[0].lot if picks else ""

    @property
    def _row(self) -> ParcelRow | None:
        return self.parcel_list.row

    def _parcel(self) -> Parcel | None:
        """The parcel under the cursor; says so where there is none, or it is not known yet how it stands."""
        row = self._row
        if not self.settled:
            self.tell("what is ready is still being worked out")
            return None
        if row is None or row.parcel is None:
            self.tell("go to a parcel first")
            return None
        return row.parcel

    def action_pack(self) -> None:
        from tui.screens.dispatch.recording import packed

        if (parcel := self._parcel()) is not None:
            packed(self, parcel)

    def action_send(self) -> None:
        from tui.screens.dispatch.recording import sent

        if (parcel := self._parcel()) is not None:
            sent(self, parcel)

    def action_fetch(self) -> None:
        from tui.screens.dispatch.recording import sent

        if (parcel := self._parcel()) is not None:
            sent(self, parcel, fetched=True)

    def action_substitute(self) -> None:
        from tui.screens.dispatch.recording import instead

        if self._parcel() is not None and (row := self._row) is not None and row.line is not None:
            assert self.found is not None
            instead(self, self.found[0], row.line)

    async def action_replan(self) -> None:
        """To the need among the needs, where the ways that still meet it stand side by side."""
        row = self._row
        if self._parcel() is None or row is None or row.line is None:
            return
        if not row.line.short:
            self.tell(f"{row.line.need} is not short: there is nothing to raise")
            return
        await self.app.run_action("go('needs')")
        self.app.screen.go_to(f"need {row.line.need}")  # type: ignore[attr-defined]

    def action_group(self) -> None:
        self.by_place = not self.by_place
        self.draw()

    @on(ParcelList.Chosen)
    def _chosen(self) -> None:
        self.action_details()

    def action_details(self) -> None:
        from tui.forms.page import PageScreen
        from tui.paper.dispatch import packing_list

        if (parcel := self._parcel()) is not None:
            farm = self.app.house.farm
            self.app.push_screen(PageScreen(Text(packing_list(farm, parcel, self.app.today))))
