"""What a grower must know of the parcel under the cursor: when it may go and why, what is short, what to mind."""

from __future__ import annotations

import re
from datetime import date

from rich.text import Text

from engine.farm.model import Farm
from engine.needs.dispatch import Parcel, ParcelLine
from tui.paper.dispatch import CAUTION
from tui.screens.dispatch.rows import say_when

_OF_TRAVEL = re.compile(
    r"quarantin|invasive|plant-health|licen[cs]e|breeders|\blaws?\b|passport|permit|forbid|ban(ned)?\b|may not",
    re.IGNORECASE,
)
"""What of a species' cautions concerns its going elsewhere."""


def cautions_of(farm: Farm, parcel: Parcel) -> list[str]:
    """What of the cautions of a parcel's plants concerns their travelling, each once."""
    told = (
        f"{line.plant}: {caution}"
        for line in parcel.lines
        for caution in farm.species_of(line.species).cautions
        if _OF_TRAVEL.search(caution)
    )
    return list(dict.fromkeys(told))


def facts_of(farm: Farm, parcel: Parcel, line: ParcelLine, today: date) -> Text:
    """The panel of a line of a parcel."""
    text = Text(f"{parcel.who} · send {say_when(parcel, today)}", style="bold")
    if parcel.blocked:
        text.append(f"\n! not to be picked: {parcel.blocked}", style="bold not italic")
    for why in parcel.why:
        text.append(f"\n{why}", style="not bold")
    plant = f"{line.plant} {line.cultivar}".rstrip()
    text.append(f"\n{line.need}: {line.count} {plant} to go{f', {line.form}' if line.form else ''}", style="not bold")
    box = "[x]" if parcel.packed else "[ ]"
    for pick in line.picks:
        kind = ", ".join(part for part in (pick.form, pick.grade) if part)
        text.append(f"\n  {box} {pick.count} of {pick.lot}, {kind}, {pick.place or 'no place'}", style="not bold")
    if line.short:
        coming = f"; {min(line.short, line.to_come)} of them coming" if line.to_come else ""
        text.append(f"\n! {line.short} short{coming}: b another kind, r raise it", style="bold not italic")
    for caution in (*cautions_of(farm, parcel), CAUTION):
        text.append(f"\n! {caution}", style="italic not bold")
    return text
