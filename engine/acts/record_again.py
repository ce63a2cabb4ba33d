"""An entry recorded anew at its own place in the journal, with what it should have said: by the rules of its kind."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from engine.acts import marks_seen, place_work, plantings, propagation, stock
from engine.acts.action import Action, Refused, not_to_come
from engine.acts.batches import KEEP, BatchChange, NewBatch, change_batch, new_batch
from engine.acts.find_in_stock import Ledger, find_holding, open_ledger
from engine.acts.needs import NeedChange, amend_need, find_need, new_need, withdraw_need
from engine.acts.stock_plants import grub_out, new_stock_plant
from engine.farm.stock import Need
from engine.journal.entry import Entry
from engine.reading.frozen import dataclass
from engine.records.batches import places_in
from engine.records.lots import Lot, whole
from engine.records.needs import SURE
from engine.records.needs import WORDS as NEED_WORDS
from engine.records.stock import Holding
from engine.records.stock_plants import stock_plant_of
from engine.records.values import Unfit, number, text_in
from engine.schedule.nursery import Nursery
from engine.schedule.plan import plan_lot

COUNT, TEXT, DAY, GRADES, SHARE, DEGREES = "count", "text", "day", "grades", "share", "degrees"
PLACES = "places"
"""What may stand in a field: a whole number, words, a day as 2027-03-01, so many of each grade, how surely (0 to 1),
degrees Celsius, places by the words of a protocol."""


@dataclass(frozen=True, slots=True)
class Before:
    """The farm as it stood when an entry was recorded, for today's day: `entries` are those that stand before it."""

    nursery: Nursery
    entries: Sequence[Entry]
    today: date

    def lot(self, entry: Entry) -> Lot:
        """The lot under propagation that an entry is about. Raises Refused where it was not there."""
        return propagation.find_lot(self.nursery.records, str(entry.data.get("batch", "")))

    def ledger(self, on: date) -> Ledger:
        """The stock's ledger for a day. Raises Refused for a day to come."""
        return open_ledger(self.nursery.farm, self.nursery.records, self.entries, on, self.today)


Again = Callable[[Before, Entry], Action]
Of = Callable[[Ledger, Holding, Entry], Action]


def _text(entry: Entry, key: str) -> str:
    return text_in(entry.data, key)


def _count(entry: Entry, key: str = "count") -> int:
    return whole(entry.data.get(key), 0)


def _done(before: Before, entry: Entry) -> Action:
    data, left = entry.data, _count(entry, "left")
    count, there = (_count(entry, key) if key in data else None for key in ("count", "there"))
    action = propagation.do(
        before.nursery.records, before.lot(entry), _text(entry, "step"),
        propagation.Told(count, left, there, _text(entry, "cause"), join=False), entry.on, before.today,
    )  # fmt: skip
    also = ("from", "run", "place", "part" if left else "join")
    kept = {key: data[key] for key in also if key in data}
    return Action("done", entry.on, action.data | kept)


def _look(before: Before, entry: Entry) -> Action:
    return propagation.look(
        before.lot(entry), _text(entry, "step"), _text(entry, "finding") or "nothing", entry.on, before.today
    )


def _later(before: Before, entry: Entry) -> Action:
    plan = plan_lot(before.nursery, before.lot(entry), entry.on)
    return propagation.later(plan, _text(entry, "step"), read_day(_text(entry, "to")), entry.on)


def _hold(before: Before, entry: Entry) -> Action:
    return propagation.hold(before.lot(entry), _text(entry, "step"), _text(entry, "reason"), entry.on)


def _drop(before: Before, entry: Entry) -> Action:
    return propagation.drop(before.lot(entry), _text(entry, "step"), _text(entry, "reason"), entry.on)


def _came(_: Before, entry: Entry) -> Action:
    if not _count(entry):
        raise Refused("say how many came: 1 or more", "undo the entry, if nothing came")
    return Action("came", entry.on, dict(entry.data))


def _note(before: Before, entry: Entry) -> Action:
    return propagation.note(before.lot(entry), _text(entry, "text"), entry.on)


def _saw(before: Before, entry: Entry) -> Action:
    nursery = before.nursery
    return marks_seen.saw(nursery.farm, nursery.almanac, _text(entry, "mark"), entry.on, before.today)


def _outage(before: Before, entry: Entry) -> Action:
    heat = number(entry.data.get("temperature_c")) or 0.0
    return place_work.outage(
        before.nursery.farm, _text(entry, "place"), _count(entry, "days"), heat, entry.on, before.today
    )


def _receive(before: Before, entry: Entry) -> Action:
    lot, species, cultivar, form, place = (_text(entry, key) for key in ("lot", "species", "cultivar", "form", "place"))
    came = stock.Incoming(
        lot, species, cultivar, form, place, _count(entry), _text(entry, "grade"),
        _text(entry, "origin") or "bought", _text(entry, "from"), _text(entry, "unit"),
    )  # fmt: skip
    return stock.receive(before.ledger(entry.on), came)


def _of_holding(do: Of) -> Again:
    """What is done to so many of one holding of a lot."""

    def again(before: Before, entry: Entry) -> Action:
        ledger = before.ledger(entry.on)
        lot, form, grade, place = (_text(entry, key) for key in ("lot", "form", "grade", "place"))
        return do(ledger, find_holding(ledger, lot, form, grade, place), entry)

    return again


def _grade(ledger: Ledger, held: Holding, entry: Entry) -> Action:
    told = entry.data.get("grades")
    grades = {name: whole(n, 0) for name, n in told.items()} if isinstance(told, Mapping) else {}
    return stock.grade(ledger, held, grades)


def _out(ledger: Ledger, held: Holding, entry: Entry) -> Action:
    unnamed = entry.data.get("unnamed") is True
    return stock.sell(
        ledger, held, _count(entry), _text(entry, "to"), _text(entry, "need"), unnamed, entry.kind
    )  # fmt: skip


def _batch(before: Before, entry: Entry) -> Action:
    words = {key: _text(entry, key) for key in ("species", "method", "route", "cultivar", "place", "note", "rootstock")}
    words["source"] = _text(entry, "from")
    start, ready, came = (_day(entry, key) for key in ("start", "ready", "came"))
    wanted = NewBatch(
        _text(entry, "batch"), count=_count(entry), start=start, ready=ready, came=came, general=True, **words
    )
    return new_batch(before.nursery, wanted, entry.on)


def _change(before: Before, entry: Entry) -> Action:
    cultivar = _text(entry, "cultivar") if "cultivar" in entry.data else KEEP
    count = _count(entry) if "count" in entry.data else KEEP
    start, ready, came = (_day(entry, key) if key in entry.data else KEEP for key in ("start", "ready", "came"))
    method, route, rootstock, source = (
        _text(entry, key) if key in entry.data else KEEP for key in ("method", "route", "rootstock", "from")
    )
    try:
        places = dict(places_in(entry.data)) if "places" in entry.data else KEEP
    except Unfit as fault:
        raise Refused(str(fault)) from None
    wanted = BatchChange(count, start, ready, cultivar, method, route, places, rootstock, source, came, general=True)
    return change_batch(before.nursery, _text(entry, "batch"), entry.on, wanted)


def _amend(before: Before, entry: Entry) -> Action:
    words = {key: _text(entry, key) for key in NEED_WORDS if key in entry.data}
    count = _count(entry) if "count" in entry.data else KEEP
    by = _day(entry, "by") if "by" in entry.data else KEEP
    sure = KEEP if (share := number(entry.data.get("sure"))) is None else share
    return amend_need(
        before.nursery, _text(entry, "need"), entry.on, NeedChange(count=count, by=by, sure=sure, **words)
    )


def _withdraw(before: Before, entry: Entry) -> Action:
    return withdraw_need(before.nursery, _text(entry, "need"), _text(entry, "reason"), entry.on)


def _packed(before: Before, entry: Entry) -> Action:
    need = find_need(before.nursery.farm, _text(entry, "need"), planned=True)
    if not 1 <= _count(entry) <= need.count:
        raise Refused(f"{need.id} asks for {need.count}", f"from 1 to {need.count} can be packed")
    return Action("packed", entry.on, dict(entry.data))


def _stock_plant(before: Before, entry: Entry) -> Action:
    try:
        wanted = stock_plant_of(before.nursery.farm, entry.data, (), {})
    except Unfit as fault:
        raise Refused(str(fault)) from None
    return new_stock_plant(before.nursery, before.entries, wanted, entry.on)


def _grub_out(before: Before, entry: Entry) -> Action:
    return grub_out(before.nursery, _text(entry, "plant"), _text(entry, "reason"), entry.on)


def _walked(before: Before, entry: Entry) -> Action:
    planting, position, state, cause, note = (
        _text(entry, key) for key in ("planting", "position", "state", "cause", "note")
    )
    return plantings.walked(before.nursery, planting, position, state, entry.on, before.today, cause, note)


def _took_over(before: Before, entry: Entry) -> Action:
    return plantings.take_over(
        before.nursery, _text(entry, "planting"), _text(entry, "position"), entry.on, before.today
    )


def _release(before: Before, entry: Entry) -> Action:
    return propagation.release(before.lot(entry), _text(entry, "step"), entry.on)


def _worked(before: Before, entry: Entry) -> Action:
    return place_work.worked(_text(entry, "do"), _text(entry, "place"), entry.on, before.today)


def _of_lot(do: Callable[[Ledger, str, Entry], Action]) -> Again:
    """What is done to all of a lot."""
    return lambda before, entry: do(before.ledger(entry.on), _text(entry, "lot"), entry)


def _need(before: Before, entry: Entry) -> Action:
    words = {key: _text(entry, key) for key in ("species", *NEED_WORDS)}
    sure = number(entry.data.get("sure"))
    wanted = Need(
        id=_text(entry, "need"), count=_count(entry), by=_day(entry, "by"), sure=SURE if sure is None else sure, **words
    )
    action = new_need(before.nursery, before.entries, wanted, entry.on)
    kept = {key: entry.data[key] for key in ("planting", "position", "instead_of", "word") if key in entry.data}
    return Action("need", entry.on, action.data | kept)


def _as_it_is(_: Before, entry: Entry) -> Action:
    return Action(entry.kind, entry.on, dict(entry.data))


def _day(entry: Entry, key: str) -> date | None:
    return read_day(_text(entry, key)) if entry.data.get(key) else None


AGAIN: Mapping[str, tuple[Mapping[str, str], Again]] = {
    "done": ({"there": COUNT, "count": COUNT, "left": COUNT, "cause": TEXT}, _done),
    "came": ({"count": COUNT, "from": TEXT}, _came),
    "look": ({"finding": TEXT}, _look),
    "hold": ({"reason": TEXT}, _hold),
    "later": ({"to": DAY}, _later),
    "drop": ({"reason": TEXT}, _drop),
    "note": ({"text": TEXT}, _note),
    "release": ({}, _release),
    "saw": ({"mark": TEXT}, _saw),
    "worked": ({}, _worked),
    "outage": ({"days": COUNT, "temperature_c": DEGREES, "place": TEXT}, _outage),
    "receive": (
        {"count": COUNT, "species": TEXT, "cultivar": TEXT, "form": TEXT, "grade": TEXT, "place": TEXT, "from": TEXT},
        _receive,
    ),
    "move": (
        {"count": COUNT, "to": TEXT},
        _of_holding(lambda ledger, held, e: stock.move(ledger, held, _count(e), _text(e, "to"))),
    ),
    "pot_up": (
        {"count": COUNT, "to_form": TEXT, "to": TEXT},
        _of_holding(
            lambda ledger, held, e: stock.pot_up(ledger, held, _count(e), _text(e, "to_form") or "pot", _text(e, "to"))
        ),
    ),
    "grade": ({"grades": GRADES}, _of_holding(_grade)),
    "sell": ({"count": COUNT, "to": TEXT, "need": TEXT}, _of_holding(_out)),
    "give": ({"count": COUNT, "to": TEXT, "need": TEXT}, _of_holding(_out)),
    "plant_out": ({"count": COUNT, "to": TEXT}, _of_holding(_out)),
    "lose": (
        {"count": COUNT, "cause": TEXT},
        _of_holding(lambda ledger, held, e: stock.lose(ledger, held, _count(e), _text(e, "cause"))),
    ),
    "count": (
        {"count": COUNT, "reason": TEXT},
        _of_holding(lambda ledger, held, e: stock.count(ledger, held, _count(e), _text(e, "reason"))),
    ),
    "split": (
        {"count": COUNT},
        _of_holding(lambda ledger, held, e: stock.split(ledger, held, _count(e), _text(e, "into"))),
    ),
    "join": ({"into": TEXT}, _of_lot(lambda ledger, lot, e: stock.join(ledger, lot, _text(e, "into")))),
    "doubt": ({"reason": TEXT}, _of_lot(lambda ledger, lot, e: stock.doubt(ledger, lot, _text(e, "reason")))),
    "verify": ({"reason": TEXT}, _of_lot(lambda ledger, lot, e: stock.verify(ledger, lot, _text(e, "reason")))),
    "batch": (
        {
            "count": COUNT,
            "cultivar": TEXT,
            "start": DAY,
            "ready": DAY,
            "species": TEXT,
            "method": TEXT,
            "route": TEXT,
            "place": TEXT,
            "note": TEXT,
            "rootstock": TEXT,
            "from": TEXT,
            "came": DAY,
        },
        _batch,
    ),
    "change": (
        {
            "count": COUNT,
            "cultivar": TEXT,
            "start": DAY,
            "ready": DAY,
            "method": TEXT,
            "route": TEXT,
            "places": PLACES,
            "rootstock": TEXT,
            "from": TEXT,
            "came": DAY,
        },
        _change,
    ),
    "need": ({"count": COUNT, "by": DAY, "sure": SHARE, "species": TEXT, **dict.fromkeys(NEED_WORDS, TEXT)}, _need),
    "amend": ({"count": COUNT, "by": DAY, "sure": SHARE, **dict.fromkeys(NEED_WORDS, TEXT)}, _amend),
    "withdraw": ({"reason": TEXT}, _withdraw),
    "packed": ({"count": COUNT}, _packed),
    "stock_plant": (
        {
            "count": COUNT,
            "planted": COUNT,
            "species": TEXT,
            "cultivar": TEXT,
            "place": TEXT,
            "material": TEXT,
        },
        _stock_plant,
    ),
    "grub_out": ({"reason": TEXT}, _grub_out),
    "walked": ({"state": TEXT, "cause": TEXT, "note": TEXT}, _walked),
    "took_over": ({}, _took_over),
}
"""For each kind of entry what of it may be corrected besides its day, and how it is recorded anew."""


def record_again(before: Before, entry: Entry) -> Action:
    """The entry, with its day and data as they should be, recorded anew. Raises Refused as its kind does."""
    not_to_come(entry.on, before.today)
    return AGAIN.get(entry.kind, ({}, _as_it_is))[1](before, entry)


def read_day(text: str) -> date:
    """A day as an entry holds it. Raises Refused."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refused(f'"{text}" is not a date', "write year-month-day, such as 2027-03-01") from None
