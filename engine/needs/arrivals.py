"""What was ordered has come: one entry says so, and what is no plant has a plain one of its own."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from engine.acts.action import Action, Refused, not_to_come
from engine.acts.propagation import Told, do, find_lot
from engine.needs.orders import POTS, STATES, OrderPart, order_lines
from engine.protocols.roles import Role
from engine.reading.limits import MOST_IN_BATCH
from engine.schedule.nursery import Nursery
from engine.schedule.plan import Day, Plan


def came(
    day: Day,
    lot_id: str,
    on: date,
    *,
    item: str = "",
    count: int | None = None,
    left: int = 0,
    source: str = "",
) -> Action:
    """So many of what a lot waits for have come: rootstocks, seed, scions or pots; `item` where it waits for several.

    `count` left out: all that were ordered, but for the `left` that are still to come. Plants are bought in by their
    step done (arrive, or the collecting of scions), and the lot goes on with as many as came; pots and the like stay
    to be ordered as far as they are short. Raises Refused where the lot waits for nothing, or several things are
    meant, and for a day to come and counts that cannot be.
    """
    nursery, plans, today = day
    not_to_come(on, today)
    lot = find_lot(nursery.records, lot_id)
    name, part = _awaited(nursery, plans, lot.id, item.strip().lower())
    wanted = part.count - part.came
    if left < 0 or (count is not None and not 1 <= count <= MOST_IN_BATCH):
        raise Refused("say how many came: 1 or more", "if the rest never comes: widger drop")
    many = wanted - left if count is None else count
    if many < 1:
        raise Refused(f"{lot.id} waits for {wanted} {name}: {left} cannot still be to come when some came")
    supplier = {"from": source.strip()} if source.strip() else {}
    if name == POTS or lot.batch.protocol.role(part.step) is Role.ORDER:
        told = {"batch": lot.id, "step": part.step, "item": name, "count": many}
        return Action("came", on, told | supplier)
    done = do(nursery.records, lot, part.step, Told(many, left), on, today)
    return Action(done.kind, on, done.data | supplier)


def _awaited(nursery: Nursery, plans: Sequence[Plan], lot_id: str, item: str) -> tuple[str, OrderPart]:
    """The one thing that a lot waits for, or the one of that name. Raises Refused."""
    parts = [(line.item, part) for line in order_lines(nursery, plans) for part in line.parts if part.lot == lot_id]
    waiting = [(name, part) for name, part in parts if part.state != STATES[2]]
    names = list(dict.fromkeys(name for name, _ in waiting))
    if not item and len(names) > 1:
        raise Refused(f"{lot_id} waits for {' and '.join(names)}", f"say which came, such as --item {names[0]}")
    meant = [(name, part) for name, part in waiting if item in ("", name)]
    if meant:
        return meant[0]
    for name, part in parts:
        if name == item:
            raise Refused(f"the {item} of {lot_id} came already: {part.said_came}", "undo that first, if it is wrong")
    hint = f"it waits for {' and '.join(names)}" if names else "widger orders lists what is to come"
    raise Refused(f"{lot_id} waits for {f'no {item}' if item else 'nothing that is bought'}", hint)
