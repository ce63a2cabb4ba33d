"""What takes longer than a key may wait is worked out in a thread, once for each state of the farm."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar, cast

from textual.screen import Screen
from textual.worker import get_current_worker

from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, day_of
from tui.garbage import put_off

if TYPE_CHECKING:
    from tui.farm_app import FarmApp

T = TypeVar("T")
S = TypeVar("S")
PLANS = "plans"
"""Every lot's, made anew."""
Make = Callable[[Day], T]


def kept(app: FarmApp, name: object) -> object | None:
    """What was worked out under that name for the farm as it stands today; None where nothing was, or is not yet."""
    return app.kept.get((name, app.today))


def work_out(screen: Screen[S], name: object, make: Make[T], then: Callable[[T], None]) -> None:
    """Have `make` work it out and hand it to `then`, at once where it was worked out before.

    `then` is not told where the farm has changed since, or the screen has gone.
    """
    app = cast("FarmApp", screen.app)
    if app.behind():  # what is asked rests on plans that are made first, once for all who ask

        def planned(day: Day) -> None:
            app.caught_up(day)
            work_out(screen, name, make, then)

        _work(screen, app, PLANS, lambda day: day_of(day.nursery, app.today), planned)
    else:
        _work(screen, app, name, make, then)


def _work(screen: Screen[S], app: FarmApp, name: object, make: Make[T], then: Callable[[T], None]) -> None:
    state, key = app.kept, (name, app.today)
    if key in state:
        then(state[key])
        return
    waiting = state.setdefault(("waiting", key), [])
    waiting.append((screen, then))
    if len(waiting) > 1:  # it is being worked out
        return
    house, day = app.house, app.day()

    def run() -> None:
        # A nursery of its own: what one keeps of dates is found bit by bit, and not by two threads at once.
        try:
            with put_off():
                found = make(day._replace(nursery=open_nursery(house.farm, house.records)))
        except Exception as error:  # asked for again it is tried again
            app.call_from_thread(failed, error)
            return
        if not get_current_worker().is_cancelled:
            app.call_from_thread(arrived, found)

    def arrived(found: T) -> None:
        state[key] = found
        for asking, told in state.pop(("waiting", key)):
            if app.kept is state and asking in app.screen_stack:
                told(found)

    def failed(error: Exception) -> None:
        state.pop(("waiting", key), None)
        app.catch(error)

    app.run_worker(run, name=str(name), group="working", thread=True)
