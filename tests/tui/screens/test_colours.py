"""What the screens look like in bright sun, in 16 colours and in none: contrast, and what is sent to the terminal."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path

import pytest
from rich.color import ColorType
from rich.segment import Segment
from textual.widgets import Input, Label, OptionList, Static

from tests.sampled import sampled
from tests.tui.colour import REST, TEXT, contrast
from tests.tui.farms import TODAY, tell
from tests.tui.screens.week.board import MISSED
from tests.tui.shed import opened
from tui.inks import line_inks
from tui.lines import LOOKS

ROOT = Path(__file__).parents[3]
SIGNS = frozenset(" ─│┌┐└┘▁▂▃▄▅▆▇█")
"""What frames and scrolls: no text."""


def poor(segments: list[Segment]) -> list[tuple[str, float]]:
    """The segments with text whose contrast is too low."""
    found = []
    for text, style, _ in segments:
        if text.strip() and style is not None and style.color and style.bgcolor:
            assert style.color.type is ColorType.TRUECOLOR
            ratio = contrast(style.color, style.bgcolor)
            if ratio < (REST if set(text) <= SIGNS else TEXT):
                found.append((text, round(ratio, 2)))
    return found


@pytest.mark.parametrize("theme", sampled(["light", "dark"], 2))
async def test_every_style_of_the_board_stands_out_from_its_ground(tiny: Path, theme: str, monkeypatch):
    monkeypatch.setenv("WIDGER_THEME", theme)
    async with opened(tiny) as shed:
        assert shed.app.current_theme.dark == (theme == "dark")
        for name in sorted({*LOOKS.values(), "plain"}):
            for cursor in (False, True):
                style = line_inks(shed.app)(name, cursor)
                assert style.color is not None, name
                assert style.bgcolor is not None, name
                assert contrast(style.color, style.bgcolor) >= TEXT, (name, cursor)


@pytest.mark.parametrize("theme", sampled(["light", "dark"], 2))
async def test_every_word_on_the_screens_stands_out_from_its_ground(tiny: Path, theme: str, monkeypatch):
    monkeypatch.setenv("WIDGER_THEME", theme)
    tell(tiny, "done", TODAY, batch="Z1", step="soak", count=100)
    tell(tiny, "hold", TODAY, batch="Z1", step="stratify cold", reason="no sand")

    async with opened(tiny) as shed:

        def check() -> None:
            for strip in shed.app.screen._compositor.render_strips():
                assert poor(list(strip)) == []

        def form() -> None:
            """What lies over the board; the board itself is dimmed behind it."""
            widgets = [w for kind in (Label, Input, OptionList, Static) for w in shed.app.screen.query(kind)]
            assert widgets
            for widget in widgets:
                strips = [widget.render_line(y) for y in range(widget.size.height)]
                assert [found for strip in strips for found in poor(list(strip))] == []

        check()
        await shed.go(MISSED)
        check()
        await shed.do("done")
        await shed.fill(count="many")
        await shed.save()
        assert shed.refusal
        form()
        await shed.press("escape")
        await shed.do("drop")
        form()
        await shed.press("escape")
        await shed.do("details")
        form()
        await shed.press("escape")
        await shed.do("find")
        await shed.pilot.pause()
        check()
        await shed.press("s")
        check()


# -- what is sent to a terminal


def sent(farm: Path, home: Path, **settings: str) -> bytes:
    """What a terminal of 80 by 24 is sent until the board is on it, and after the cursor has moved down."""
    keep = {name: os.environ[name] for name in ("PATH", "HOME", "PYTHONPATH") if name in os.environ}
    environment = {**keep, "TERM": "xterm-256color", "WIDGER_DEVICE": "bench", "HOME": str(home), **settings}
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    argv = [sys.executable, "-m", "tui.start", str(farm), "--on", str(TODAY)]
    child = subprocess.Popen(argv, stdin=slave, stdout=slave, stderr=slave, env=environment, cwd=ROOT, close_fds=True)
    os.close(slave)
    steps = iter(
        ((b"\x1b[B", (b"soak", b"scree")), (b"q", (b"gloves",)), (b"", ()))
    )  # a key, and what is waited for first
    seen, (key, awaited), end = b"", next(steps), time.monotonic() + 120
    try:
        while time.monotonic() < end:
            if select.select([master], [], [], 0.1)[0]:
                try:
                    seen += os.read(master, 65536)
                except OSError:  # Linux reports the end of a terminal so
                    break
            if key and all(word in seen for word in awaited):
                os.write(master, key)
                key, awaited = next(steps)
        assert child.wait(120) == 0
    finally:
        if child.poll() is None:
            child.kill()
            child.wait()
        os.close(master)
    assert not key, seen[-400:]
    return seen


def sgr(data: bytes) -> set[str]:
    """Every single code of the "select graphic rendition" escapes, a colour of several numbers as one code."""
    codes = set()
    for escape in re.findall(rb"\x1b\[([0-9;]*)m", data):
        codes.update(re.findall(r"[34]8;5;\d+|[34]8;2;\d+;\d+;\d+|\d+", escape.decode()))
    return codes


COLOUR = re.compile(r"([34]8;.*|3[0-7]|4[0-7]|9[0-7]|10[0-7])")


def colours(data: bytes) -> set[str]:
    return {code for code in sgr(data) if COLOUR.fullmatch(code)}


@pytest.mark.parametrize("value", sampled(["1", ""], 2))
def test_with_no_color_no_colour_is_sent_and_the_cursor_is_in_reverse(tiny: Path, tmp_path: Path, value: str):
    data = sent(tiny, tmp_path, NO_COLOR=value, COLORTERM="truecolor")
    assert colours(data) == set()
    assert "7" in sgr(data)
    reverse = b"".join(re.findall(rb"\x1b\[(?:\d+;)*7(?:;\d+)*m([^\x1b]*)", data))
    assert b"missed" in reverse
    assert b"not yet" not in reverse


def test_where_there_are_colours_they_are_sent(tiny: Path, tmp_path: Path):
    assert any(code.startswith("38;2;") for code in colours(sent(tiny, tmp_path, COLORTERM="truecolor")))


def test_16_colours_are_enough(tiny: Path, tmp_path: Path):
    data = sent(tiny, tmp_path, TERM="xterm", TEXTUAL_COLOR_SYSTEM="standard")
    found = colours(data)
    assert found
    assert not any(code.startswith(("38;", "48;")) for code in found)
    # The line under the cursor has a ground of its own: no other line of the board has it.
    cursor = re.search(rb"\x1b\[([0-9;]*)m[^\x1b]*collect", data)
    assert cursor is not None
    other = re.search(rb"\x1b\[([0-9;]*)m[^\x1b]*stratify", data)
    assert other is not None
    grounds = [{c for c in m[1].decode().split(";") if re.fullmatch(r"4[0-7]|10[0-7]|7", c)} for m in (cursor, other)]
    assert grounds[0] != grounds[1]
