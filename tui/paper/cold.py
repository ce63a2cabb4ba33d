"""The cold store as plain text for the clipboard on its door: a bar for each lot, within 80 columns."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from textwrap import wrap

from engine.farm.model import Farm
from engine.views.cold import ColdLot, early_radicles
from tui.paper.sheets import WIDTH, day
from tui.screens.cold.bar import LEGEND, bar
from tui.screens.cold.cells import COLUMNS, date_cells, day_cell, phase_cell

NAME, PLANT, BAR = 9, 11, 14


def cold_sheet(farm: Farm, lots: Sequence[ColdLot], today: date) -> str:
    """Each lot with its bar, its dates, and what is to be done with it."""
    lines = [f"{farm.name or 'Farm'} · seed under treatment, {today:%a} {day(today, True)}", ""]
    if not lots:
        return "\n".join([*lines, "No seed is under treatment, and none begins within 30 days."])
    dates = " ".join(f"{name:>6}" for name in COLUMNS)
    lines.append(f"{'lot':<{NAME}} {'plant':<{PLANT}} {'phase':<8} {'':<{BAR}} {'day of':>10} {dates}")
    for lot in lots:
        dates = " ".join(f"{cell:>6}" for cell in date_cells(lot, today))
        name = f"{lot.lot.id:<{NAME}}"  # a long one pushes its line on: a lot's name is never cut
        lines.append(
            f"{name} {_cut(lot.plant):<{PLANT}} {phase_cell(lot):<8} {bar(lot, today, BAR)} "
            f"{day_cell(lot, today):>10} {dates}".rstrip()
        )
        told = [*(f"! {line}" for line in lot.advice), early_radicles(lot, today)]
        for line in told:
            lines += wrap(line, WIDTH, initial_indent=" " * 10, subsequent_indent=" " * 12)
    cautions = dict.fromkeys(lot.cautions[0] for lot in lots if lot.cautions)
    lines += ["", *LEGEND.splitlines(), ""]
    for caution in cautions:
        lines += wrap(f"! {caution}", WIDTH, subsequent_indent="  ")
    return "\n".join([*lines, "Widger advises; local codes, labels and your plant-health authority decide."])


def _cut(name: str) -> str:
    return name if len(name) <= PLANT else f"{name[: PLANT - 1]}…"
