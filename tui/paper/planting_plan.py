"""A planting drawn to scale for the wall, north up: crowns as they are in a year, each plant with its id."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from io import BytesIO

from engine.reading.frozen import dataclass
from engine.reading.units import FOOT_M, US
from engine.views.planting import PlantingView
from tui.paper.labels.label import clean
from tui.paper.labels.pdf import Printed
from tui.paper.pdf import drawn

MARGIN_M = 1.5
CROWN_FILL = {
    "tall": "#5d7f4e", "middle": "#86a86c", "shrub": "#b3c795", "climber": "#c9b88a", "herb": "#d8dcae",
    "ground": "#e6e3c8",
}  # fmt: skip
"""By layer; each lies over what is lower with its edge drawn, so that it is read without colour too."""
INK = "#26301f"
LENGTHS = (1, 2, 5, 10, 20, 50, 100, 200, 500)
SIGNS = {"wanted": "○", "alive": "●", "bearing": "✱", "dead": "✕"}


@dataclass(frozen=True, slots=True)
class Spot:
    """One plant on the plan: metres from the west and from the north edge, the crown's radius, its layer and state."""

    x: float
    y: float
    radius: float
    top: float
    layer: str
    state: str
    id: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A planting in metres: how wide and how deep it is, and its plants, the lowest first."""

    width: float
    depth: float
    spots: tuple[Spot, ...]
    title: str
    units: str = "metric"
    """Those of the scale."""


def plan_of(view: PlantingView, year: int, units: str = "metric") -> Plan | None:
    """The plan of a planting so many years on; None where no position has a spot."""
    crowns = view.light.crowns(year)
    placed = [(line, line.plant.at) for line in view.lines if line.plant.at is not None]
    if not placed:
        return None
    reach = {line.k: crown.radius if (crown := crowns[line.k]) is not None else 0.3 for line, _ in placed}
    west = min(at[0] - reach[line.k] for line, at in placed) - MARGIN_M
    east = max(at[0] + reach[line.k] for line, at in placed) + MARGIN_M
    south = min(at[1] - reach[line.k] for line, at in placed) - MARGIN_M
    north = max(at[1] + reach[line.k] for line, at in placed) + MARGIN_M
    spots = (
        Spot(
            at[0] - west, north - at[1], crown.radius if (crown := crowns[line.k]) is not None else 0.0,
            crown.top if crown is not None else 0.0, line.layer, line.state, line.plant.id,
        )
        for line, at in placed
    )  # fmt: skip
    title = f"{view.planting.name}, {view.light.year + year} (year {year})"
    return Plan(east - west, north - south, tuple(sorted(spots, key=lambda spot: spot.top)), title, units)


def scale_bar(plan: Plan) -> tuple[float, str]:
    """The bar that shows the scale, about a quarter of the width: its length in metres, and what that is."""
    size, unit = (FOOT_M, "ft") if plan.units == US else (1.0, "m")
    most = max((n for n in LENGTHS if n * size <= plan.width / 3), default=1)
    return most * size, f"{most} {unit}"


def svg_of(plan: Plan) -> str:
    """The plan as SVG, in metres, with a title, north and the scale."""
    foot, (bar, length) = 2.4, scale_bar(plan)
    text = max(0.35, min(0.9, plan.width / 40))
    height = plan.depth + foot
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {plan.width:.2f} {height:.2f}" '
        f'width="{plan.width * 20:.0f}" height="{height * 20:.0f}" font-family="sans-serif" font-size="{text:.2f}">',
        f"<title>{escape(clean(plan.title))}</title>",
        f'<rect width="{plan.width:.2f}" height="{height:.2f}" fill="#fbfaf4"/>',
    ]
    for spot in plan.spots:
        if spot.radius:
            lines.append(
                f'<circle cx="{spot.x:.2f}" cy="{spot.y:.2f}" r="{spot.radius:.2f}" fill="{CROWN_FILL[spot.layer]}" '
                f'fill-opacity="0.7" stroke="{INK}" stroke-width="0.05"/>'
            )
    for spot in plan.spots:
        lines.append(
            f'<text x="{spot.x:.2f}" y="{spot.y + text / 3:.2f}" text-anchor="middle" fill="{INK}">'
            f"{SIGNS[spot.state]} {escape(clean(spot.id))}</text>"
        )
    y = plan.depth + foot / 2
    lines += [
        f'<path d="M1 {y:.2f} h{bar:g} m0 -0.3 v0.6 m-{bar:g} -0.6 v0.6" '
        f'stroke="{INK}" stroke-width="0.08" fill="none"/>',
        f'<text x="{1 + bar / 2:.2f}" y="{y - 0.35:.2f}" text-anchor="middle" fill="{INK}">{length}</text>',
        f'<text x="{plan.width - 1:.2f}" y="{y + text / 3:.2f}" text-anchor="end" fill="{INK}">'
        f"{escape(clean(plan.title))}   N ↑</text>",
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def plan_pdf(plans: Sequence[Plan], sheets: Sequence[str], title: str) -> Printed:
    """Each plan on a page of A4, on its side where it is wider than deep, and after them the sheets of text."""
    from reportlab.lib.colors import HexColor
    from reportlab.lib.pagesizes import A4, landscape
    from reportlab.pdfgen.canvas import Canvas

    from tui.paper.pdf import draw_texts

    stream = BytesIO()
    canvas = Canvas(stream, pagesize=A4, invariant=True)
    canvas.setTitle(drawn(title))
    edge = 36.0
    for plan in plans:
        width, height = landscape(A4) if plan.width > plan.depth else A4
        canvas.setPageSize((width, height))
        metre = min((width - 2 * edge) / plan.width, (height - 2 * edge - 30) / plan.depth)
        left, top = (width - plan.width * metre) / 2, height - edge
        canvas.setStrokeColor(HexColor(INK))
        for spot in plan.spots:
            if spot.radius:
                canvas.setFillColor(HexColor(CROWN_FILL[spot.layer]))
                canvas.setLineWidth(0.6)
                canvas.circle(left + spot.x * metre, top - spot.y * metre, spot.radius * metre, fill=1)
        canvas.setFillColor(HexColor(INK))
        canvas.setFont("Helvetica", max(5.0, min(9.0, metre * 0.5)))
        for spot in plan.spots:
            mark = {"wanted": "-", "alive": "", "bearing": "*", "dead": "x"}[spot.state]
            canvas.drawCentredString(left + spot.x * metre, top - spot.y * metre - 3, drawn(f"{spot.id}{mark}"))
        bar, length = scale_bar(plan)
        canvas.setLineWidth(1.2)
        canvas.line(edge, edge, edge + bar * metre, edge)
        canvas.setFont("Helvetica", 9)
        canvas.drawString(edge, edge + 4, length)
        canvas.drawRightString(width - edge, edge, drawn(f"{plan.title}   north is up; * bears, x dead, - wanted"))
        canvas.showPage()
    pages = len(plans) + draw_texts(canvas, sheets)
    canvas.save()
    return Printed(stream.getvalue(), pages, ())
