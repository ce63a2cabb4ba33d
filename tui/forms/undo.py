"""Undo and redo: what is taken back is said, and asked first where it was made on another screen."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from engine.acts.action import Action, Refused, say_refusal
from engine.acts.undoing import latest, reach, say_undone, take_back
from engine.journal.entry import Entry
from engine.journal.store import JournalError
from engine.schedule.nursery import Nursery
from tui import farm_app
from tui.forms.choice import ChoiceScreen
from tui.screen_list import PLACES
from tui.writing import Make, Recorder, attempt


def undo(screen: Recorder) -> None:
    """Undo the latest that this device recorded; asked first where that was not made on this screen."""
    app = screen.app
    try:
        meant = latest(app.house.entries, app.device, app.house.records.stood)
    except Refused as refusal:
        screen.tell(say_refusal(refusal))
        return
    made_on = app.made_on.get(meant[0].id, "")
    if made_on == app.here():
        _undo(screen, meant)
        return

    def chosen(choice: str | None) -> None:
        if choice == "undo":
            _undo(screen, meant)

    where = next((name for _, _, name, _, kind in PLACES if kind == made_on), "")
    told = f"it was recorded at {where}" if where else f"it was recorded earlier, {meant[0].at[:16].replace('T', ' ')}"
    options = [("keep", "keep it"), ("undo", f"undo {say_undone(meant, screen.app.house.farm.units)}")]
    app.push_screen(ChoiceScreen("Undo what was not recorded here?", options, told), chosen)


def _undo(screen: Recorder, meant: tuple[Entry, ...]) -> None:
    def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
        if [e.id for e in latest(entries, screen.app.device, nursery.records.stood)] != [e.id for e in meant]:
            raise Refused("something else was recorded meanwhile", "press u again")
        return take_back(nursery, entries, meant)

    told = f"undone: {say_undone(meant, screen.app.house.farm.units)}; U redoes it"
    _record(screen, make, meant, lambda: told)


def redo(screen: Recorder) -> None:
    """Have again what was undone last, as long as nothing was recorded since."""
    from engine.acts.correcting import redo as redo_last
    from engine.acts.correcting import undone_last

    app, back = screen.app, list[str]()

    def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
        action, again = redo_last(nursery, entries, app.device)
        back.append(say_undone(again, app.house.farm.units))
        return action

    try:
        _, meant = undone_last(app.house.entries, app.device, app.house.records.stood)
    except Refused as refusal:
        screen.tell(say_refusal(refusal))
        return
    _record(screen, make, meant, lambda: f"redone: {back[-1]}")


def _record(screen: Recorder, make: Make, touched: Sequence[Entry], says: Callable[[], str]) -> None:
    """Take these entries back, or have them again, and say it: beside the screen where that reaches far back."""
    if reach(screen.app.house.entries, touched) <= farm_app.AT_ONCE:
        if attempt(screen, make, every=True):
            screen.tell(says())
        return
    from tui.forms.correct import mend

    def then(refusal: Exception | None) -> None:
        screen.tell(screen.said if refusal is None else say_refusal(refusal))

    try:
        mend(screen, make, lambda _: says(), then)
    except (Refused, JournalError) as refusal:
        screen.tell(say_refusal(refusal))
    else:
        screen.tell(screen.said)
