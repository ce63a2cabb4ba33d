"""Traces, registers and maps of beds as JSON; dates are ISO 8601, null for what was there when the journal began."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from engine.records.stock_book import Movement
from engine.views.beds import Row
from engine.views.trace import LedgerLine, Register, RegisterLine, Trace


def trace_json(found: Trace, lines: Sequence[LedgerLine]) -> dict[str, Any]:
    return {
        "lot": found.lot,
        "species": found.name.species,
        "cultivar": found.name.cultivar,
        "doubtful": found.name.doubtful,
        "back": list(found.back),
        "forward": list(found.forward),
        "batches": [batch.id for batch in found.batches],
        "stock_plants": [mother.id for mother in found.stock_plants],
        "stock_plants_gave": [
            {"year": year, "material": material, "collected": gave, "expected": round(expected, 1)}
            for year, material, gave, expected in found.gave
        ],
        "came": [_moved(moved) for moved in found.came],
        "passed": [_moved(moved) for moved in found.passed],
        "went": [_moved(moved) for moved in found.went],
        "on_hand": [
            {"lot": h.lot, "form": h.form, "grade": h.grade, "place": h.place, "count": h.count} for h in found.on_hand
        ],
        "ledger": [
            {"on": _iso(line.on), "change": line.change, "balance": line.balance, "what": line.told} for line in lines
        ],
    }


def register_json(found: Register) -> dict[str, Any]:
    def each(lines: Sequence[RegisterLine]) -> list[dict[str, Any]]:
        return [
            {
                "on": _iso(line.on),
                "lot": line.lot,
                "species": line.species,
                "cultivar": line.cultivar,
                "count": line.count,
                "what": line.told,
            }
            for line in lines
        ]

    return {
        "year": found.year,
        "origins": each(found.origins),
        "treatments": each(found.treatments),
        "dispatches": each(found.dispatches),
    }


def rows_json(rows: Sequence[Row]) -> dict[str, Any]:
    return {
        "rows": [
            {
                "place": row.place,
                "row": row.name,
                "lots": [
                    {"lot": s.lot, "plant": s.plant, "from_m": s.start_m, "to_m": s.end_m, "count": s.count}
                    for s in row.stretches
                ],
            }
            for row in rows
        ]
    }


def _moved(moved: Movement) -> dict[str, Any]:
    ends = {
        name: end if isinstance(end, str) else dict(zip(("lot", "form", "grade", "place"), end, strict=True))
        for name, end in (("from", moved.source), ("to", moved.target))
    }
    return {"on": _iso(moved.on), "kind": moved.kind, "count": moved.count, **ends, "what": moved.told}


def _iso(day: date) -> str | None:
    return None if day == date.min else day.isoformat()
