"""The outermost net: what still gets through is told as a fault of Widger's, by file and line; nothing else ends."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Protocol, cast

if TYPE_CHECKING:
    from textual.message import Message
    from textual.message_pump import MessagePump
else:
    MessagePump = object

_HOUSE = Path(__file__).resolve().parent.parent
_LONGEST = 160


def say_fault(error: BaseException, written: bool = False) -> str:
    """`a fault of Widger's, nothing was written: KeyError 'x' (engine/views/week.py, line 82)`."""
    words = " ".join(str(error).split())[:_LONGEST]
    kept = "what was recorded is safe" if written else "nothing was written"
    return f"a fault in Widger; {kept}: {type(error).__name__} {words} ({_where(error)})"


def _where(error: BaseException) -> str:
    """The innermost line of our own by which it came."""
    from traceback import extract_tb  # only a fault needs it

    frames = [(Path(frame.filename), frame.lineno) for frame in extract_tb(error.__traceback__)]
    ours = [(path, line) for path, line in frames if path.is_relative_to(_HOUSE) and path != Path(__file__).resolve()]
    if not ours:
        return "not in one of Widger's files"
    path, line = ours[-1]
    return f"{path.relative_to(_HOUSE).as_posix()}, line {line}"


class Catcher(Protocol):
    """An app that tells what the net has caught, and counts the entries that it wrote."""

    written: int

    def catch(self, error: BaseException, written: bool = False) -> None:
        """Tell a fault; `written` where something was recorded on the way to it."""


class Netted(MessagePump):
    """What takes keys and messages, and goes on taking them after one that failed.

    Textual ends whatever a handler fails in, and the app with it; a grower would lose the board and its keys.
    """

    async def _dispatch_message(self, message: Message) -> None:
        app = cast("Catcher", self.app)
        before = app.written
        try:
            await super()._dispatch_message(message)
        except Exception as error:
            app.catch(error, app.written != before)
