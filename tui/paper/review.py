"""A year's plan against what came of it, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import Any

from engine.almanac.almanac import say_days
from engine.farm.model import Farm
from engine.needs.review import KindReview, StepReview
from engine.reading.said import percent
from tui.cells import hours_said
from tui.paper.page import WIDTH


def review_sheet(farm: Farm, year: int, kinds: Iterable[KindReview]) -> str:
    """The year by species and method: each step planned against actual, then what to change."""
    told = [f"{farm.name or 'Farm'} · {year} in review: planned against counted"]
    for kind in kinds:
        route = f", {kind.route}" if kind.route else ""
        title = f"{kind.plant.upper()} · {kind.method}{route} · {', '.join(kind.batches) or 'nothing done'}"
        told += ["", *wrap(title, WIDTH)]
        told.append(f"  time planned {hours_said(kind.hours_planned)}, for what was done {hours_said(kind.hours)}")
        if kind.steps:
            told.append(f"  {'':<20} {'in':>7} {'counted':>8} {'planned':>8} {'actual':>7} {'next':>6}  against aim")
        told += [_step_line(step) for step in kind.steps]
        for change in kind.change:
            told += wrap(f"> {change}", WIDTH, initial_indent="  ", subsequent_indent="    ")
    if len(told) == 1:
        told += ["", "Nothing was done that year."]
    return "\n".join(line.rstrip() for line in told)


def _step_line(step: StepReview) -> str:
    late = "" if step.late is None else _against(round(step.late))
    planned, actual, following = (
        "" if share is None else percent(share) for share in (step.planned, step.actual, step.learned)
    )
    found = f"{step.into:>7} {step.through:>8}" if step.into else f"{'not counted yet' if step.waits else '':>16}"
    counts = f"{found} {planned:>8} {actual:>7} {following:>6}"
    return f"  {step.do[:20]:<20} {counts}  {late}"


def _against(late: int) -> str:
    """`3 days after`, `1 day before`: how an act lay to its aim."""
    return f"{say_days(abs(late))} {'after' if late > 0 else 'before'}" if late else "on the day"


def review_json(year: int, kinds: Iterable[KindReview]) -> dict[str, Any]:
    return {
        "year": year,
        "kinds": [
            {
                "species": kind.species,
                "method": kind.method,
                "route": kind.route or None,
                "batches": list(kind.batches),
                "planned": _rounded(kind.planned),
                "actual": _rounded(kind.actual),
                "hours_planned": round(kind.hours_planned, 2),
                "hours": round(kind.hours, 2),
                "missed": [{"batch": batch, "step": do} for batch, do in kind.missed],
                "change": list(kind.change),
                "steps": [
                    {
                        "step": s.do,
                        "batches": s.batches,
                        "into": None if s.waits else s.into,
                        "through": None if s.waits else s.through,
                        "planned": s.planned,
                        "actual": _rounded(s.actual),
                        "next": _rounded(s.learned),
                        "days_late": None if s.late is None else round(s.late, 1),
                    }
                    for s in kind.steps
                ],
            }
            for kind in kinds
        ],
    }


def _rounded(share: float | None) -> float | None:
    return None if share is None else round(share, 4)
