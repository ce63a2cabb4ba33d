"""Every batch's chain with its dates, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from engine.farm.material import said_material
from engine.farm.model import Farm
from engine.views.plan import BatchLines
from tui.cells import (
    date_cell,
    day,
    iso,
)
from tui.paper.page import WIDTH, indented


def plan_sheet(farm: Farm, batches: Sequence[BatchLines], why: bool, width: int = WIDTH) -> str:
    """Each batch's chain with its dates; with the reasons where one batch is asked for."""
    lines: list[str] = []
    for b in batches:
        plan = b.plan
        name = farm.species_of(plan.batch.species).name
        cultivar = f" {plan.batch.cultivar}" if plan.batch.cultivar else ""
        route = f", {plan.batch.protocol.route}" if plan.batch.protocol.route else ""
        lines += wrap(f"{plan.lot.id} · {name}{cultivar} · {plan.batch.method}{route} · {plan.lot.count}", width)
        if made_of := said_material(plan.batch):
            lines += indented(made_of, "  ", width)
        for problem in b.problems:
            lines += indented(problem, "  ! ", width)
        lines.append(f"  {'step':<16} {'place':<15} {'from':>9} {'aim':>9} {'until':>9}  state")
        for s in b.steps:
            if s.done is not None:
                dates = f"{'':>9} {date_cell(s.done):>9} {'':>9}"
            else:
                dates = f"{date_cell(s.earliest):>9} {date_cell(s.aim):>9} {date_cell(s.latest):>9}"
            lines.append(f"  {s.step[:16]:<16} {s.place[:15]:<15} {dates}  {s.state}")
            if why:
                for reason in s.why:
                    lines += indented(reason, "      ", width)
        if b.ready:
            lines.append(f"  ready {day(b.ready, True)}")
        lines.append("")
    return "\n".join(lines).rstrip() or "No batches."


def plan_json(batches: Sequence[BatchLines]) -> dict[str, Any]:
    return {
        "batches": [
            {
                "id": b.plan.lot.id,
                "species": b.plan.batch.species,
                "cultivar": b.plan.batch.cultivar or None,
                "method": b.plan.batch.method,
                "route": b.plan.batch.protocol.route or None,
                "rootstock": b.plan.batch.rootstock or None,
                "from": b.plan.batch.source or None,
                "came": iso(b.plan.batch.came),
                "count": b.plan.lot.count,
                "ready": iso(b.ready),
                "problems": list(b.problems),
                "steps": [
                    {
                        "step": s.step,
                        "place": s.place,
                        "earliest": iso(s.earliest),
                        "aim": iso(s.aim),
                        "latest": iso(s.latest),
                        "spans": [[first.isoformat(), last.isoformat()] for first, last in s.spans],
                        "done": iso(s.done),
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
