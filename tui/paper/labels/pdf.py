"""Labels as a PDF: words in a face that the library carries, and each lot's id as a QR code or a Code 128."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from io import BytesIO
from itertools import groupby

from reportlab.graphics.barcode.code128 import Code128
from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFError, TTFont
from reportlab.pdfgen.canvas import Canvas

from engine.reading.frozen import dataclass
from tui.out import plainer
from tui.paper.labels.label import TIED, Label, clean, ways_to_say
from tui.paper.labels.layout import CUT, POINT, Box, Line, Placed, lay_text, place_bars, place_square
from tui.paper.labels.sheets import Sheet, places

CODE_BYTES = 200
"""A longer id makes a code that no label holds."""
WORDS_MOST = 400
"""Letters of one paragraph that are tried on a label; words beyond are left out."""

# Bold, italic and plain. The library carries the first; the others, where the machine has them, know more letters.
FAMILIES = (
    ("VeraBd.ttf", "VeraIt.ttf", "Vera.ttf"),
    ("DejaVuSans-Bold.ttf", "DejaVuSans-Oblique.ttf", "DejaVuSans.ttf"),
    ("arialbd.ttf", "ariali.ttf", "arial.ttf"),
)
FACES = ("bold", "italic", "plain")


@dataclass(frozen=True, slots=True)
class Printed:
    """A finished PDF: its bytes, its pages, and what the grower must be told."""

    data: bytes
    pages: int
    told: tuple[str, ...]


def make_pdf(labels: Sequence[Label], sheet: Sheet, code: str = "qr", start: int = 1, title: str = "") -> Printed:
    """The labels on a sheet, the first on label `start` (from 1). The same labels give the same bytes."""
    cells = places(sheet, len(labels), start)
    width, height = (side * POINT for side in sheet.page)
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=(width, height), invariant=True)
    canvas.setTitle(clean(title))
    told: dict[str, None] = {}
    designs = _designs(labels, code, printed_box(sheet, 0), told)
    page = 0
    for label, (on_page, cell) in zip(labels, cells, strict=True):
        if on_page != page:
            canvas.showPage()
            page = on_page
        (left, top), (first_left, first_top) = sheet.cell(cell), sheet.cell(0)
        canvas.saveState()
        canvas.translate((left - first_left) * POINT, height - (top - first_top) * POINT)
        _draw(canvas, designs[label])
        canvas.restoreState()
    canvas.save()
    return Printed(stream.getvalue(), page + 1, tuple(told))


@dataclass(frozen=True, slots=True)
class _Design:
    """One label laid out on the sheet's first cell: its words, and its code as squares or as bars."""

    lines: Sequence[tuple[str, Line]]
    """Each with its font."""
    placed: Placed | None = None
    square: Sequence[Sequence[bool]] = ()
    bars: str = ""


def _designs(labels: Sequence[Label], kind: str, box: Box, told: dict[str, None]) -> dict[Label, _Design]:
    """Each label laid out once, however many copies there are."""
    said = {
        label: [[(face, _shortened(text)) for face, text in way] for way in ways_to_say(label)]
        for label in dict.fromkeys(labels)
    }
    letters = "".join(text for ways in said.values() for way in ways for _, text in way)
    fonts, lacks = fonts_for(letters.replace(TIED, " ") + CUT)
    if lacks:
        told[f"these letters are in none of the fonts here and were replaced: {' '.join(sorted(lacks))}"] = None

    @cache
    def thousandths(face: str, text: str) -> float:
        return float(pdfmetrics.stringWidth(text, fonts[face], 1000))

    def measure(face: str, size: float, text: str) -> float:  # the same words are tried in many sizes
        return 0.001 * size * thousandths(face, text)

    designs = {}
    for label, ways in said.items():
        placed, square, bars = _place_code(label.lot, kind, box, told)
        whole, *shorter = [[(face, stand_in(text, lacks)) for face, text in way] for way in ways]
        lines = lay_text(whole, placed.words if placed else box, measure, shorter)
        designs[label] = _Design([(fonts[line.face], line) for line in lines], placed, square, bars)
    return designs


def _shortened(text: str) -> str:
    return text if len(text) <= WORDS_MOST else f"{text[: WORDS_MOST - 2].rpartition(' ')[0]} {CUT}".strip()


def _draw(canvas: Canvas, design: _Design) -> None:
    """Draw a label; the origin is the page's top left corner where the label is on the first cell."""
    for font, line in design.lines:
        canvas.setFont(font, line.size)
        canvas.drawString(line.x, -line.y, line.text)
    if design.placed is None:
        return
    box, module = design.placed.box, design.placed.module
    if design.bars:
        bars = Code128(design.bars, barWidth=module, barHeight=box.height, quiet=0)
        bars.drawOn(canvas, box.x, -box.y - box.height)
        return
    path = canvas.beginPath()  # all as one path, each run of a row one rectangle, so that no seams show
    for down, row in enumerate(design.square):
        across = 0
        for dark, run in groupby(row):
            length = len(list(run))
            if dark:
                path.rect(box.x + across * module, -box.y - (down + 1) * module, length * module, module)
            across += length
    canvas.drawPath(path, stroke=0, fill=1)


def printed_box(sheet: Sheet, cell: int) -> Box:
    """What of a label is printed on, in points from the page's top left corner."""
    left, top = sheet.cell(cell)
    pad_x, pad_y = sheet.pad
    length, height = sheet.label
    return Box(
        (left + pad_x) * POINT,
        (top + pad_y) * POINT,
        (length - 2 * pad_x - sheet.blank) * POINT,
        (height - 2 * pad_y) * POINT,
    )


def stand_in(text: str, lacks: Iterable[str]) -> str:
    """The text with the letters that no font has put plainly: without their accents, or by how they sound."""
    for letter in lacks:
        bare = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode()
        text = text.replace(letter, bare or plainer(letter))
    return text


@cache
def _family(files: tuple[str, ...]) -> tuple[TTFont, ...] | None:
    """The fonts of these files, None where the machine has them not. To read them takes as long as a page of labels."""
    try:
        return tuple(TTFont(file.removesuffix(".ttf"), file) for file in files)
    except TTFError:
        return None


def fonts_for(text: str) -> tuple[dict[str, str], frozenset[str]]:
    """A font for each face that has all letters of the text, else the library's own and the letters it lacks."""
    own: tuple[dict[str, str], frozenset[str]] | None = None
    for family in FAMILIES:
        if (fonts := _family(family)) is None:
            continue
        lacks = frozenset(c for c in text for font in fonts if ord(c) not in font.face.charToGlyph)
        found = {face: font.fontName for face, font in zip(FACES, fonts, strict=True)}, lacks
        if own is None or not lacks:
            for font in fonts:
                pdfmetrics.registerFont(font)
        own = own or found
        if not lacks:
            return found
    assert own is not None, "the library carries its own fonts"
    return own


# -- the code ------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=1024)  # the labels of a lot's steps, and of a planting's walk, bear one code
def square_of(lot: str) -> Sequence[Sequence[bool]]:
    """The modules of a QR code of a lot's id, as UTF-8, with medium correction; True is dark. Raises ValueError."""
    data = lot.encode("utf-8", "replace")
    if not 0 < len(data) <= CODE_BYTES:
        raise ValueError(f"a code holds 1 to {CODE_BYTES} bytes, not {len(data)}")
    square = QRCode(None, QRErrorCorrectLevel.M)
    square.addData(QR8bitByte(data))
    square.make()
    return tuple(tuple(bool(dark) for dark in row) for row in square.modules)


def bars_carry(lot: str) -> bool:
    """Whether a Code 128 can carry a lot's id: plain printable letters only."""
    return 0 < len(lot) <= CODE_BYTES and all(" " <= letter <= "~" for letter in lot)


def _place_code(
    lot: str, kind: str, box: Box, told: dict[str, None]
) -> tuple[Placed | None, Sequence[Sequence[bool]], str]:
    """Where a lot's code goes in a box, with its squares or its bars. What cannot be drawn as asked is told."""
    if kind == "none":
        return None, (), ""
    if kind == "code128" and bars_carry(lot):
        placed = place_bars(round(Code128(lot, barWidth=1, quiet=0).width), box)
        if placed:
            return placed, (), lot
    try:
        square = square_of(lot)
        placed = place_square(len(square), box)
    except ValueError:
        square, placed = (), None
    if placed is None:
        told[f"{clean(lot)[:60]}: its id is too long for a code on this label; it has none"] = None
    elif kind == "code128":
        told[f"{clean(lot)}: no Code 128 of this id fits here; a QR code was used instead"] = None
    return placed, square, ""
