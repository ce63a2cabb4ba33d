"""Orders to the door: the pick list by place, the packing list of each parcel, and the JSON."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.farm.model import Farm
from engine.needs.dispatch import Parcel, ParcelLine, walking_order
from engine.protocols.laws import laws_on_sending
from tui.cells import dated, day
from tui.out import cell
from tui.paper.labels.label import PROPAGATED, Label, clean
from tui.paper.page import WIDTH

LOOK = "Look every bundle over as it is packed: true to its label, roots moist, free of pest, disease and soil weeds."
CAUTION = (
    "Plant passports, quarantines and lists of plants that may not be moved: ask your plant-health authority, and that "
    "of the customer's place, before anything travels."
)
INSPECTED = (
    "have your stock inspected and your certificate or plant passports in date. Ask your plant-health authority weeks "
    "ahead what it wants to see, and when."
)
PASSPORT = (
    "A plant passport says of each lot: A its botanical name, B the grower's registration, C its traceability code, "
    "D its country of origin. Only an authorised grower may issue one; registration and country go in [farm]."
)


def dispatch_sheet(farm: Farm, found: Sequence[Parcel], on: date) -> str:
    """What is to be picked, in the order in which one walks, then what goes into each parcel."""
    told = [f"{farm.name or 'Farm'} · orders to send, {dated(on)}"]
    if not found:
        return "\n".join([*told, "", "There are no orders to send."])
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
    laws = laws_on_sending(farm.site.region)
    if laws:
        told += _inspection(found, on)
    for law in laws:
        told += ["", *wrap(f"! {law}", WIDTH)]
    return "\n".join([*told, "", *wrap(LOOK, WIDTH), *wrap(CAUTION, WIDTH)])


def _inspection(found: Sequence[Parcel], on: date) -> list[str]:
    """What must be in order before the first parcel leaves, and the day on which that may be; what stays needs none."""
    leaving = [max(p.send_from or on, on) for p in found if not p.planting and not p.blocked]
    if not leaving:
        return []
    first = min(leaving)
    when = (
        f"before {day(first, True)}, when the first parcel may leave"
        if first > on
        else "before the first parcel leaves"
    )
    return ["", *wrap(f"[ ] {when}: {INSPECTED}", WIDTH, subsequent_indent="    ")]


def pick_list(farm: Farm, found: Sequence[Parcel], on: date) -> str:
    """What is to be picked of what may travel by a day, in the order in which one walks, a box for each."""
    told = [f"{farm.name or 'Farm'} · pick list, {dated(on)}"]
    for place, picks in walking_order(found, on):
        told += ["", place.upper()]
        told += [f"  [ ] {pick.count:>5} {_name(line)}  {pick.lot}  for {who}" for who, line, pick in picks]
    return "\n".join(told if len(told) > 1 else [*told, "", "nothing is ready"])


def packing_list(farm: Farm, parcel: Parcel, on: date) -> str:
    """What goes into one parcel, from which lots, what is still to come, and what a plant passport says of each lot."""
    told = [f"{farm.name or 'Farm'} · packing list, {dated(on)}", "", f"FOR {parcel.who.upper()}: {_when(parcel)}"]
    if parcel.blocked:
        told += wrap(f"! do not pick it: {parcel.blocked}", WIDTH)
    for line in parcel.lines:
        for pick in line.picks:
            kind = ", ".join(part for part in (pick.form, pick.grade) if part)
            told.append(f"  [ ] {pick.count:>5} {_name(line)}, {kind}  lot {pick.lot}  ({line.need})")
        if line.short:
            told.append(f"      {line.short:>5} {_name(line)} still to come  ({line.need})")
    passports = passports_of(farm, parcel)
    if passports:
        told += ["", *wrap(PASSPORT, WIDTH)]
        for fields in passports:
            told += ["  " + "   ".join(f"{letter} {text}" for letter, text in zip("ABCD", fields, strict=True))]
    return "\n".join([*told, "", *wrap(CAUTION, WIDTH)])


def passports_of(farm: Farm, parcel: Parcel) -> list[tuple[str, str, str, str]]:
    """For each lot in a parcel: botanical name, registration number, traceability code, country of origin."""
    rows = (
        (_botanical(line), farm.registration or "____", pick.lot, farm.country or "__")
        for line in parcel.lines
        for pick in line.picks
    )
    return list(dict.fromkeys(rows))


def _botanical(line: ParcelLine) -> str:
    return f"{line.species} '{line.cultivar}'" if line.cultivar else line.species


def parcel_labels(farm: Farm, found: Sequence[Parcel]) -> list[Label]:
    """A label for each lot in each parcel, with whom it is for."""
    return [
        Label(
            pick.lot, clean(line.species), clean(line.plant if line.plant != line.species else ""),
            clean(line.cultivar), f"{pick.count} for {clean(parcel.who)}", "", None, clean(farm.name),
            form=clean(pick.form), grade=clean(pick.grade), origin=PROPAGATED,
        )
        for parcel in found if not parcel.blocked
        for line in parcel.lines
        for pick in line.picks
    ]  # fmt: skip


def dispatch_csv(found: Sequence[Parcel]) -> str:
    """The parcels as a table, a row for each need; the lots as `24 S1; 6 S4`."""
    columns = ("for", "need", "species", "cultivar", "form", "grade", "count", "short", "send_from", "send_by")
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow((*columns, "blocked", "packed", "lots"))
    for parcel in dispatch_json(found)["parcels"]:
        for line in parcel["lines"]:
            lots = "; ".join(f"{pick['count']} {pick['lot']}" for pick in line["from"])
            told = [{**parcel, **line}[column] for column in columns]
            row = [*told, parcel["blocked"], "yes" if parcel["packed"] else "no", lots]
            writer.writerow([cell(each) if isinstance(each, str) else each for each in row])
    return out.getvalue()


def _name(line: ParcelLine) -> str:
    return f"{line.plant} {line.cultivar}".rstrip()


def _parcel_lines(parcel: Parcel) -> list[str]:
    told = [f"{parcel.who.upper()}: {_when(parcel)}"]
    told += [part for why in parcel.why for part in wrap(why, WIDTH, initial_indent="  ", subsequent_indent="  ")]
    if parcel.blocked:
        told += wrap(f"! do not pick it: {parcel.blocked}", WIDTH, initial_indent="  ", subsequent_indent="    ")
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
                "packed": parcel.packed,
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
