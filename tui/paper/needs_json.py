"""Needs, promises, ways, orders and the review as JSON; dates are ISO 8601, shares and chances from 0 to 1."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from engine.needs.allotment import NeedLine
from engine.needs.costs import Cost
from engine.needs.coverage import Coverage, Fallback, PlantingLine, PositionLine
from engine.needs.orders import OrderLine
from engine.needs.promising import Offer
from engine.needs.review import KindReview
from engine.needs.sizing import Sizing
from engine.needs.ways import Split, Way
from engine.protocols.model import Species


def needs_json(covered: Coverage, troubled: Sequence[str]) -> dict[str, Any]:
    return {
        "on": covered.on.isoformat(),
        "needs": [_need(line) for line in covered.needs],
        "plantings": [_planting(line) for line in covered.plantings],
        "lots_in_trouble": list(troubled),
    }


def _need(line: NeedLine) -> dict[str, Any]:
    need = line.need
    return {
        "id": need.id,
        "species": need.species,
        "cultivar": need.cultivar,
        "form": need.form,
        "count": need.count,
        "by": _iso(need.by),
        "sure": need.sure,
        "for": need.who,
        "gone_out": line.met,
        "on_hand": line.from_hand,
        "coming": line.to_come,
        "short": line.short,
        "chance": round(line.chance, 6),
        "lots": [{"lot": lot, "count": count} for lot, count in line.taken],
    }


def _planting(line: PlantingLine) -> dict[str, Any]:
    planting = line.planting
    return {
        "name": planting.name,
        "by": _iso(planting.by),
        "season": planting.season or None,
        "needs": [each.need.id for each in line.needs],
        "short": sum(each.short for each in line.needs),
        "positions": [_position(here) for here in line.positions],
    }


def _position(line: PositionLine) -> dict[str, Any]:
    here = line.position
    return {
        "species": here.species,
        "cultivar": here.cultivar,
        "count": here.count,
        "spacing_m": here.spacing_m,
        "understudies": [{"species": u.species, "cultivar": u.cultivar, "count": u.count} for u in here.understudies],
        "bears": [
            {"year": year, "alone": round(odds.alone, 6), "with_understudies": round(odds.covered, 6)}
            for year, odds in line.odds or ()
        ],
        "told": line.told or None,
    }


def fallback_json(lot: str, found: Iterable[Fallback]) -> dict[str, Any]:
    return {
        "without": lot,
        "needs": [{**_need(f.line), "more_short": f.more, "ways": [_way(way) for way in f.ways]} for f in found],
    }


def offer_json(found: Offer) -> dict[str, Any]:
    need = found.need
    return {
        "species": need.species,
        "cultivar": need.cultivar,
        "form": need.form,
        "by": _iso(need.by),
        "sure": need.sure,
        "expected": round(found.promise.expected, 3),
        "promised": found.promise.promised,
        "free": found.promise.free,
        "kept": round(found.promise.kept, 6),
        "lots": [
            {"lot": s.line.lot, "count": s.count, "on_hand": s.ready is None, "ready": _iso(s.ready)}
            for s in found.shares
        ],
        "needs": [line.need.id for line in found.needs],
    }


def ways_json(
    species: Species, want: int, by: date | None, sure: float, found: Iterable[Way], pairs: Iterable[Split]
) -> dict[str, Any]:
    return {
        "species": species.latin,
        "count": want,
        "by": _iso(by),
        "sure": sure,
        "ways": [_way(way) for way in found],
        "splits": [_split(pair) for pair in pairs],
    }


def sizing_json(found: Sizing) -> dict[str, Any]:
    start = found.way.starts
    assert start is not None
    return {
        "start": start.count,
        "expected": round(start.expected, 6),
        "surplus": round(start.surplus, 6),
        "way": _way(found.way),
        "steps": [
            {"step": do, "share": round(each.rate.mean, 4), "batches": each.batches, "kindred": each.kindred,
             "book": each.book}
            for do, each in found.steps
        ],
        "surenesses": [{"sure": level, "start": count} for level, count in found.others],
    }  # fmt: skip


def _way(way: Way) -> dict[str, Any]:
    return {
        "method": way.protocol.method,
        "route": way.protocol.route or None,
        "form": way.form,
        "feasible": not way.reason,
        "reason": way.reason or None,
        "first_step": way.first_step or None,
        "start_from": _iso(way.start_from),
        "start_by": _iso(way.start_by),
        "ready": _iso(way.ready),
        "start": way.starts.count if way.starts else None,
        "expected": round(way.starts.expected, 3) if way.starts else None,
        "chance": round(way.chance, 6) if way.starts else None,
        "hours": round(way.hours, 2) if way.starts else None,
        "takes": way.takes if way.starts else None,
        "material": way.material or None,
        "stock_plants_have_left": way.gives,
        "seed_kg": None if way.seed_kg is None else round(way.seed_kg, 4),
        "cost": None if way.cost is None else _cost(way.cost),
        "room": [
            {"place": held.place, "unit": held.unit, "amount": round(held.amount, 2),
             "from": date.fromordinal(held.since).isoformat(), "until": date.fromordinal(held.until).isoformat()}
            for held in way.room
        ],
        "too_full": list(way.overfull),
        "notes": list(way.notes),
    }  # fmt: skip


def _cost(cost: Cost) -> dict[str, Any]:
    return {
        "total": round(cost.total, 2),
        "currency": cost.currency or None,
        "parts": [{"item": name, "amount": round(amount, 2)} for name, amount in cost.parts],
        "no_price": list(cost.unpriced),
    }


def _split(pair: Split) -> dict[str, Any]:
    one, two = pair.spread.one, pair.spread.two
    return {
        "ways": [pair.one.title, pair.other.title],
        "lean": pair.lean,
        "starts": [lot.count for lot in two.lots],
        "expected": round(two.expected, 3),
        "short_chance": round(two.short, 6),
        "short_chance_in_one": round(one.short, 6),
        "cost": None if pair.cost is None else _cost(pair.cost),
    }


def orders_json(lines: Iterable[OrderLine]) -> dict[str, Any]:
    return {
        "orders": [
            {
                "item": line.item,
                "plant": line.plant or None,
                "count": line.count,
                "to_order": line.to_order,
                "order_by": _iso(line.order_by),
                "arrived": line.came,
                "state": line.state,
                "parts": [
                    {
                        "lot": p.lot,
                        "count": p.count,
                        "order_by": _iso(p.order_by),
                        "best_by": _iso(p.best_by),
                        "wanted": _iso(p.wanted),
                        "state": p.state,
                        "arrived": p.came,
                        "note": p.note or None,
                    }
                    for p in line.parts
                ],
            }
            for line in lines
        ]
    }


def review_json(year: int, kinds: Iterable[KindReview]) -> dict[str, Any]:
    return {
        "year": year,
        "kinds": [
            {
                "species": kind.species,
                "method": kind.method,
                "route": kind.route or None,
                "batches": list(kind.batches),
                "planned": round(kind.planned, 4),
                "actual": round(kind.actual, 4),
                "hours_planned": round(kind.hours_planned, 2),
                "hours": round(kind.hours, 2),
                "missed": [{"batch": batch, "step": do} for batch, do in kind.missed],
                "change": list(kind.change),
                "steps": [
                    {
                        "step": s.do,
                        "batches": s.batches,
                        "into": s.into,
                        "through": s.through,
                        "planned": s.planned,
                        "actual": None if s.actual is None else round(s.actual, 4),
                        "next": None if s.learned is None else round(s.learned, 4),
                        "days_late": None if s.late is None else round(s.late, 1),
                    }
                    for s in kind.steps
                ],
            }
            for kind in kinds
        ],
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
