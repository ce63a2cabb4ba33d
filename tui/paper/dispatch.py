"""Orders to the door: the pick list by place, the packing list of each parcel, and the JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.dispatch import Parcel, ParcelLine, walking_order
from tui.cells import day
from tui.paper.page import WIDTH

CAUTION = (
    "Plant passports, quarantines and lists of plants that may not be moved: ask your plant-health authority, and that "
    "of the customer's place, before anything travels."
)


def dispatch_sheet(farm: Farm, found: Sequence[Parcel], on: date) -> str:
    """What is to be picked, in the order in which one walks, then what goes into each parcel."""
    told = [f"{farm.name or 'Farm'} · orders to send, {day(on, True)}"]
    if not found:
        return "\n".join([*told, "", "Nothing is on order that has not gone out."])
    told += ["", "PICK"]
    for place, picks in walking_order(found, on):
        told.append(f"  {place}")
        for who, line, pick in picks:
            plant, grade = f"{line.plant} {line.cultivar}".rstrip(), f", {pick.grade}" if pick.grade else ""
            told.append(f"    [ ] {pick.count:>5} {plant}  {pick.lot}{grade}  for {who}")
    if not walking_order(found, on):
        told.append("  nothing is ready")
    for parcel in found:
        told += ["", *_parcel_lines(parcel)]
    return "\n".join([*told, "", *wrap(CAUTION, WIDTH)])


def _parcel_lines(parcel: Parcel) -> list[str]:
    told = [f"{parcel.who.upper()}: {_when(parcel)}"]
    told += [part for why in parcel.why for part in wrap(why, WIDTH, initial_indent="  ", subsequent_indent="  ")]
    if parcel.blocked:
        told += wrap(f"! not to be picked: {parcel.blocked}", WIDTH, initial_indent="  ", subsequent_indent="    ")
    for line in parcel.lines:
        plant = ", ".join(part for part in (f"{line.plant} {line.cultivar}".rstrip(), line.form, line.grade) if part)
        lots = ", ".join(f"{pick.count} of {pick.lot}" for pick in line.picks) or "none ready"
        told += wrap(f"[ ] {line.need}: {line.count} {plant}: {lots}{_short(line)}", WIDTH, initial_indent="  ",
                     subsequent_indent="      ")  # fmt: skip
    return told


def _when(parcel: Parcel) -> str:
    begin = f"from {day(parcel.send_from, True)}" if parcel.send_from else ""
    end = f"by {day(parcel.send_by, True)}" if parcel.send_by else ""
    return f"send {begin} {end}".replace("  ", " ").strip() if begin or end else "send on any day"


def _short(line: ParcelLine) -> str:
    if not line.short:
        return ""
    coming = f", {min(line.short, line.to_come)} of them coming" if line.to_come else ""
    return f"; {line.short} short{coming}"


def dispatch_json(found: Sequence[Parcel]) -> dict[str, Any]:
    """The parcels, what must go first at the head; `blocked` is the reason, null where there is none."""
    return {
        "parcels": [
            {
                "for": parcel.who,
                "send_from": parcel.send_from.isoformat() if parcel.send_from else None,
                "send_by": parcel.send_by.isoformat() if parcel.send_by else None,
                "blocked": parcel.blocked or None,
                "why": list(parcel.why),
                "lines": [_line(line) for line in parcel.lines],
            }
            for parcel in found
        ]
    }


def _line(line: ParcelLine) -> dict[str, Any]:
    return {
        "need": line.need,
        "species": line.species,
        "cultivar": line.cultivar,
        "form": line.form,
        "grade": line.grade,
        "count": line.count,
        "short": line.short,
        "from": [{"lot": pick.lot, "count": pick.count, "place": pick.place} for pick in line.picks],
    }
