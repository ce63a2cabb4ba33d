"""How a label's words and code share its space: sizes and wraps, by a measure of text that is handed in."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from engine.reading.frozen import dataclass

Measure = Callable[[str, float, str], float]
"""The width of a text in a face (bold, italic, plain) at a size."""

POINT = 72 / 25.4
"""Points in a mm."""
LARGEST, SMALLEST, STEP = 13.0, 4.5, 0.25
"""Type sizes of the title, in points; below the smallest, words are left out, for nobody would read them."""
READS = 7.0
"""The least that is read at arm's length: capitals, 0.73 of the type, of 1.75 mm stand at 60 cm at 10 minutes of arc,
twice what a good eye just makes out (from memory). What is not that large in full is said shorter first."""
REST = 0.82
"""The size of what is not bold, as a share of the title's."""
ASCENT, DESCENT = 0.95, 0.25
"""Shares of the type size above and below the baseline: room for the tallest letters with their accents."""
CUT = "…"


@dataclass(frozen=True, slots=True)
class Line:
    """A line of text: its left end and baseline, in points from the top left corner, y growing downwards."""

    x: float
    y: float
    face: str
    size: float
    text: str


@dataclass(frozen=True, slots=True)
class Box:
    """A space in points, from the top left corner, y growing downwards."""

    x: float
    y: float
    width: float
    height: float


def wrap(text: str, width: float, measure: Callable[[str], float]) -> tuple[list[str], bool]:
    """The text in lines no wider than `width`, and whether a word had to be broken. One letter is always taken.

    No line ends at a no-break space unless it must; it comes out as a plain one.
    """
    lines: list[str] = []
    broken = False
    line = ""
    for tied in text.split(" "):
        word = tied.replace("\u00a0", " ")
        if line and measure(f"{line} {word}") <= width:
            line = f"{line} {word}"
            continue
        if line:
            lines.append(line)
        line = word
        while measure(line) > width and len(line) > 1:
            broken = True
            head = 1
            while measure(line[: head + 1]) <= width:
                head += 1
            lines.append(line[:head])
            line = line[head:]
    return ([*lines, line] if line else lines), broken


def lay_text(
    said: Sequence[tuple[str, str]],
    box: Box,
    measure: Measure,
    shorter: Sequence[Sequence[tuple[str, str]]] = (),
) -> list[Line]:
    """Paragraphs in a box, as large as they fit: whole, else by the first shorter way that fits, in type that reads.

    Where none does, the shortest is set smaller still; then words are broken; then, in the smallest type, left out.
    """
    # a blank paragraph would take the room of a line
    ways = [[(face, text) for face, text in way if text.strip()] for way in (said, *shorter)]
    sizes = [LARGEST - STEP * n for n in range(int((LARGEST - SMALLEST) / STEP) + 1)]
    large, small = [s for s in sizes if s >= READS], [s for s in sizes if s < READS]
    tries = [(way, large, False) for way in ways] + [(ways[-1], small, False), (ways[-1], sizes, True)]
    for way, allowed, may_break in tries:
        for size in allowed:
            lines, broken = _set(way, box, measure, size)
            if (may_break or not broken) and _height(lines) <= box.height:
                return _stack(lines, box)
    return _stack(_left_out(ways[-1], box, measure), box)


_Row = tuple[str, float, str]  # face, size, text


def _size(face: str, size: float) -> float:
    return size if face == "bold" else max(size * REST, SMALLEST)


def _set(said: Sequence[tuple[str, str]], box: Box, measure: Measure, size: float) -> tuple[list[_Row], bool]:
    rows: list[_Row] = []
    any_broken = False
    for face, text in said:
        own = _size(face, size)
        lines, broken = wrap(text, box.width, lambda part, face=face, own=own: measure(face, own, part))  # type: ignore[misc]
        rows += [(face, own, line) for line in lines]
        any_broken = any_broken or broken
    return rows, any_broken


def _height(rows: Sequence[_Row]) -> float:
    return sum(size * (ASCENT + DESCENT) for _, size, _ in rows)


def _left_out(said: Sequence[tuple[str, str]], box: Box, measure: Measure) -> list[_Row]:
    """At the smallest size: as many lines as there is room for, each paragraph at least one while they last.

    Whole words are left out, and a mark says so; a word that no line holds is left out too.
    """
    room = max(1, int(box.height / (SMALLEST * (ASCENT + DESCENT))))
    rows: list[_Row] = []
    for n, (face, text) in enumerate(said[:room]):
        may = max(1, room - len(rows) - (len(said[:room]) - n - 1))
        words = text.replace("\u00a0", " ").split(" ")
        for kept in range(len(words), -1, -1):
            told = " ".join(words[:kept] if kept == len(words) else [*words[:kept], CUT])
            lines, broken = wrap(told, box.width, lambda part, face=face: measure(face, SMALLEST, part))  # type: ignore[misc]
            if len(lines) <= may and not (broken and kept):
                break
        rows += [(face, SMALLEST, line) for line in lines]
    return rows


def _stack(rows: Sequence[_Row], box: Box) -> list[Line]:
    lines: list[Line] = []
    y = box.y
    for face, size, text in rows:
        lines.append(Line(box.x, y + size * ASCENT, face, size, text))
        y += size * (ASCENT + DESCENT)
    return lines


# -- the code ------------------------------------------------------------------------------------------------------

QR_QUIET, BARS_QUIET = 4, 10
"""Modules left blank around a QR code (ISO/IEC 18004) and on either side of a Code 128 (ISO/IEC 15417)."""
QR_LEAST, BARS_LEAST = 0.25 * POINT, 0.19 * POINT
"""The narrowest module that phones and hand scanners read from office printers (common practice)."""
BARS_MOST = 0.5 * POINT
SIDE_MOST = 25 * POINT
GAP = 1.0 * POINT


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a code goes, quiet zone left out, how wide its module is, and the space that is left for words."""

    box: Box
    module: float
    words: Box


def place_square(modules: int, box: Box) -> Placed | None:
    """A QR code of so many modules a side at the right of a box; None where its modules would be too small to read."""
    whole = modules + 2 * QR_QUIET
    for share in (0.4, 0.6):
        side = min(box.height, box.width * share, SIDE_MOST)
        module = side / whole
        if module >= QR_LEAST:
            inset = QR_QUIET * module
            left, top = box.x + box.width - side, box.y + (box.height - side) / 2
            code = Box(left + inset, top + inset, side - 2 * inset, side - 2 * inset)
            return Placed(code, module, Box(box.x, box.y, box.width - side, box.height))
    return None


def place_bars(modules: int, box: Box) -> Placed | None:
    """A Code 128 of so many modules: at the right of a long label, along the foot of others; None where too narrow."""
    whole = modules + 2 * BARS_QUIET
    if box.width >= 2.5 * box.height and box.width / 2 / whole >= BARS_LEAST * 1.3:
        module = min(BARS_MOST, box.width / 2 / whole)
        height = min(box.height, 14 * POINT)
        left = box.x + box.width - (modules + BARS_QUIET) * module
        code = Box(left, box.y + (box.height - height) / 2, modules * module, height)
        return Placed(code, module, Box(box.x, box.y, box.width - whole * module, box.height))
    module = min(BARS_MOST, box.width / whole)
    if module < BARS_LEAST:
        return None
    height = min(9 * POINT, box.height * 0.33)
    code = Box(box.x + BARS_QUIET * module, box.y + box.height - height, modules * module, height)
    return Placed(code, module, Box(box.x, box.y, box.width, box.height - height - GAP))
