"""The views as JSON, in the shapes that scripts rely on; dates are ISO 8601, null where nothing bounds them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.reading.problems import Problem
from engine.schedule.plan import Nursery
from engine.views.panel import panel
from engine.views.plan import BatchLines, MarkLine
from engine.views.week import Task, Week


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
    told = panel(farm, task, today)
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


def problems_json(problems: Iterable[Problem]) -> dict[str, Any]:
    return {
        "problems": [{"file": p.file, "line": p.line or None, "message": p.message, "hint": p.hint} for p in problems]
    }


def entry_json(entry: Entry) -> dict[str, Any]:
    return {"id": entry.id, "at": entry.at, "on": entry.on.isoformat(), "kind": entry.kind, **entry.data}


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
