"""Sheets of text as a PDF for the wall or the pocket, in a face of even width; each begins on a page of its own."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas

from tui.out import plainer
from tui.paper.files import put
from tui.paper.labels.pdf import Printed

if TYPE_CHECKING:
    from tui.paper.labels.label import Label

FACE, SIZE, LEAD = "Courier", 9.5, 12.5
MARGIN = 48.0


def text_pdf(texts: Sequence[str], title: str) -> Printed:
    """The texts on pages of A4. The same texts give the same bytes; letters that the face lacks are put plainly."""
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=A4, invariant=True)
    canvas.setTitle(drawn(title))
    pages = draw_texts(canvas, texts)
    canvas.save()
    return Printed(stream.getvalue(), pages, ())


def draw_texts(canvas: Canvas, texts: Sequence[str]) -> int:
    """Draw the texts, each from a new page on; how many pages they take."""
    width, height = A4
    held = int((height - 2 * MARGIN) / LEAD)
    pages = 0
    for text in texts:
        lines = text.split("\n")
        for start in range(0, max(1, len(lines)), held):
            if pages:
                canvas.showPage()
            canvas.setPageSize(A4)
            pages += 1
            canvas.setFont(FACE, SIZE)
            for n, line in enumerate(lines[start : start + held]):
                canvas.drawString(MARGIN, height - MARGIN - (n + 1) * LEAD, drawn(line))
            canvas.drawRightString(width - MARGIN, MARGIN / 2, str(pages))
    return pages


def write_pdf(path: str, texts: Sequence[str], title: str) -> str:
    """Write the PDF, and say so. Raises NotWritten with the reason; then nothing is written."""
    return written(path, text_pdf(texts, title))


def written(path: str, printed: Printed) -> str:
    """Put a PDF where it is wanted, and say so. Raises NotWritten with the reason; then nothing is written."""
    put(Path(path), printed.data)
    return f"{path}: {printed.pages} page{'' if printed.pages == 1 else 's'}"


def write_labels(path: str, labels: Sequence[Label], title: str) -> str:
    """Write labels on the usual sheet, and say so. Raises NotWritten with the reason; then nothing is written."""
    from tui.paper.labels.pdf import make_pdf
    from tui.paper.labels.sheets import DEFAULT_SHEET, find_sheet

    put(Path(path), make_pdf(labels, find_sheet(DEFAULT_SHEET), title=title).data)
    return f"{path}: {len(labels)} label{'' if len(labels) == 1 else 's'} on {DEFAULT_SHEET}"


def drawn(text: str) -> str:
    """The text in letters that the face has."""
    return "".join(c if _has(c) else plainer(c) for c in text)


def _has(letter: str) -> bool:
    try:
        letter.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return letter.isprintable()
