"""What an entry of the stock says, in a few words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def said_of_stock(kind: str, data: Mapping[str, Any]) -> str:
    """An entry in words, its lot and day left out; the kind itself where it is none of the stock's."""
    count, to = data.get("count"), data.get("to")
    for_whom = f" to {to}" if to else ""
    match kind:
        case "receive":
            source = f" from {data['from']}" if data.get("from") else ""
            origin = str(data.get("origin") or "bought")
            return f"{count} {held(data)} came to {data.get('place')}, {origin}{source}"
        case "move":
            return f"{count} {held(data)} moved from {data.get('place') or 'no place'} to {to}"
        case "pot_up":
            return f"{count} {held(data)} made {data.get('to_form') or 'pot'} at {to or data.get('place')}"
        case "grade":
            grades = data.get("grades")
            told = ", ".join(f"{n} {name}" for name, n in grades.items()) if isinstance(grades, Mapping) else ""
            return f"{held(data)} at {data.get('place')} graded: {told}"
        case "sell" | "give":
            unnamed = " without its name" if data.get("unnamed") else ""
            need = f" for {data['need']}" if data.get("need") else ""
            return f"{count} {held(data)} {'sold' if kind == 'sell' else 'given'}{unnamed}{for_whom}{need}"
        case "plant_out":
            return f"{count} {held(data)} planted out{f', {to}' if to else ''}"
        case "lose":
            return f"{count} {held(data)} lost{f', {cause}' if (cause := data.get('cause')) else ''}"
        case "count":
            return f"{count} {held(data)} counted at {data.get('place')}"
        case "split":
            return f"{count} {held(data)} split off as {data.get('into')}"
        case "join":
            return f"joined to {data.get('into')}"
        case "doubt":
            return "its name is doubtful"
        case "verify":
            return "its name is sure"
        case "row":
            lots = data.get("lots")
            return f"{data.get('place')}, row {data.get('row')}: {len(lots) if isinstance(lots, list) else 0} lots"
    return kind


def held(data: Mapping[str, Any]) -> str:
    """A form and grade: `liner, first`."""
    return ", ".join(str(part) for part in (data.get("form"), data.get("grade")) if part)
