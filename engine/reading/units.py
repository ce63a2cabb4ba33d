"""Quantities in the farm's units: the one rule that says them and reads them. Within, all is metric.

`units` is "metric" or "us" everywhere. The factors are exact by
definition: inch and foot stand so in 16 CFR 500.19; pound and gallon to six figures there, the rest from memory.
"""

from __future__ import annotations

import re

US = "us"
INCH_M, FOOT_M = 0.0254, 0.3048
POUND_KG, OUNCE_KG = 0.45359237, 0.45359237 / 16
GALLON_L = 3.785411784
SQUARE_FOOT_M2 = FOOT_M * FOOT_M
_IN_FEET_M = 3 * FOOT_M
"""From here on a length is said in feet, below it in inches."""
_NUMBER = r"([-−+]?(?:\d+(?:[.,]\d+)?|[.,]\d+))\s*(.*)"  # compiled where it is wanted
_LENGTHS = {
    "m": 1.0, "metre": 1.0, "metres": 1.0, "meter": 1.0, "meters": 1.0, "cm": 0.01, "mm": 0.001,
    "ft": FOOT_M, "foot": FOOT_M, "feet": FOOT_M, "'": FOOT_M, "in": INCH_M, "inch": INCH_M, "inches": INCH_M,
    '"': INCH_M,
}  # fmt: skip


# -- warmth


def to_degrees(celsius: float, units: str) -> float:
    """Degrees as the farm counts them."""
    return celsius * 1.8 + 32 if units == US else celsius


def to_celsius(degrees: float, units: str) -> float:
    """What the farm's degrees are in degrees Celsius."""
    return (degrees - 32) / 1.8 if units == US else degrees


def say_degrees(celsius: float, units: str) -> str:
    """`-3.2 °C`, or `26.2 °F`: to a tenth, as a thermometer is read."""
    return f"{to_degrees(celsius, units):.1f} {_scale(units)}"


def say_warmth(celsius: float, units: str) -> str:
    """`12 °C`, or `53.6 °F`: no more figures than it has, a tenth of a degree F at the most."""
    return f"{round(to_degrees(celsius, units), 1):g} °F" if units == US else f"{round(celsius, 2):g} °C"


def say_cold(celsius: float, units: str) -> str:
    """`-24 °C`, or `-11 °F`: in whole degrees, as a winter is told."""
    return f"{to_degrees(celsius, units):.0f} {_scale(units)}"


def say_warmths(celsius: tuple[float, float], units: str) -> str:
    """`1 to 4 °C`, or `34 to 39 °F`: what a book gives, in whole degrees F."""
    least, most = (f"{to_degrees(c, units):.0f}" if units == US else f"{c:g}" for c in celsius)
    return f"{least} to {most} {_scale(units)}"


def read_degrees(text: str, units: str) -> float:
    """Degrees Celsius of what is typed: `12`, `-3`, `4,5` in the farm's units; `12 °C`, `28F` in their own.

    Raises ValueError where it is no number of degrees.
    """
    found = re.fullmatch(_NUMBER, text.strip())
    scale = "" if found is None else found[2].removeprefix("°").strip().upper()
    if found is None or scale not in ("", "C", "F"):
        raise ValueError(f'"{text}" is not a number of degrees')
    return to_celsius(_float(found[1]), {"C": "metric", "F": US}.get(scale, units))


def read_degrees_said(text: str) -> float:
    """Degrees Celsius of `-4 F`, `12 °C`: a text of the farm file says its own unit.

    Raises ValueError where it says none, or is no number of degrees.
    """
    if not text.strip().upper().endswith(("C", "F")):
        raise ValueError(f'"{text}" does not say its unit')
    return read_degrees(text, "metric")


def _scale(units: str) -> str:
    return "°F" if units == US else "°C"


# -- length


def say_length(metres: float, units: str) -> str:
    """`0.4 m`, or `16 in`, `5.5 ft`, `13 ft`."""
    return f"{metres:g} m" if units != US else "{} {}".format(*_us_length(metres, metres))


def say_lengths(metres: tuple[float, float], units: str) -> str:
    """`3 to 6 m`, or `10 to 20 ft`: both in the unit of the longer."""
    if units != US:
        return f"{metres[0]:g} to {metres[1]:g} m"
    return "{} to {} {}".format(_us_length(metres[0], metres[1])[0], *_us_length(metres[1], metres[1]))


def read_length(text: str, units: str) -> float:
    """Metres of what is typed: a number alone is of metres, or of feet; `30 cm`, `16 in`, `5 ft`, `2 m` say their own.

    Raises ValueError where it is no length.
    """
    return _read(text, _LENGTHS, FOOT_M if units == US else 1.0)


def read_length_said(text: str) -> float:
    """Metres of `1200 ft`, `2.5 m`: a text of the farm file says its own unit.

    Raises ValueError where it says none, or is no length.
    """
    if text.strip()[-1:].isdecimal():
        raise ValueError(f'"{text}" does not say its unit')
    return read_length(text, "metric")


def feet(metres: float) -> float:
    """The same length in feet."""
    return metres / FOOT_M


def _us_length(metres: float, longest: float) -> tuple[str, str]:
    if longest < _IN_FEET_M - 1e-9:
        return _few(metres / INCH_M), "in"
    return _few(metres / FOOT_M), "ft"


# -- weight


def say_weight(kg: float, units: str) -> str:
    """`1.2 kg`, `340 g`, `45 g`; or `2.6 lb`, `12 oz`, `1.6 oz`: two figures, as seed is weighed."""
    if units == US:
        return f"{kg / POUND_KG:.2g} lb" if 1 <= kg / POUND_KG < 99.5 else _heavy(kg, POUND_KG, OUNCE_KG)
    return f"{kg:.2g} kg" if 1 <= kg < 99.5 else _heavy(kg, 1.0, 0.001)


def say_seeds(per_kg: tuple[float, float], units: str) -> str:
    """`900 to 1,200 seeds a kg`, or `408 to 544 seeds a lb`."""
    if units == US:
        least, most = (_three(n * POUND_KG) for n in per_kg)
        return f"{least:,.0f} to {most:,.0f} seeds a lb"
    return f"{per_kg[0]:,.0f} to {per_kg[1]:,.0f} seeds a kg"


def _heavy(kg: float, whole: float, small: float) -> str:
    great, little = ("lb", "oz") if whole == POUND_KG else ("kg", "g")
    if kg >= whole:
        return f"{kg / whole:.0f} {great}"
    amount = kg / small
    return f"{amount:.0f} {little}" if amount >= 99.5 else f"{amount:.2g} {little}"


# -- figures


def _few(amount: float) -> str:
    """A tenth below ten, whole from there."""
    return f"{amount:.0f}" if amount >= 9.95 else f"{round(amount, 1):g}"


def _three(amount: float) -> float:
    """An amount to three figures; what a book gives has no more."""
    return float(f"{amount:.3g}")


def _float(text: str) -> float:
    return float(text.replace("−", "-").replace(",", "."))


def _read(text: str, known: dict[str, float], alone: float) -> float:
    found = re.fullmatch(_NUMBER, text.strip().lower())
    size = None if found is None else known.get(found[2].strip()) if found[2] else alone
    if found is None or size is None:
        raise ValueError(f'"{text}" is not a quantity in any of {", ".join(known)}')
    return _float(found[1]) * size
