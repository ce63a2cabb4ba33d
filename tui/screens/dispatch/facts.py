"""What a grower must know of the parcel under the cursor: when it may go and why, what is short, what to mind."""

from __future__ import annotations

import re
from datetime import date

from rich.text import Text

from engine.farm.model import Farm
from engine.needs.dispatch import Parcel, ParcelLine
from tui.facts import CARE, in_parts
from tui.paper.dispatch import CAUTION
from tui.screens.dispatch.rows import say_state

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
        for caution in farm.cautions_on(farm.species_of(line.species))
        if _OF_TRAVEL.search(caution)
    )
    return list(dict.fromkeys(told))


def facts_of(farm: Farm, parcel: Parcel, line: ParcelLine, today: date) -> Text:
    """The panel of a line of a parcel."""
    warnings = [f"do not pick it: {parcel.blocked}"] if parcel.blocked else []
    if line.short:
        coming = f"; {min(line.short, line.to_come)} of them coming" if line.to_come else ""
        warnings.append(f"{line.short} short{coming}: b another kind, r raise it")
    plant = f"{line.plant} {line.cultivar}".rstrip()
    box = "[x]" if parcel.packed else "[ ]"
    picks = [
        f"{box} {pick.count} of {pick.lot}, {', '.join(filter(None, (pick.form, pick.grade)))}, "
        f"{pick.place or 'no place'}"
        for pick in line.picks
    ]
    parts = {
        "do": picks, "when": parcel.why,
        "for": [f"{line.need}: {line.count} {plant} to go{f', {line.form}' if line.form else ''}"],
        CARE: [*cautions_of(farm, parcel), CAUTION],
    }  # fmt: skip
    return in_parts(f"{parcel.who} · {say_state(parcel, today)}", parts, warnings)
