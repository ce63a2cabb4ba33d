"""A screen as a picture: SVG made of what is drawn, cell by cell, with no frame around it and no font from afar."""

from __future__ import annotations

from xml.sax.saxutils import escape

from rich.segment import Segment
from rich.style import Style
from textual.app import App

CELL, LINE, SIZE = 8.4, 18, 14
"""Units of a cell's width, of a line's height, and of the letters."""
FONT = "'DejaVu Sans Mono', Menlo, Consolas, monospace"


def svg(app: App[None], told: str) -> str:
    """The screen in front; `told` is what it is called to one who cannot see it."""
    rows = [list(strip) for strip in app.screen._compositor.render_strips()]
    width, height = app.size.width * CELL, len(rows) * LINE
    ground = app.current_theme.background or "#000000"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height}" role="img" font-size="{SIZE}"'
        f' font-family="{FONT}">',
        f"<title>{escape(told)}</title>",
        f'<rect width="{width:g}" height="{height}" fill="{ground}"/>',
    ]
    for y, row in enumerate(rows):
        grounds, letters = _row(row, y, ground)
        parts += grounds + letters
    return "\n".join([*parts, "</svg>"]) + "\n"


def _row(row: list[Segment], y: int, ground: str) -> tuple[list[str], list[str]]:
    """The grounds and the letters of a line."""
    grounds, letters, x = [], [], 0
    for text, style, cells in ((s.text, s.style or Style(), s.cell_length) for s in _joined(row)):
        front, back = _colour(style.color), _colour(style.bgcolor)
        if style.reverse:
            front, back = back, front
        if back and back != ground:
            grounds.append(_rect(x, y, cells, back))
        if bare := text.strip():
            at = x + len(text) - len(text.lstrip())
            how = f' fill="{front}"'
            how += ' font-weight="bold"' if style.bold else ""
            how += ' font-style="italic"' if style.italic else ""
            where = f'x="{at * CELL:g}" y="{y * LINE + 13.5:g}" textLength="{len(bare) * CELL:g}"'
            letters.append(f'<text {where} xml:space="preserve"{how}>{escape(bare)}</text>')
        x += cells
    return grounds, letters


def _joined(row: list[Segment]) -> list[Segment]:
    """Neighbours of one style as one."""
    found: list[Segment] = []
    for segment in row:
        if found and found[-1].style == segment.style:
            found[-1] = Segment(found[-1].text + segment.text, segment.style)
        else:
            found.append(segment)
    return found


def _rect(x: int, y: int, cells: int, fill: str) -> str:
    return f'<rect x="{x * CELL:g}" y="{y * LINE}" width="{cells * CELL:g}" height="{LINE}" fill="{fill}"/>'


def _colour(colour: object) -> str:
    triplet = getattr(colour, "triplet", None)
    return triplet.hex if triplet is not None else ""
