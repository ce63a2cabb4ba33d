"""The seed under treatment: the cells that screen and sheet share, the sheet for the store's door, and JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.views.cold import LOST, ColdLot, early_radicles
from tui.cells import (
    clipped,
    dated,
    day,
    iso,
    near_cell,
    range_cell,
)
from tui.paper.page import ADVISES, WIDTH
from tui.strips.treatment import LEGEND, bar

COLUMNS = ("look", "ready", "sow by")

NAME, PLANT, BAR = 9, 11, 8


def phase_cell(lot: ColdLot) -> str:
    """`warm`, `cold`, `enough`, `best`, `too long`, `radicles`, `lost`, `to cold`: eight cells at the most."""
    if lot.phase == LOST:
        return LOST
    if lot.radicles is not None:
        return "radicles"
    return lot.now.stage or lot.phase if lot.begun else f"to {lot.phase}"


def day_cell(lot: ColdLot, today: date) -> str:
    """`52/90-120`: the day, of its least and most; `from 1 Dec` where it has not begun."""
    if lot.day is None:
        start = lot.now.start
        return "" if start is None else "due" if start <= today else f"from {day(start)}"
    return f"{lot.day}/{range_cell(lot.now.lasts)}"


def date_cells(lot: ColdLot, today: date) -> tuple[str, str, str]:
    """Next look, ready, sow by: `due`, `22 Feb`, and `Mar 2028` for what is far off."""
    look = "due" if lot.next_look == today else near_cell(lot.next_look, today)
    ready = "now" if lot.ready is not None and lot.ready <= today else near_cell(lot.ready, today)
    return look, ready, near_cell(lot.sow_by, today)


def cold_sheet(farm: Farm, lots: Sequence[ColdLot], today: date) -> str:
    """Each lot with its bar, its dates, and what is to be done with it."""
    lines = [f"{farm.name or 'Farm'} · seed under treatment, {today:%a} {dated(today)}", ""]
    if not lots:
        return "\n".join([*lines, "No seed is under treatment, and none begins within 30 days."])
    dates = " ".join(f"{name:>8}" for name in COLUMNS)
    lines.append(f"{'lot':<{NAME}} {'plant':<{PLANT}} {'phase':<8} {'':<{BAR}} {'day of':>10} {dates}")
    for lot in lots:
        dates = " ".join(f"{cell:>8}" for cell in date_cells(lot, today))
        name = f"{lot.lot.id:<{NAME}}"  # a long one pushes its line on: a lot's name is never cut
        lines.append(
            f"{name} {clipped(lot.plant, PLANT):<{PLANT}} {phase_cell(lot):<8} {bar(lot, today, BAR)} "
            f"{day_cell(lot, today):>10} {dates}".rstrip()
        )
        told = [*(f"! {line}" for line in lot.advice), early_radicles(lot, today)]
        for line in told:
            lines += wrap(line, WIDTH, initial_indent=" " * 10, subsequent_indent=" " * 12)
    cautions = dict.fromkeys(lot.cautions[0] for lot in lots if lot.cautions)
    lines += ["", *LEGEND.splitlines(), ""]
    for caution in cautions:
        lines += wrap(f"! {caution}", WIDTH, subsequent_indent="  ")
    return "\n".join([*lines, ADVISES])


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
                "starts": iso(lot.now.start),
                "day": lot.day,
                "days_min": lot.now.lasts.least,
                "days_max": lot.now.lasts.most,
                "days_best": [lot.now.best.least, lot.now.best.most] if lot.now.best else None,
                "stage": lot.now.stage or None,
                "outages": [
                    {"from": iso(o.first), "to": iso(o.last), "temperature_c": o.temperature_c} for o in lot.outages
                ],
                "phases": [
                    {
                        "phase": phase.name,
                        "starts": iso(phase.start),
                        "begun": phase.begun,
                        "days": phase.gone,
                        "days_min": phase.lasts.least,
                        "days_max": phase.lasts.most,
                    }
                    for phase in lot.phases
                ],
                "next_look": iso(lot.next_look),
                "last_look": iso(lot.last_look.day if lot.last_look else None),
                "found": lot.last_look.finding if lot.last_look else None,
                "radicles": iso(lot.radicles),
                "ready": iso(lot.ready),
                "ready_latest": iso(lot.ready_latest),
                "then": lot.following or None,
                "sow_from": iso(lot.opens),
                "sow_by": iso(lot.sow_by),
                "advice": list(lot.advice),
                "cautions": list(lot.cautions),
            }
            for lot in lots
        ]
    }
