"""The farm as the screens have it: as it was read, its plans for today, and what was worked out for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import date, datetime, time
from functools import partial
from typing import TYPE_CHECKING, Any

from rich.text import Text
from textual.app import App
from textual.widgets import Label

from engine.farm.reading import Reading
from engine.journal.device_names import is_of
from engine.journal.disk import JournalError
from engine.journal.entry import Entry
from engine.journal.merging import Journal, gone_since, journal_folder
from engine.reading.frozen import replace
from engine.reading.log import begins
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, Plan
from tui import door
from tui.farmhouse import Farmhouse, Stamp, again, device_of, record_all, refresh, stamp
from tui.garbage import put_off
from tui.out import harmless
from tui.own_faults import Netted, say_fault

if TYPE_CHECKING:
    from engine.acts.action import Action, Refused
    from engine.records.rates import Track

MANY = 600
"""More lots than these, and what is shown of all of them is made beside the screen."""
AT_ONCE = 10_000
"""So many entries, and those of another device are taken up before the next key is."""


class Tried(Exception):
    """What was tried could have been written."""


def _still_mending() -> Refused:
    from engine.acts.action import Refused

    return Refused("what was recorded last is still being worked out", "wait a moment, then do it again")


class FarmApp(Netted, App[None]):
    """An app on one farm, which may be read only once it runs. `on` stands for today where it is given."""

    house: Farmhouse
    """The farm as it is shown: where another day stands for today, with only what had happened by then."""
    _whole: Farmhouse
    """The farm with all that was recorded, on which the next entry is made."""
    device: str
    _stamp: Stamp

    def __init__(self, house: Farmhouse | None, on: date | None = None, ansi_color: bool = False) -> None:
        super().__init__(ansi_color=ansi_color)
        self._on = on
        self._planned: Day | None = None
        self._mine, self._mark = False, ""
        self._seen: dict[str, Sequence[Entry]] = {}
        self.kept: dict[object, Any] = {}
        """What the screens had worked out for this state of the farm."""
        self.made_on: dict[str, str] = {}
        """On which screen each entry was made since Widger was opened."""
        self._mending = False
        """Whether what was recorded is being mended beside the screen."""
        self._taking = False
        """Whether the farm is being read again beside the screen."""
        self.written = 0
        """How many entries were written since it was opened."""
        self.ruled = False
        """Whether what a form says has come as far as the rules by which it is recorded."""
        self.trying = False
        """Whether nothing is written, and what would be is only tried."""
        self.faults: list[BaseException] = []
        """What the net has caught."""
        self.is_open = house is not None
        if house is not None:
            self.begin(house)

    def begin(self, house: Farmhouse) -> None:
        """Go on with a farm that has been read."""
        self._go_on(house)
        self.device, self._stamp = device_of(house.path), stamp(house)

    def _go_on(self, house: Farmhouse) -> None:
        self._whole, self.house = house, house if self._on is None else house.as_of(self._on)

    @property
    def today(self) -> date:
        return self._on or door.today()

    def day(self) -> Day:
        """The farm today with every lot's plan, made once for each state of the farm.

        As it was last planned, while it is `behind`.
        """
        before = self._planned
        if before is None or not (self._is_of_now(before) or self.behind()):
            self._planned = before = self.house.day(self.today, before)
        return before

    def _is_of_now(self, day: Day) -> bool:
        return day.today == self.today and day.nursery is self.house.nursery

    def behind(self) -> bool:
        """Whether so many lots are to be planned anew that the keys would wait: a mark was seen, or a day has begun."""
        before, nursery = self._planned, self.house.nursery
        if before is None or self._is_of_now(before) or len(nursery.records.lots) <= MANY:
            return False
        return before.to_plan(nursery, self.today) > MANY

    def caught_up(self, day: Day) -> None:
        """Go on with the plans that were made beside the screen."""
        house = replace(self.house, nursery=day.nursery)
        self._whole = house if self._whole is self.house else self._whole
        self.house, self._planned = house, day

    def plans(self) -> Sequence[Plan]:
        """Every lot's plan for today."""
        return self.day().plans

    def track(self) -> Track:
        """The grower's own results, as the farm stands."""
        return self.house.nursery.track

    def record(self, make: Callable[[Nursery, Sequence[Entry]], Action], every: bool = False) -> Entry:
        """Write one entry and take the journal up again. Raises Refused or JournalError."""
        return self.record_all(lambda nursery, entries: [make(nursery, entries)], every)[0]

    def record_all(
        self, make: Callable[[Nursery, Sequence[Entry]], Sequence[Action]], every: bool = False
    ) -> tuple[Entry, ...]:
        """Write several entries in one append, all or none, as `record` writes one."""
        self.ruled = True
        if self.trying:
            make(self.house.nursery, self.house.entries if every else self.house.standing)
            raise Tried
        if self._mending:
            raise _still_mending()
        known: list[Journal] = []
        written = record_all(self.house.path, self.house.farm, make, every, self._tell, self._whole, known.append)
        self._wrote(written, refresh(self._whole, *known))
        return written

    def _wrote(self, written: Sequence[Entry], house: Farmhouse) -> None:
        """Go on with the farm as it stands with these entries."""
        self.made_on |= dict.fromkeys((entry.id for entry in written), self.here())
        self.written += len(written)
        self.take(house)

    def is_long(self) -> bool:
        """Whether the keys would wait for what goes through the whole journal."""
        return len(self.house.entries) > AT_ONCE

    def mend(
        self,
        make: Callable[[Nursery, Sequence[Entry]], Sequence[Action]],
        then: Callable[[Sequence[Entry]], None],
        refused: Callable[[Exception], None],
    ) -> None:
        """Write what mends what was recorded, with `record_all` of all entries, beside the screen.

        What was told since is taken anew. `then` is told what was written, or `refused` why it is not; until then
        nothing else is recorded. Raises Refused while another is being mended.
        """
        if self._mending:
            raise _still_mending()
        house, self._mending = self._whole, True

        def run() -> None:
            written: tuple[Entry, ...] = ()
            known: list[Journal] = []
            try:
                with put_off():
                    written = record_all(
                        house.path, house.farm, make, True,
                        partial(self.call_from_thread, self._tell), house, known.append,
                    )  # fmt: skip
                    found = refresh(house, *known)
                self.call_from_thread(done, written, found)
            except Exception as error:
                self.call_from_thread(failed, error, bool(written))

        def done(written: tuple[Entry, ...], found: Farmhouse) -> None:
            self._mending = False
            self._wrote(written, found)
            then(written)

        def failed(error: Exception, was_written: bool) -> None:
            from engine.acts.action import Refused

            self._mending = False
            if isinstance(error, Refused | JournalError):
                refused(error)
            else:
                self.catch(error, was_written)

        self.run_worker(run, group="mending", thread=True)

    def _tell(self, words: str) -> None:
        """Say beside the board how something was written."""
        self.notify(harmless(words), severity="warning", markup=False)

    def catch(self, error: BaseException, written: bool = False) -> None:
        """Tell a fault of ours at the foot, `written` where something was recorded on the way; all goes on."""
        self.faults.append(error)
        words = f"{say_fault(error, written)}; the screen shows what was there before; q quits"
        for screen in self.screen_stack:
            with suppress(Exception):  # the foot itself may be what fails
                if getattr(screen, "said", words) != words:  # told again it would be drawn without end
                    screen.tell(words)  # type: ignore[attr-defined]
                for label in screen.query(".refusal").results(Label):
                    label.update(Text(words))

    def _handle_exception(self, error: Exception) -> None:
        """What failed in drawing, in a timer or a thread; before there is a board there is nothing to keep alive."""
        if self.screen_stack and self.screen.is_running:
            self.catch(error)
        else:
            super()._handle_exception(error)

    def news(self) -> str:
        """What the other devices recorded since they were last told of here; it is told of now."""
        if not self.mark():
            return ""
        from engine.views.devices import counts, devices_view
        from tui.news_seen import read_seen, write_seen
        from tui.paper.devices import status

        house, now = self.house, self._instant()
        view = devices_view(house.entries, house.records, self.device, now, *read_seen(house.path, self.device))
        if view.news or view.since is None:
            write_seen(house.path, self.device, counts(house.entries), now)
        return status(view, self.today)

    def _instant(self) -> datetime:
        """The instant; where another day stands for today, that day's end."""
        now = door.instant()
        return now if self._on is None else datetime.combine(self._on, time.max, now.tzinfo)

    def here(self) -> str:
        """The screen on the farm that is in front, forms over it left out."""
        ground = [screen for screen in self.screen_stack if hasattr(screen, "derive")]
        return type(ground[-1]).__name__ if ground else ""

    def mark(self) -> str:
        """What the ids that are offered here end with, where another device gives ids too."""
        if not self._mark:
            from engine.acts.free_ids import mark_of

            self._mark = mark_of(self._unseen("mark"), self.device)
        return self._mark

    def problem_count(self) -> int:
        return len(self.house.reading.problems) + len(self.house.troubles)

    def take_up(self, show: Callable[[Farmhouse | Reading, Stamp | None], None]) -> None:
        """Read the farm again as it lies on the disk and `show` it: at once, beside the screen if that takes long."""
        house, today, stamped = self._whole, self.today, self._stamp
        if not self.is_long():
            show(again(house, today), None)
            return

        def run() -> None:
            try:
                with put_off():
                    found = again(house, today)
            except Exception as error:
                self.call_from_thread(self.catch, error)
                found = None
            self.call_from_thread(arrived, found)

        def arrived(found: Farmhouse | Reading | None) -> None:
            self._taking = False
            if (
                found is None or self._whole is not house
            ):  # something was recorded meanwhile: the disk is looked at anew
                self._stamp = ()
            else:
                show(found, stamped)

        self._taking = True
        self.run_worker(run, group="taking", thread=True)

    def can_undo(self) -> bool:
        if not self._mine:
            self._mine = any(is_of(entry.id, self.device) for entry in reversed(self._unseen("mine")))
        return self._mine

    def _unseen(self, who: str) -> Sequence[Entry]:
        """The entries that were not looked at yet for this: what is written stays written."""
        seen, entries = self._seen.get(who, ()), self.house.entries
        self._seen[who] = entries
        return entries[len(seen) :] if begins(entries, seen) else entries

    def take(self, house: Farmhouse, stamped: Stamp | None = None) -> None:
        """Go on with the farm as it has been read again; it was `stamped` so on the disk before."""
        if gone := gone_since(self.house.journal, house.journal):
            what = "1 entry" if gone == 1 else f"{gone} entries"
            self._tell(
                f"{what} that could be read before cannot be read in {journal_folder(house.path)} any more: something "
                "other than Widger changed it; look for a copy (widger check)"
            )
        self._go_on(house)
        self.kept = {}
        self._stamp = stamped or stamp(house)

    def changed(self) -> bool:
        """Whether the disk holds what was not read, or the plans are another day's; each change is told once."""
        if self._taking or self._mending:
            return False
        new_day = self._planned is not None and self._planned.today != self.today
        found = stamp(self.house)
        new_bytes, self._stamp = found != self._stamp, found
        return new_day or new_bytes
