"""What a lot gained and lost, movement by movement, with its running count: its ledger, in words."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.reading.frozen import dataclass
from engine.records.stock import Key, Movement


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One movement as a lot sees it: by how much its count changed, and what it then was."""

    on: date
    change: int
    balance: int
    told: str


def ledger(movements: Iterable[Movement], lot: str) -> tuple[LedgerLine, ...]:
    """The movements of one lot in the order of the journal, with its running count."""
    lines, balance = [], 0
    for moved in movements:
        change = moved.count * (_is_of(moved.target, lot) - _is_of(moved.source, lot))
        if change or _is_of(moved.source, lot):
            balance += change
            lines.append(LedgerLine(moved.on, change, balance, say_movement(moved, lot)))
    return tuple(lines)


def by_lot(movements: Iterable[Movement]) -> dict[str, list[Movement]]:
    """The movements of every lot."""
    found: dict[str, list[Movement]] = {}
    for moved in movements:
        for lot in {end[0] for end in (moved.source, moved.target) if not isinstance(end, str)}:
            found.setdefault(lot, []).append(moved)
    return found


def say_movement(moved: Movement, lot: str = "") -> str:
    """A movement in words, as the lot of that name sees it."""
    source, target = moved.source, moved.target
    if isinstance(source, str):
        if isinstance(target, str):
            return moved.told
        origin = "opening stock" if source == "opening" else source
        return f"{origin}{told_besides(moved, source)}: {_at(target)}"
    if isinstance(target, str):
        return f"{target}{told_besides(moved, target)}: {_at(source)}"
    if source == target:
        return f"counted, {moved.told}: {_at(source)}"
    if source[0] != target[0]:
        return f"from {source[0]}: {_at(target)}" if target[0] == lot else f"to {target[0]}: {_at(source)}"
    word = {"move": "moved", "pot_up": "potted up", "grade": "graded"}.get(moved.kind, moved.kind)
    into = target[3] if source[1:3] == target[1:3] else f"{_form(target)}" if source[3] == target[3] else _at(target)
    return f"{moved.count} {word}: {_at(source)} to {into}"


def told_besides(moved: Movement, word: str) -> str:
    """What was told of a movement beside this word for it, after a comma."""
    return f", {moved.told}" if moved.told and moved.told != word else ""


def _form(key: Key) -> str:
    return f"{key[1]} {key[2]}".rstrip()


def _at(key: Key) -> str:
    return f"{_form(key)}, {key[3]}" if key[3] else _form(key)


def _is_of(end: Key | str, lot: str) -> bool:
    return not isinstance(end, str) and end[0] == lot
