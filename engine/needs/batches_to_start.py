"""The batches that a chosen way to meet a need asks for: one, or two where the need is split over two."""

from __future__ import annotations

from datetime import date

from engine.acts.action import Refused
from engine.acts.batches import NewBatch, free_id
from engine.farm.stock import Need
from engine.needs.need_lines import NeedLine
from engine.needs.ways import Split, Way
from engine.schedule.nursery import Nursery


def batches_for(nursery: Nursery, line: NeedLine, chosen: Way | Split, today: date) -> tuple[NewBatch, ...]:
    """The batches to record, ids of their own and free; each bears in its note which need it is for.

    They are to be ready by the need's day, and date backward from it; where it has none they may start today.
    Raises Refused for a way that cannot be, with its reason.
    """
    parts: list[tuple[Way, int]]
    if isinstance(chosen, Split):
        one, other = chosen.spread.two.lots
        parts = [(chosen.one, one.count), (chosen.other, other.count)]
    else:
        parts = [(chosen, chosen.takes)]
    need, batches = line.need, list[NewBatch]()
    for way, count in parts:
        if way.reason:
            raise Refused(f"{way.title}: {way.reason}", "choose another way")
        protocol = way.protocol
        batches.append(
            NewBatch(
                id=free_id(nursery, line.plant, need.by or today, [batch.id for batch in batches]),
                species=protocol.species,
                method=protocol.method,
                count=count,
                start=None if need.by else today,
                ready=need.by,
                route=protocol.route,
                cultivar=need.cultivar,
                note=say_need(need),
            )
        )
    return tuple(batches)


def say_need(need: Need) -> str:
    """`for N7, Hale Orchards`: what a batch's note says of the need it is for."""
    return f"for {need.id}, {need.who}" if need.who else f"for {need.id}"
