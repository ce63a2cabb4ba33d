"""A label PDF read back by parsers that had no part in writing it: words and their places, pages, codes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from io import BytesIO

import pypdf
import pypdfium2
import zxingcpp

from tui.paper.labels.sheets import Sheet

MM = 25.4 / 72
SCALE = 5
"""Pixels in a point where a page is drawn to read its codes: 360 dots an inch, as an office printer has."""


@dataclass(frozen=True, slots=True)
class Ink:
    """A letter and the box of its ink, in mm from the page's top left corner."""

    letter: str
    left: float
    top: float
    right: float
    bottom: float


def pages(data: bytes) -> list[tuple[float, float]]:
    """The pages' sizes in mm."""
    return [(float(p.mediabox.width) * MM, float(p.mediabox.height) * MM) for p in pypdf.PdfReader(BytesIO(data)).pages]


def words(data: bytes) -> str:
    """All text, its lines joined."""
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(data)).pages).split())


def ink(data: bytes, page: int = 0) -> list[Ink]:
    """Every letter of a page with its box, as another library places it."""
    sheet = pypdfium2.PdfDocument(data)[page]
    height = sheet.get_height()
    text = sheet.get_textpage()
    found = []
    for n in range(text.count_chars()):
        letter = text.get_text_range(n, 1)
        if letter.strip():
            left, bottom, right, top = text.get_charbox(n)
            found.append(Ink(letter, left * MM, (height - top) * MM, right * MM, (height - bottom) * MM))
    return found


def codes(data: bytes, page: int = 0) -> list[tuple[str, str, float, float]]:
    """The codes that a reader finds on a page as drawn: format, text, and the centre in mm."""
    image = pypdfium2.PdfDocument(data)[page].render(scale=SCALE).to_pil()
    found = []
    for code in zxingcpp.read_barcodes(image):
        corners = (code.position.top_left, code.position.bottom_right)
        x, y = (sum(getattr(c, axis) for c in corners) / 2 / SCALE * MM for axis in "xy")
        found.append((code.format.name, code.text, x, y))
    return found


@cache
def _margin(sheet: Sheet) -> tuple[float, float]:
    return sheet.margin


def cell_of(sheet: Sheet, x: float, y: float) -> int | None:
    """Which label of a sheet a point in mm lies on, None where on none."""
    (left, top), (width, height) = _margin(sheet), sheet.label
    column, across = divmod(x - left, width + sheet.gap[0])
    row, down = divmod(y - top, height + sheet.gap[1])
    inside = across <= width and down <= height and 0 <= column < sheet.columns and 0 <= row < sheet.rows
    return int(row * sheet.columns + column) if inside else None


def strays(sheet: Sheet, letters: list[Ink]) -> list[Ink]:
    """Letters whose ink does not lie wholly on one label's printed part, in soil or over an edge."""
    out = []
    for letter in letters:
        n = cell_of(sheet, letter.left, letter.top)
        right = sheet.cell(n)[0] + sheet.label[0] - sheet.blank if n is not None else 0
        if n is None or cell_of(sheet, letter.right, letter.bottom) != n or letter.right > right:
            out.append(letter)
    return out
