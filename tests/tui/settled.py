"""What the pilot waits for: that nothing is left to do, and not that a machine which others share has been idle.

Textual's own pilot sleeps until the process has used next to no time for a fiftieth of a second, and that three times a
key. Here it goes on as soon as no message, no timer that is due soon and no thread at work is left: sooner, and never
too soon. No frame goes to a terminal that is not there: the screen is drawn when a test looks at it (`shed.text`), and
when it is left; and the styles, the same for every app of a run, are read once, as is who takes which message, and
found once for what is alike (`styled.py`).
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from time import monotonic, process_time
from typing import Any

import textual.app
import textual.pilot
import textual.screen
from textual._compositor import Compositor
from textual._context import active_app, visible_screen_stack
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.message import Message
from textual.message_pump import MessagePump
from textual.screen import Screen
from textual.worker import WorkerState

from tests.tui.styled import applied

SOON = 0.025
"""Seconds: a timer due within them is waited for."""
LONGEST = 1.0
"""Seconds: what goes on for longer is what a test waits for by itself (`shed.until`)."""

drawn = Compositor.render_update
"""An update as Textual makes it, for a test of the frames themselves."""
_plain = Stylesheet._parse_rules
_read: dict[object, list[RuleSet]] = {}
_looked_up = MessagePump._get_dispatch_methods
_handling: dict[tuple[type, str, type], list[tuple[type, Any]] | None] = {}


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


def handlers(self: MessagePump, name: str, message: Message) -> Iterable[tuple[type, Any]]:
    """What takes a message, by its name: looked up once for each class, but where it is told by `@on`."""
    key = (type(self), name, type(message))
    if key not in _handling:
        decorated = [kind.__dict__.get("_decorated_handlers") or {} for kind in type(self).__mro__]
        if any(each.get(sort) for each in decorated for sort in type(message).__mro__):
            _handling[key] = None
        else:
            own = ((kind, kind.__dict__.get(f"_{name}") or kind.__dict__.get(name)) for kind in type(self).__mro__)
            _handling[key] = [(kind, one) for kind, one in own if one and not getattr(one, "_textual_on", None)]
    if (found := _handling[key]) is None:
        yield from _looked_up(self, name, message)
        return
    for kind, one in found:
        if message._no_default_action:
            return
        yield kind, one.__get__(self, kind)


def take_over() -> None:
    """From now on the pilot waits so, screens are drawn so, and style sheets are read so."""
    Compositor.render_update = undrawn  # type: ignore[assignment,method-assign]
    textual.screen.UPDATE_PERIOD = 1.0  # type: ignore[misc]
    textual.pilot.wait_for_idle = textual.app.wait_for_idle = settled
    MessagePump._get_dispatch_methods = handlers  # type: ignore[method-assign]
    Stylesheet._parse_rules = read_once  # type: ignore[assignment,method-assign]
    Stylesheet.apply = applied  # type: ignore[assignment,method-assign]
