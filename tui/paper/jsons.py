"""The views as JSON, in the shapes that scripts rely on; dates are ISO 8601, null where nothing bounds them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.protocols.model import Days, Step
from engine.reading.problems import Problem
from engine.schedule.nursery import Nursery
from engine.views.cold import ColdLot
from engine.views.panel import panel
from engine.views.plan import BatchLines, MarkLine
from engine.views.species import ProtocolLines, SpeciesPage
from engine.views.task import Task
from engine.views.week import Week


def week_json(farm: Farm, week: Week, nursery: Nursery) -> dict[str, Any]:
    frost = week.frost
    return {
        "week": {"start": week.start.isoformat(), "end": week.end.isoformat()},
        "day_length_minutes": round(week.day_minutes, 2),
        "day_length_change_minutes": round(week.day_change, 2),
        "frost": {}
        if frost is None
        else {
            "mark": frost.mark,
            "date": frost.day.isoformat(),
            "days": frost.days,
            "chance": None if frost.chance is None else round(frost.chance, 4),
        },
        "hours_planned": round(week.hours_planned, 2),
        "hours_there_are": week.hours_there_are,
        "tasks": [_task(farm, task, week.today) for _, tasks in week.places() for task in tasks],
        "problems": list(week.troubles),
    }


def _task(farm: Farm, task: Task, today: date) -> dict[str, Any]:
    told = panel(farm, task, today)  # the odds are not among the figures
    return {
        "kind": task.kind,
        "batch": task.lot,
        "species": task.species,
        "name": task.plant,
        "method": task.method,
        "step": task.step,
        "place": task.place,
        "count": task.count,
        "opens": _iso(task.opens),
        "closes": _iso(task.closes),
        "earliest": _iso(task.earliest),
        "aim": _iso(task.aim),
        "latest": _iso(task.latest),
        "state": task.state,
        "hours": None if task.hours is None else round(task.hours, 2),
        "days": [d.isoformat() for d in task.days],
        "why": [*told.why, *told.warnings],
        "cautions": list(told.cautions),
    }


def plan_json(batches: Sequence[BatchLines]) -> dict[str, Any]:
    return {
        "batches": [
            {
                "id": b.plan.lot.id,
                "species": b.plan.batch.species,
                "cultivar": b.plan.batch.cultivar or None,
                "method": b.plan.batch.method,
                "route": b.plan.batch.protocol.route or None,
                "count": b.plan.lot.count,
                "ready": _iso(b.ready),
                "problems": list(b.problems),
                "steps": [
                    {
                        "step": s.step,
                        "place": s.place,
                        "earliest": _iso(s.earliest),
                        "aim": _iso(s.aim),
                        "latest": _iso(s.latest),
                        "spans": [[first.isoformat(), last.isoformat()] for first, last in s.spans],
                        "done": _iso(s.done),
                        "state": s.state,
                        "count": s.count,
                        "why": list(s.why),
                    }
                    for s in b.steps
                ],
            }
            for b in batches
        ]
    }


def cold_json(lots: Iterable[ColdLot]) -> dict[str, Any]:
    return {
        "lots": [
            {
                "batch": lot.lot.id,
                "species": lot.plan.batch.species,
                "name": lot.plant,
                "count": lot.lot.count,
                "place": lot.place,
                "phase": lot.phase,
                "starts": _iso(lot.now.start),
                "day": lot.day,
                "days_min": lot.now.lasts.least,
                "days_max": lot.now.lasts.most,
                "phases": [
                    {
                        "phase": phase.name,
                        "starts": _iso(phase.start),
                        "begun": phase.begun,
                        "days": phase.gone,
                        "days_min": phase.lasts.least,
                        "days_max": phase.lasts.most,
                    }
                    for phase in lot.phases
                ],
                "next_look": _iso(lot.next_look),
                "last_look": _iso(lot.last_look.day if lot.last_look else None),
                "found": lot.last_look.finding if lot.last_look else None,
                "radicles": _iso(lot.radicles),
                "ready": _iso(lot.ready),
                "ready_latest": _iso(lot.ready_latest),
                "then": lot.following or None,
                "sow_from": _iso(lot.opens),
                "sow_by": _iso(lot.sow_by),
                "advice": list(lot.advice),
                "cautions": list(lot.cautions),
            }
            for lot in lots
        ]
    }


def dates_json(year: int, marks: Iterable[MarkLine], lengths: Iterable[tuple[date, float]]) -> dict[str, Any]:
    return {
        "year": year,
        "marks": [
            {
                "name": m.name,
                "chance": None if m.chance is None else f"{m.chance:.0%}",
                "date": _iso(m.day),
                "from": m.set_by,
            }
            for m in marks
        ],
        "day_length": [{"date": day.isoformat(), "minutes": round(minutes, 2)} for day, minutes in lengths],
    }


def species_json(pages: Iterable[SpeciesPage]) -> dict[str, Any]:
    return {
        "species": [
            {
                "latin": page.species.latin,
                "common": list(page.species.common),
                "form": page.species.form,
                "cautions": list(page.species.cautions),
                "protocols": [_protocol(lines) for lines in page.protocols],
            }
            for page in pages
        ]
    }


def _protocol(lines: ProtocolLines) -> dict[str, Any]:
    protocol, placed = lines.protocol, lines.placed
    return {
        "method": protocol.method,
        "route": protocol.route or None,
        "starts": _iso(lines.starts),
        "ready": _iso(lines.ready),
        "share": round(lines.share, 4),
        "your_share": round(lines.yours.share, 4) if lines.yours else None,
        "your_batches": lines.yours.behind[0] if lines.yours else None,
        "steps": [
            {
                "step": step.do,
                "place": step.place,
                **_windows(step),
                "best_until": [p.text for p in step.best_until],
                "after": [a.do for a in protocol.after(k)],
                "wait_days": _pair(step.wait),
                "lasts_days": _pair(step.lasts),
                "best_days": _pair(step.best),
                "temperature_c": list(step.temperature_c) if step.temperature_c else None,
                "survive": step.survive,
                "weight": step.weight,
                "per_hour": step.per_hour,
                "earliest": _ordinal(placed.earliest[k] if placed else None),
                "latest": _ordinal(placed.latest[k] if placed else None),
                "sources": [f"{figure}: {where}" for figure, where in step.source.items()],
                "cautions": list(step.cautions),
            }
            for k, step in enumerate(protocol.steps)
        ],
    }


def _windows(step: Step) -> dict[str, Any]:
    """Every window; `opens` and `closes` are those of the first."""
    windows = [{"opens": [p.text for p in w.opens], "closes": [p.text for p in w.closes]} for w in step.windows]
    first = windows[0] if windows else {"opens": [], "closes": []}
    return {**first, "windows": windows}


def _pair(days: Days | None) -> list[int | None] | None:
    return None if days is None else [days.least, days.most]


def _ordinal(day: int | None) -> str | None:
    return None if day is None else date.fromordinal(day).isoformat()


def problems_json(problems: Iterable[Problem]) -> dict[str, Any]:
    return {
        "problems": [{"file": p.file, "line": p.line or None, "message": p.message, "hint": p.hint} for p in problems]
    }


def entry_json(entry: Entry) -> dict[str, Any]:
    return {"id": entry.id, "at": entry.at, "on": entry.on.isoformat(), "kind": entry.kind, **entry.data}


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
