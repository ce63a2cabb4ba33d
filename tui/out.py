"""The one place where text goes out: made harmless for a terminal, and put into what the output can show.

Names, notes and what another device wrote may hold anything. What would steer a terminal, or turn the order of letters
about, is taken out; what the output's encoding lacks is put in plainer letters. `say` and `warn` are the only ways to
standard output and standard error, `harmless` stands before all that the screens draw, `cell` before a spreadsheet.
"""

from __future__ import annotations

import codecs
import json
import os
import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from io import TextIOWrapper
from typing import Any, TextIO

_STEERING = "[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ufeff\u2028\u2029\ud800-\udfff]"
"""Control characters but the tab and the line break, overrides of direction, further line breaks, half characters."""
_FORMULA = ("=", "+", "-", "@")
"""What a spreadsheet takes for a formula when a cell begins with it (OWASP, CSV Injection)."""
_SHADES = {"░": ".", "▒": ":", "▓": "+", "▁": "_", "▂": "_", "▃": "-", "▄": "-", "▅": "=", "▆": "=", "□": "o", "◇": "o",
           "…": "~", "°": "", "·": "."}  # fmt: skip
"""Signs that tell apart what one sign for all would not, or that must take no more room than they did."""


class NotShown(Exception):
    """Standard output takes nothing more: the reason in plain words."""


def harmless(text: str) -> str:
    """The text without what steers a terminal; its width on a screen stays as it was."""
    if text.isprintable():  # nearly all: nothing of the kind is
        return text
    return re.sub(_STEERING, lambda found: "\ufffd" if found[0] >= "\ud800" and found[0] <= "\udfff" else "", text)


def cell(text: str) -> str:
    """A text as a spreadsheet takes it for text, behind an apostrophe where it would be a formula."""
    text = harmless(text)
    return f"'{text}" if text.lstrip().startswith(_FORMULA) else text


def from_cell(text: str) -> str:
    """What `cell` was given."""
    return text[1:] if text.startswith("'") and text[1:].lstrip().startswith(_FORMULA) else text


def plainer(text: str) -> str:
    """The text in ASCII: letters of any script by how they sound, drawn signs by like ones, `?` for the rest."""
    from anyascii import anyascii  # few outputs need it

    return "".join(_SHADES[sign] if sign in _SHADES else anyascii(sign) or "?" for sign in text)


def as_json(value: Any) -> str:
    """JSON with what steers a terminal, or is not in the output's encoding, escaped: it reads back the same."""
    encoding = getattr(sys.stdout, "encoding", None) or "ascii"
    text = json.dumps(value, ensure_ascii=not encoding.lower().startswith("utf"), indent=1)
    return re.sub(_STEERING, lambda found: f"\\u{ord(found[0]):04x}", text)


def say(*lines: object) -> None:
    """Lines to standard output, at once.

    Raises NotShown where it takes them no more, BrokenPipeError where its reader has gone.
    """
    with _output() as stream:
        _put(stream, lines)


def say_file(data: bytes) -> None:
    """A file, byte for byte, to standard output. Raises as `say` does."""
    with _output() as stream:
        stream.buffer.write(data)
        stream.flush()


@contextmanager
def _output() -> Iterator[TextIO]:
    if sys.stdout is None:  # closed before we began
        raise NotShown("the output is closed")
    try:
        yield sys.stdout
    except (OSError, ValueError) as fault:
        with suppress(OSError, ValueError):  # what it holds back would fail again when Python ends
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if isinstance(fault, BrokenPipeError):
            raise
        raise NotShown(getattr(fault, "strerror", None) or "the output is closed") from None


def warn(*lines: object) -> None:
    """Lines to standard error, as far as it takes them: nobody is left to be told that it does not."""
    if sys.stderr is not None:
        with suppress(OSError, ValueError):
            _put(sys.stderr, lines)


def pass_by(words: str = "") -> None:
    """Words on the last line of a terminal that is watched, in place of those before; none: the line is clear."""
    if sys.stderr is not None and sys.stderr.isatty():
        with suppress(OSError, ValueError):
            sys.stderr.write(f"\r{harmless(words):<40}" + ("" if words else "\r"))
            sys.stderr.flush()


def _put(stream: TextIO, lines: Iterable[object]) -> None:
    for line in lines:
        stream.write(f"{harmless(str(line))}\n")
    stream.flush()


def prepare() -> None:
    """Let standard output and error put what their encoding lacks in plainer letters, rather than fail."""
    codecs.register_error("widger", _stand_in)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="widger")


def _stand_in(fault: UnicodeError) -> tuple[str, int]:
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    return plainer(fault.object[fault.start : fault.end]), fault.end
