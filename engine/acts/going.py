"""What may not be done with what is going: sown, stuck or grafted, and not yet counted alive."""

from __future__ import annotations

from engine.acts.action import Refused
from engine.protocols.roles import past
from engine.records.counts_teach import is_accident
from engine.records.lots import overtaken
from engine.records.records import Lot, Records
from engine.records.stock import Holding


def counted_first(records: Records, held: Holding) -> None:
    """Raises Refused for what is going: nobody is given what may not be alive."""
    lot = records.lot(held.lot)
    if held.going and lot is not None:
        raise Refused(f"{held.count} of {held.lot} were {set_going(lot)} and are not counted yet", "count them first")


def on_its_way(records: Records, held: Holding) -> bool:
    """Whether it is what the next act of a lot is done to, or what a count of it is still to find."""
    lot = records.lot(held.lot)
    if lot is None or records.stock.current.get(held.lot) != (held.lot, held.form, held.grade, held.place):
        return False
    left = (step.do for step in lot.batch.protocol.steps if step.do not in lot.done and step.do not in lot.dropped)
    return held.going or any(not overtaken(lot, do) for do in left)


def no_more_alive(records: Records, held: Holding, counted: int) -> None:
    """Raises Refused where more of what is going were counted than went in, and one plant does not give several."""
    lot = records.lot(held.lot)
    if held.going and lot is not None and counted > lot.into and not lot.batch.protocol.multiplies:
        raise Refused(f"{lot.into} of {held.lot} were {set_going(lot)}: {counted} cannot be alive", "count them again")


def set_going(lot: Lot) -> str:
    """`stuck`: what was last done to a lot that is going."""
    steps = [s.do for s in lot.batch.protocol.steps if s.do in lot.done and s.role.leaves_going]
    return past(steps[-1], "set going") if steps else "set going"


def said_of_cause(cause: str, whole_lot: bool) -> str:
    """What a loss is held against: the method, or what befell the place; nothing where no cause is told of a part."""
    if not cause.strip():
        return "no cause given for a whole lot: counted as an accident, not against the method" if whole_lot else ""
    if is_accident(cause, whole_lot):
        return f"{cause.strip()}: an accident of the place; it does not count against the method"
    return f"{cause.strip()}: counts against the method at the next count"
