"""Undo and redo: what is taken back is said, and asked first where it was made on another screen."""

from __future__ import annotations

from collections.abc import Sequence

from engine.acts.action import Action, Refused, say_refusal
from engine.acts.undoing import latest, say_undone, take_back
from engine.journal.entry import Entry
from engine.schedule.nursery import Nursery
from tui.forms.choice import ChoiceScreen
from tui.screen_list import PLACES
from tui.writing import Recorder, attempt


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

    if attempt(screen, make, every=True):
        screen.tell(f"undone: {say_undone(meant, screen.app.house.farm.units)}; U redoes it")


def redo(screen: Recorder) -> None:
    """Have again what was undone last, as long as nothing was recorded since."""
    from engine.acts.correcting import redo as redo_last

    back: list[str] = []

    def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
        action, again = redo_last(nursery, entries, screen.app.device)
        back.append(say_undone(again, screen.app.house.farm.units))
        return action

    if attempt(screen, make, every=True):
        screen.tell(f"redone: {back[-1]}")
