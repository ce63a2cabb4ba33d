"""Degrees and lengths of a farm file: a number is metric, a text says its own unit (`"-4 F"`, `"1200 ft"`)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from engine.reading.table import Table
from engine.reading.units import read_degrees_said, read_length_said

Read = Callable[[str], float]


def celsius(table: Table, key: str, low: float, high: float) -> float | None:
    """Degrees Celsius from `low` to `high`; None where the key is missing, or a fault."""
    return _one(table, key, (low, high), read_degrees_said, "C", f'write {key} = -20 (degrees C), or {key} = "-4 F"')


def metres(table: Table, key: str, low: float, high: float) -> float | None:
    """Metres from `low` to `high`; None where the key is missing, or a fault."""
    return _one(table, key, (low, high), read_length_said, "m", f'write {key} = 3.5 (metres), or {key} = "11.5 ft"')


def pair_of_celsius(value: Any) -> tuple[float, float] | None:
    """Two temperatures in degrees Celsius; None where they are none."""
    return _pair(value, read_degrees_said)


def pair_of_metres(value: Any) -> tuple[float, float] | None:
    """Two lengths in metres; None where they are none."""
    return _pair(value, read_length_said)


def _one(table: Table, key: str, span: tuple[float, float], read: Read, unit: str, remedy: str) -> float | None:
    value = table.raw(key)
    if not isinstance(value, str):
        return table.number(key, *span)
    try:
        amount = read(value)
    except ValueError as fault:
        table.fault(key, f"{key}: {fault}", remedy)
        return None
    if not span[0] <= amount <= span[1]:
        table.fault(key, f'{key} = "{value}" is out of range', f"it runs from {span[0]:g} to {span[1]:,.10g} {unit}")
        return None
    return amount


def _pair(value: Any, read: Read) -> tuple[float, float] | None:
    if not isinstance(value, list) or len(value) != 2:
        return None
    try:
        first, second = (read(each) if isinstance(each, str) else _number(each) for each in value)
    except ValueError:
        return None
    return first, second


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= 1e9:
        raise ValueError
    return float(value)
