"""The stock as a ledger: every entry moves a count from somewhere to somewhere, and nothing appears or vanishes.

A Book takes entries in order and keeps what is on hand; what would make a count negative, or fits nothing, is refused
with the reason and changes nothing. The kinds of entries and their data:

    receive  lot, species, cultivar, form, place, count, origin (bought, collected, found, swapped), from, unit
    move     lot, form, grade, place, to, count         pot_up   lot, form, grade, place, to_form, to, count
    grade    lot, form, place, grades {name: count}     split    lot, form, grade, place, count, into
    sell, give, plant_out   lot, form, grade, place, count, to; need: the need it meets; unnamed: without its name
    lose     lot, form, grade, place, count, cause
    count    lot, form, grade, place, count, reason     join     lot, into
    doubt, verify   lot (its name is doubtful, or sure again)
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, MutableMapping
from copy import copy
from datetime import date
from typing import Any

from engine.protocols.forms import form_after, is_there, so_many
from engine.protocols.model import Protocol
from engine.protocols.roles import Role
from engine.reading.log import Log
from engine.records.counts_teach import is_accident
from engine.records.layers import copied
from engine.records.lots import Done
from engine.records.never_below_none import is_count
from engine.records.stock import ORIGINS, Holding, Key, LotName, Movement, Stock, say_given_up

LEAVING = {"sell": "sold", "give": "given", "plant_out": "planted out", "lose": "lost"}
KINDS = frozenset((*LEAVING, "receive", "move", "pot_up", "grade", "split", "count", "join", "doubt", "verify"))
"""The kinds of entries that the book takes."""


class Book:
    """The ledger while entries are taken in order. `watch` names the lots whose movements are kept; None: all."""

    def __init__(self, watch: Iterable[str] | None = ()) -> None:
        self.on_hand: MutableMapping[Key, int] = {}
        self._there: dict[Key, int] = {}
        """Where anything stands now, and as which it was first named: the order in which all is told."""
        self._nth: MutableMapping[Key, int] = {}
        self._named = 0
        self._keys: MutableMapping[str, tuple[Key, ...]] = {}
        """Of each lot, where anything of it ever stood."""
        self.names: MutableMapping[str, LotName] = {}
        self.flows: dict[tuple[str, str], list[int]] = {}
        self.current: dict[str, Key] = {}
        """For a lot under propagation: the holding that its next act is done to."""
        self.met: dict[str, int] = {}
        self.given_up: dict[str, date] = {}
        """Lots given up, until something of them is found: nothing more comes to them."""
        self.came: MutableMapping[Key, date] = {}
        self._since: dict[str, date] = {}
        self._befell: set[tuple[str, int]] = set()
        """Places that lost a whole lot, and the year."""
        self._last = date.min
        self._watch = None if watch is None else set(watch)
        self._movements: Log[Movement] = Log()

    def copied(self) -> Book:
        """The same book, to go on from another way; this one must not be changed any more."""
        other = copy(self)
        for name in ("on_hand", "_nth", "_keys", "names", "came"):  # these grow with the journal
            setattr(other, name, copied(getattr(self, name)))
        for name in ("_there", "current", "met", "given_up", "_since", "_befell"):
            setattr(other, name, getattr(self, name).copy())
        other._movements = self._movements.copied()
        other.flows = {plant: flow.copy() for plant, flow in self.flows.items()}
        return other

    def close(self, going: Iterable[str] = (), before: Stock | None = None) -> Stock:
        """What the book says; of the lots that are `going`, what was done last is not counted yet.

        What is as it was `before` is taken over from there. The book must not be changed any more.
        """
        lots = frozenset(going)
        known = {(h.lot, h.form, h.grade, h.place): h for h in before.holdings} if before is not None else {}
        holdings = []
        for key in sorted(self._there, key=self._there.__getitem__):
            lot, held, count = key[0], known.get(key), self.on_hand[key]
            name, goes = self.names[lot], lot in lots and self.current.get(lot) == key
            if held is None or held.count != count or held.name is not name or held.going != goes:
                held = Holding(lot, name, *key[1:], count, goes)
            holdings.append(held)
        flows = {plant: (flow[0], flow[1]) for plant, flow in self.flows.items()}
        return Stock(
            tuple(holdings),
            flows,
            self._movements,
            self.names,
            self.current,
            self.met,
            self._watched(),
            self.came,
            self.given_up,
        )

    # -- what happens to a lot under propagation

    def begin(self, lot: str, name: LotName) -> None:
        """Name a lot; nothing of it is there yet."""
        self.names.setdefault(lot, name)

    def name(self, lot: str, name: LotName) -> None:
        """Name a lot anew, before anything of it has come in."""
        if lot not in self._keys:
            self.names[lot] = name

    def done(
        self,
        lot: str,
        protocol: Protocol,
        step: str,
        place: str,
        done: Done,
        *,
        part: str = "",
        source: str = "",
        cause: str = "",
    ) -> None:
        """An act done to a lot at a place; `part` names the lot that goes on apart.

        What the lot first does brings it in; a difference is a loss, or, where more came than there were, an increase.
        Of what is lost, what was dead already is told apart where it was counted how many there were.
        What arrives is bought in (`source`: from whom), so many as came: what did not come was never there to be lost.
        """
        had, came, there, on, entry = done.into, done.count, done.there, done.day, done.entry
        before, act = self.current.get(lot), protocol.steps[protocol.index(step)]
        form = form_after(act, protocol, before[1] if before else "")
        if before is not None and not is_there(act, protocol):
            place = before[3]
        target: Key = (part or lot, form, "", place)
        if part:
            self.names.setdefault(part, _parted(self.names[lot], lot))
        if before is None:
            if not is_there(act, protocol):
                return
            if act.role is Role.ARRIVE:
                had = came
                self._in(lot, target, came, "bought", on, "receive", source, entry)
            else:
                self._in(lot, target, had, "propagated", on, "propagated", step, entry)
        elif before != target:
            self._shift(before, target, min(had, self.on_hand.get(before, 0)), step, on, step, entry)
        self.current[target[0]] = target
        found = came if there is None else there
        dead = f"thrown out at {step}" if act.role.sets_going else f"did not come through {step}"
        dead = f"found dead at {step}" if there is not None else dead
        for lost, told in ((had - found, f"{dead}: {cause}" if cause else dead), (found - came, f"culled at {step}")):
            if gone := min(self.on_hand.get(target, 0), max(0, lost)):
                self._out(target, gone, "lost", on, "lost", told, entry)
        if came > had:
            self._in(target[0], target, came - had, "propagated", on, "propagated", step, entry)

    def give_up(self, lot: str, on: date, entry: str, reason: str = "") -> None:
        """Everything of a lot is lost."""
        self.given_up[lot] = on
        for key in self._held(lot):
            self._out(key, self.on_hand[key], "lost", on, "lost", f"dropped: {reason}" if reason else "dropped", entry)

    # -- the entries of the stock

    def post(self, kind: str, data: Mapping[str, Any], on: date, entry: str) -> str:
        """Take one entry; returns why it is refused, or nothing."""
        lot = str(data.get("lot", ""))
        if kind == "receive":
            return self._receive(lot, data, on, entry)
        if lot not in self.names:
            return f'no lot is called "{lot}"'
        if kind in ("doubt", "verify"):
            name = self.names[lot]
            self.names[lot] = LotName(name.species, name.cultivar, name.origin, name.parent, name.unit, kind == "doubt")
            return ""
        if kind == "join":
            into = str(data.get("into", ""))
            return self._gone(into) or self._join(lot, into, on, entry)
        key: Key = (lot, str(data.get("form", "")), str(data.get("grade", "")), str(data.get("place", "")))
        count = data.get("count")
        if kind == "grade":
            return self._grade(key, data.get("grades"), on, entry)
        if not is_count(count):
            return "its count cannot be read"
        if kind == "count":
            if count:
                self.given_up.pop(lot, None)
            return self._counted(key, count, str(data.get("reason", "")), on, entry)
        if not count:
            return "its count is zero"
        there = self.on_hand.get(key, 0)
        if count > there:
            return self._short(key, count, there)
        if kind in LEAVING:
            told = str(data.get("to") or data.get("cause") or "")
            self._out(key, count, LEAVING[kind], on, kind, told, entry)
            if kind != "lose" and (need := data.get("need")):
                self.met[str(need)] = self.met.get(str(need), 0) + count
        elif kind == "move":
            if not data.get("to"):
                return "it does not say where to"
            self._shift(key, (lot, key[1], key[2], str(data.get("to", ""))), count, kind, on, "", entry)
        elif kind == "pot_up":
            to = str(data.get("to") or key[3])
            self._shift(key, (lot, str(data.get("to_form", "pot")), "", to), count, kind, on, "", entry)
        elif kind == "split":
            into = str(data.get("into", ""))
            if not into or into in self.names:
                return f'there is already a lot called "{into}"' if into else "it names no lot to split into"
            self.names[into] = _parted(self.names[lot], lot)
            self._shift(key, (into, key[1], key[2], key[3]), count, kind, on, "", entry)
        return ""

    def _receive(self, lot: str, data: Mapping[str, Any], on: date, entry: str) -> str:
        count, origin = data.get("count"), str(data.get("origin", "bought"))
        species, form, place = (str(data.get(k, "")) for k in ("species", "form", "place"))
        if not is_count(count) or not count:
            return "its count cannot be read"
        if not (lot and species and form and place):
            return "it lacks a lot, species, form or place"
        if origin not in ORIGINS:
            return f'its origin "{origin}" is not known'
        name = LotName(species, str(data.get("cultivar", "")), origin, "", str(data.get("unit", "")))
        if gone := self._gone(lot):
            return gone
        known = self.names.setdefault(lot, name)
        if (known.species, known.cultivar) != (name.species, name.cultivar):
            return f"lot {lot} is {known.species} {known.cultivar}".rstrip() + ", a different plant"
        self._in(lot, (lot, form, str(data.get("grade", "")), place), count, origin, on, "receive",
                 str(data.get("from", "")), entry)  # fmt: skip
        return ""

    def _gone(self, lot: str) -> str:
        """Why nothing may come to a lot, or nothing."""
        return say_given_up(self.given_up[lot]) if lot in self.given_up else ""

    def _grade(self, key: Key, grades: Any, on: date, entry: str) -> str:
        if not isinstance(grades, Mapping) or not all(map(is_count, grades.values())):
            return "its grades cannot be read"
        there, total = self.on_hand.get(key, 0), sum(grades.values())
        if total > there:
            return self._short(key, total, there)
        for grade, count in grades.items():
            self._shift(key, (key[0], key[1], str(grade), key[3]), count, "grade", on, str(grade), entry)
        return ""

    def _counted(self, key: Key, count: int, reason: str, on: date, entry: str) -> str:
        there = self.on_hand.get(key, 0)
        if count > there:
            self._in(key[0], key, count - there, "found", on, "count", reason, entry)
        elif count < there:
            self._out(key, there - count, "lost", on, "count", reason or "missing at a stock-take", entry)
        else:
            self._note(on, "count", 0, key, key, "as recorded", entry)
        return ""

    def _join(self, lot: str, into: str, on: date, entry: str) -> str:
        if into not in self.names:
            return f'no lot is called "{into}"'
        one, other = self.names[lot], self.names[into]
        if lot == into or (one.species, one.cultivar) != (other.species, other.cultivar):
            return f"{lot} and {into} are different plants"
        for key in self._held(lot):
            self._shift(key, (into, *key[1:]), self.on_hand[key], "join", on, "", entry)
        return ""

    def _short(self, key: Key, wanted: int, there: int) -> str:
        elsewhere = ", ".join(
            f"{so_many(n, k[1], k[2])} at {k[3] or 'no place'}"
            for k in self._held(key[0])
            if k != key and (n := self.on_hand[k])
        )
        rest = f"; the rest: {elsewhere}" if elsewhere else ""
        here = f"{'only ' if there else ''}{so_many(there, key[1])} at {key[3] or 'no place'}"
        return f"{wanted} of {key[0]} wanted, {here}{rest}"

    # -- counts move

    def _in(self, lot: str, key: Key, count: int, origin: str, on: date, kind: str, told: str, entry: str) -> None:
        self._add(key, count)
        self._flow(lot)[0] += count
        self._stands(key, on)
        self._note(on, kind, count, origin, key, told, entry)

    def _out(self, key: Key, count: int, way: str, on: date, kind: str, told: str, entry: str) -> None:
        self._take(key, count)
        self._flow(key[0])[1] += count
        self._last = max(self._last, on)
        if way == "lost" and not self.on_hand[key] and is_accident(told, kind == "lose"):
            self._befell.add((key[3], on.year))
        self._note(on, kind, count, key, way, told, entry)

    def _shift(self, key: Key, target: Key, count: int, kind: str, on: date, told: str, entry: str) -> None:
        if count and key != target:
            self._take(key, count)
            self._add(target, count)
            if kind in ("split", "join"):  # which tell nothing of how long it stands, nor of the place
                self.came.setdefault(target, self.came.get(key, on))
            else:
                self._stands(target, on)
            self._note(on, kind, count, key, target, told, entry)
            if self.current.get(key[0]) == key and not self.on_hand[key] and target[0] == key[0]:
                self.current[key[0]] = target  # the whole lot under propagation went elsewhere

    def _add(self, key: Key, count: int) -> None:
        there = self.on_hand.get(key)
        if there is None:
            self._nth[key], there = self._named, 0
            self._named += 1
            self._keys[key[0]] = (*self._keys.get(key[0], ()), key)
        self.on_hand[key] = there + count
        if not there and count:
            self._there[key] = self._nth[key]

    def _take(self, key: Key, count: int) -> None:
        self.on_hand[key] = left = self.on_hand[key] - count
        if not left:
            self._there.pop(key, None)

    def _held(self, lot: str) -> list[Key]:
        """Where anything of a lot is."""
        return [key for key in self._keys.get(lot, ()) if self.on_hand[key]]

    def _stands(self, key: Key, on: date) -> None:
        self.came[key], place = on, key[3]
        if on > date.min:  # what the farm file opens with was there before anything was told
            self._since[place] = min(on, self._since.get(place, on))
            self._last = max(self._last, on)

    def _watched(self) -> dict[str, tuple[float, int]]:
        return {
            place: ((self._last - since).days / 365.25, sum(where == place for where, _ in self._befell))
            for place, since in self._since.items()
        }

    def _flow(self, lot: str) -> list[int]:
        name = self.names[lot]
        return self.flows.setdefault((name.species, name.cultivar), [0, 0])

    def _note(
        self, on: date, kind: str, count: int, source: Key | str, target: Key | str, told: str, entry: str
    ) -> None:
        if self._watch is None or (
            self._watch and any(not isinstance(end, str) and end[0] in self._watch for end in (source, target))
        ):
            self._movements.append(Movement(on, kind, count, source, target, told, entry))


def _parted(name: LotName, lot: str) -> LotName:
    return LotName(name.species, name.cultivar, name.origin, lot, name.unit, name.doubtful)
