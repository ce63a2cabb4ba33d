"""The weeks for the wall, as a PDF: large type, a box to tick before every task, each caution once at the end."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from engine.farm.model import Farm
from engine.needs.dispatch import Parcel, say_sending
from engine.reading.frozen import dataclass
from engine.schedule.states import State
from engine.views.panel import panel
from engine.views.task import Task
from engine.views.week import Week
from tui.cells import counted, day
from tui.paper.labels.label import clean
from tui.paper.labels.pdf import Printed, fonts_for, stand_in
from tui.paper.page import ADVISES
from tui.paper.week_lines import ahead_line, frost_line, hours_line, late_cell, light_line, week_number

PAPERS = {"a4": A4, "letter": LETTER}
MOST_WEEKS = 4
MARGIN, BOX, INDENT = 42.0, 11.0, 22.0
"""Points round the page, of a box, and from its left to the words."""
SIZES = {"title": 22.0, "head": 16.0, "task": 14.0, "small": 11.0}
LEAD = 1.35
"""How far lines stand apart, for their size."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What is set one below the other: its words, its size, what stands at its right end, and whether it has a box."""

    text: str
    size: str = "task"
    bold: bool = False
    right: str = ""
    box: bool = False
    ticked: bool = False
    new_page: bool = False


def wall_pdf(farm: Farm, weeks: Sequence[Week], paper: str = "a4", sends: Sequence[Parcel] = ()) -> Printed:
    """One to four weeks, each from a new page on. The same weeks give the same bytes."""
    pieces = wall_pieces(farm, weeks, sends)
    fonts, lacks = fonts_for("".join(piece.text + piece.right for piece in pieces).replace("\n", " "))
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=PAPERS[paper], invariant=True)
    canvas.setTitle(clean(farm.name or "Farm"))
    pages = _draw(canvas, pieces, fonts, lacks, PAPERS[paper])
    canvas.save()
    told = (
        (f"these letters are in none of the fonts here and were replaced: {' '.join(sorted(lacks))}",) if lacks else ()
    )
    return Printed(stream.getvalue(), pages, told)


def wall_pieces(farm: Farm, weeks: Sequence[Week], sends: Sequence[Parcel] = ()) -> list[Piece]:
    """The words of the sheet, from the top."""
    pieces: list[Piece] = []
    cautions: dict[str, None] = {}
    told: set[tuple[str, str, str]] = set()
    for n, week in enumerate(weeks):
        title = f"Week {week_number(week)}: {day(week.start)} to {day(week.end)}"
        pieces.append(Piece(title, "title", True, farm.name, new_page=n > 0))
        pieces.append(Piece("; ".join((hours_line(week), light_line(week))), "small"))
        if week.frost is not None:
            pieces.append(Piece(frost_line(week), "small"))
        if sends and not n:
            pieces.append(Piece("orders to the door", "head", True))
            pieces += [Piece(say_sending(parcel), box=True) for parcel in sends]
        for place, tasks in week.places():
            mine = [task for task in tasks if n == 0 or _of_that_week(task, week, told)]
            if mine:
                pieces.append(Piece(place, "head", True))
                pieces += _tasks(mine, week)
            for task in mine:
                cautions |= dict.fromkeys(panel(farm, task, week.today).cautions)
            told |= {(task.lot, task.step, task.place) for task in tasks}
        if week.ahead and n == len(weeks) - 1:
            pieces.append(Piece("make ready for the week after", "head", True))
            pieces += [Piece(" ".join(ahead_line(task).split()), box=True) for task in week.ahead]
    if cautions:
        pieces.append(Piece("take care", "head", True))
        pieces += [Piece(f"! {caution}", "small") for caution in cautions]
    return [*pieces, Piece(ADVISES, "small")]


def _of_that_week(task: Task, week: Week, told: set[tuple[str, str, str]]) -> bool:
    """Whether a later week is to tell of a task: it comes again, is new, or ends in it."""
    ends = task.latest is not None and week.start <= task.latest <= week.end
    return task.kind != "act" or ends or (task.lot, task.step, task.place) not in told


def _tasks(tasks: Sequence[Task], week: Week) -> list[Piece]:
    """A line for each task; the looks of a place share one."""
    found = []
    for task in tasks:
        done = task.state is State.DONE
        if task.kind == "act":
            words = f"{task.step}: {task.count} {task.plant}, {task.lot}"
            over = task.over(week.today)
            until = (
                late_cell(over) if over and not done else f"by {day(task.latest)}" if task.latest and not done else ""
            )
            found.append(
                Piece(words, right=until, box=True, ticked=done, bold=task.state in (State.OVERDUE, State.CLOSING))
            )
        elif task.kind != "look":
            found.append(Piece(task.step, right=task.often, box=True, ticked=done))
    looks = [task for task in tasks if task.kind == "look"]
    if looks:
        names = ", ".join(f"{task.plant} {task.lot}" for task in looks)
        found.append(Piece(f"{counted(len(looks), 'look')}: {names}", box=True))
    return found


def _draw(
    canvas: Canvas, pieces: Sequence[Piece], fonts: dict[str, str], lacks: frozenset[str], page: tuple[float, float]
) -> int:
    """Set the pieces; how many pages they take. A head is never the last line of a page."""
    width, height = page
    room, y, number = width - 2 * MARGIN, height - MARGIN, 1
    for n, piece in enumerate(pieces):
        size, font = SIZES[piece.size], fonts["bold" if piece.bold else "plain"]
        indent = INDENT if piece.box else 0.0
        right = stand_in(piece.right, lacks)
        beside = pdfmetrics.stringWidth(right, font, size) + 12 if right else 0.0
        lines = simpleSplit(stand_in(piece.text, lacks), font, size, room - indent - beside) or [""]
        gap = size * 0.7 if piece.size in ("title", "head") and n else 0.0
        needed = gap + len(lines) * size * LEAD + (2 * SIZES["task"] * LEAD if piece.size == "head" else 0.0)
        if piece.new_page or (y - needed < MARGIN and y < height - MARGIN):
            _number(canvas, fonts["plain"], number, width)
            canvas.showPage()
            y, number, gap = height - MARGIN, number + 1, 0.0
        y -= gap
        for k, line in enumerate(lines):
            y -= size * LEAD
            canvas.setFont(font, size)
            canvas.drawString(MARGIN + indent, y, line)
            if k == 0:
                if right:
                    canvas.drawRightString(width - MARGIN, y, right)
                if piece.box:
                    canvas.rect(MARGIN, y - 1, BOX, BOX)
                if piece.ticked:
                    canvas.lines(
                        [(MARGIN, y - 1, MARGIN + BOX, y + BOX - 1), (MARGIN, y + BOX - 1, MARGIN + BOX, y - 1)]
                    )
    _number(canvas, fonts["plain"], number, width)
    return number


def _number(canvas: Canvas, font: str, number: int, width: float) -> None:
    canvas.setFont(font, SIZES["small"])
    canvas.drawRightString(width - MARGIN, MARGIN / 2, str(number))
