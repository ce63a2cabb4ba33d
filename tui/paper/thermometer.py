"""What the daily record of temperature says, as text to paste from and as JSON."""

from __future__ import annotations

from datetime import date
from typing import Any

from engine.almanac.almanac import say_days
from engine.almanac.frost import FrostDates
from engine.almanac.thermometer import Record
from engine.almanac.years import FEWEST_YEARS, MOST_MISSING, Years
from engine.farm.model import Farm
from engine.reading.frozen import dataclass
from engine.reading.units import to_degrees
from tui.cells import day, iso
from tui.paper.page import indented

_SHOWN = 40  # lines that are refused, or gaps; a script has them all


@dataclass(frozen=True, slots=True)
class Told:
    """A farm's record, what its years say, and how many days this season runs ahead (None: it is not known)."""

    farm: Farm
    file: str
    record: Record
    years: Years
    lead: int | None


def thermometer_json(told: Told) -> dict[str, Any]:
    years, units = told.years, told.farm.units
    months = years.temperature
    frost = None
    if years.last_frost is not None and years.first_frost is not None:
        frost = {"last": _chances(years.last_frost), "first": _chances(years.first_frost)}
    return {
        "years": years.count,
        "frost": frost,
        "mean_max": None if months is None else [_in_units(m, units) for m in months.mean_max],
        "mean_min": None if months is None else [_in_units(m, units) for m in months.mean_min],
        "coldest": None if years.coldest is None else round(years.coldest, 1),
        "lead_days": told.lead,
        "refused": [{"line": refused.line, "why": refused.why} for refused in told.record.refused],
        "left_out": [{"year": year, "missing": missing} for year, missing in years.left_out],
        "gaps": [{"from": iso(_date(a)), "to": iso(_date(b))} for a, b in told.record.gaps()],
    }


def thermometer_sheet(told: Told) -> str:
    """What the record says, and what of it can be pasted into the farm file."""
    record, years = told.record, told.years
    lines = [f"{told.farm.name or 'Farm'} · {told.file}"]
    if not record.days:
        return "\n".join([*lines, "  no reading before this day", *_refused(record)])
    first, last = _date(min(record.days)), _date(max(record.days))
    lines.append(f"  {len(record.days)} readings from {day(first, True)} to {day(last, True)}")
    lines += [*_lead(told, last), "", *_to_paste(told)]
    if years.left_out:
        thin = ", ".join(f"{year} ({missing} missing)" for year, missing in years.left_out)
        told_thin = (
            f"left out because more than {MOST_MISSING} days are missing in the cold season that ends in: {thin}"
        )
        lines += ["", *indented(told_thin, "  ")]
    if gaps := record.gaps():
        said = [day(_date(a), True) if a == b else f"{day(_date(a), True)} to {day(_date(b), True)}" for a, b in gaps]
        more = f", and {len(gaps) - _SHOWN} more" if len(gaps) > _SHOWN else ""
        lines += ["", *indented("no reading on " + ", ".join(said[:_SHOWN]) + more, "  ")]
    return "\n".join([*lines, *_refused(record)])


def _lead(told: Told, last: date) -> list[str]:
    if told.lead is None:
        return ["  the record does not reach into this season, or the site has no monthly temperatures"]
    if told.lead == 0:
        return [f"  this season matches the normal year (to {day(last)})"]
    way = "ahead of" if told.lead > 0 else "behind"
    return [f"  this season runs {say_days(abs(told.lead))} {way} the normal year (to {day(last)})"]


def _to_paste(told: Told) -> list[str]:
    years, units = told.years, told.farm.units
    lines = [f"  {years.count} whole cold seasons"]
    if years.count < FEWEST_YEARS:
        return [f"{lines[0]}: frost dates and monthly means need {FEWEST_YEARS}"]
    lines[0] += "; what they say, to paste into the farm file:"
    if years.coldest is not None:
        lines += [
            "",
            f"coldest = {years.coldest:.1f}  # degrees C, under [site]: the coldest night of a year, on average",
        ]
    if years.last_frost is not None and years.first_frost is not None:
        for frost in (years.last_frost, years.first_frost):
            lines += ["", f"[site.{frost.name.replace(' ', '_')}]"]
            lines += [f'"{chance}" = "{when}"' for chance, when in _chances(frost).items()]
    else:
        lines += ["", "  frost comes too rarely to date"]
    if years.temperature is not None:
        lines += ["", "[site.temperature]"]
        for key, months in (("mean_max", years.temperature.mean_max), ("mean_min", years.temperature.mean_min)):
            lines.append(f"{key} = [{', '.join(f'{_in_units(m, units):.1f}' for m in months)}]")
        lines.append(f'record = "{told.file}"')
    return lines


def _refused(record: Record) -> list[str]:
    if not record.refused:
        return []
    lines = ["", f"  refused, {len(record.refused)} of them:" if len(record.refused) > 1 else "  refused:"]
    for refused in record.refused[:_SHOWN]:
        lines += indented(f"line {refused.line}: {refused.why}", "    ")
    if len(record.refused) > _SHOWN:
        lines.append(f"    and {len(record.refused) - _SHOWN} more (--json has them all)")
    return lines


def _chances(frost: FrostDates) -> dict[str, str]:
    return {f"{point.chance:.0%}": f"{point.month:02}-{point.day:02}" for point in frost.points}


def _in_units(celsius: float, units: str) -> float:
    return round(to_degrees(celsius, units), 1)


def _date(ordinal: int) -> date:
    return date.fromordinal(ordinal)
