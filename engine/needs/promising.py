"""How many of a plant can be promised by a day, from stock and all that is under way, less what is promised already."""

from __future__ import annotations

from datetime import date

from engine.farm.stock import Need
from engine.needs.allotment import StockLine, comes_for, ready_for
from engine.needs.coverage import coverage
from engine.needs.need_lines import NeedLine
from engine.needs.stays_and_losses import losses_of
from engine.odds.lots_to_come import Coming, Stay
from engine.odds.promise import Promise, promise
from engine.reading.frozen import dataclass
from engine.schedule.plan import Day


@dataclass(frozen=True, slots=True)
class Share:
    """A lot's part in a promise: how many of it count, and how many are expected of them."""

    line: StockLine
    ready: date | None
    """None: it is on hand."""
    count: int
    lot: Coming


@dataclass(frozen=True, slots=True)
class Offer:
    """What can be promised of a plant by a day, the lots it rests on, and the needs that it was promised to."""

    need: Need
    promise: Promise
    shares: tuple[Share, ...]
    needs: tuple[NeedLine, ...]


def offer(day: Day, asked: Need) -> Offer:
    """The most that can still be promised of what is asked for by its day, however many that are.

    A doubtful name is never promised as a cultivar, nor culls at all. A need that draws on these lots
    alone is promised whole, also where it is short; of others, what they were given.
    """
    held = coverage(day)
    losses = losses_of(day.nursery.farm)
    days = max(0, ((asked.by or day.today) - day.today).days)
    shares = []
    for line in held.stock.lines:
        if line.on_hand and ready_for(asked, line):
            there = Coming(line.on_hand, waits=Stay(line.place, 0)).until(days)
            shares.append(Share(line, None, line.on_hand, there))
        elif comes_for(asked, line) and line.coming is not None:
            shares.append(Share(line, line.coming.ready, line.coming.lot.count, line.coming.lot.until(days)))
    pool = [share.line for share in shares]
    needs, promised = [], 0
    for need_line in held.needs:
        could = [
            line
            for line in held.stock.lines
            if (line.on_hand and ready_for(need_line.need, line)) or comes_for(need_line.need, line)
        ]
        part = sum(each.count for each in need_line.parts if any(each.is_of(line) for line in pool))
        if could and all(line in pool for line in could):
            part = need_line.need.count - need_line.met
        if part > 0:
            needs.append(need_line)
            promised += part
    lots = [share.lot for share in shares]
    return Offer(asked, promise(lots, losses, asked.sure, promised), tuple(shares), tuple(needs))
