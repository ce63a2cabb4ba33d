"""What the pilot waits for: that nothing is left to do, and not that a machine which others share has been idle.

Textual's own pilot sleeps until the process has used next to no time for a fiftieth of a second, and that three times a
key. Here it goes on as soon as no message, no timer that is due soon and no thread at work is left: sooner, and never
too soon. No frame goes to a terminal that is not there: the screen is drawn when a test looks at it (`shed.text`), and
when it is left; and the styles, the same for every app of a run, are read once.
"""

from __future__ import annotations

import asyncio
from time import monotonic, process_time

import textual.app
import textual.pilot
import textual.screen
from textual._compositor import Compositor
from textual._context import active_app, visible_screen_stack
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.screen import Screen
from textual.worker import WorkerState

SOON = 0.025
"""Seconds: a timer due within them is waited for."""
LONGEST = 1.0
"""Seconds: what goes on for longer is what a test waits for by itself (`shed.until`)."""

drawn = Compositor.render_update
"""An update as Textual makes it, for a test of the frames themselves."""
_plain = Stylesheet._parse_rules
_read: dict[object, list[RuleSet]] = {}


async def settled(*_: float) -> None:
    """Wait until the app has nothing to do (of asyncio's loop, private names tell: they are used only here)."""
    loop = asyncio.get_running_loop()
    app = active_app.get(None)
    end = monotonic() + LONGEST
    while monotonic() < end:
        await asyncio.sleep(0)
        if loop._ready:  # type: ignore[attr-defined]
            continue
        if app is not None and any(each.state in (WorkerState.PENDING, WorkerState.RUNNING) for each in app.workers):
            used = process_time()
            await asyncio.sleep(0.01)
            if process_time() - used < 0.001:  # it waits for something itself
                return
            continue
        if app is not None and app.screen_stack and app.screen._update_timer._active.is_set():
            app.screen._on_timer_update()
            continue
        due = min((h.when() for h in loop._scheduled if not h.cancelled()), default=None)  # type: ignore[attr-defined]
        if due is None or (wait := due - loop.time()) > SOON:
            return
        await asyncio.sleep(max(0.0, wait))


def read_once(self: Stylesheet, css: str, read_from: tuple[str, str], *of: object, **more: object) -> list[RuleSet]:
    """The rules of a style sheet; those that were read with the same colours before are had again."""
    key = (css, read_from, of, tuple(more.items()), tuple(self._variables.items()))
    if key not in _read:
        _read[key] = _plain(self, css, read_from, *of, **more)  # type: ignore[arg-type]
    return _read[key]


def undrawn(self: Compositor, full: bool = False, screen_stack: list[Screen] | None = None, simplify: bool = False):
    """In place of an update of the terminal: what lies behind a form is noted for when the screen is looked at."""
    self.behind = True  # type: ignore[attr-defined]
    visible_screen_stack.set(screen_stack or [])
    self._dirty_regions.clear()


def take_over() -> None:
    """From now on the pilot waits so, screens are drawn so, and style sheets are read so."""
    Compositor.render_update = undrawn  # type: ignore[assignment,method-assign]
    textual.screen.UPDATE_PERIOD = 1.0  # type: ignore[misc]
    textual.pilot.wait_for_idle = textual.app.wait_for_idle = settled
    Stylesheet._parse_rules = read_once  # type: ignore[assignment,method-assign]
