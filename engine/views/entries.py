"""What was recorded, entry by entry: as each stands, what it said first, and whether it was undone."""

from __future__ import annotations

from collections.abc import Sequence

from engine.almanac.almanac import say_day
from engine.journal.corrections import CORRECT, NEVER, corrected, readable
from engine.journal.entry import Entry
from engine.journal.undone import stand, taken_back
from engine.reading.frozen import dataclass
from engine.records.records import Records
from engine.records.values import texts
from engine.records.words import said, said_undated

STANDS, CORRECTED, TAKEN_BACK = "stands", "corrected", "undone"
_ABOUT = ("batch", "lot", "into", "part", "need", "plant")


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One entry: as it stands, or stood when it was undone; what it said `first`; and by what that was mended."""

    entry: Entry
    first: Entry
    state: str
    by: tuple[str, ...] = ()
    """The ids of the corrections, or of the undo, that make it so."""
    units: str = "metric"

    @property
    def words(self) -> str:
        """What it says, its day left out."""
        return said_undated(self.entry, self.units)

    @property
    def was(self) -> str:
        """What it said first, where that was corrected: only what differs of day and words."""
        if self.state != CORRECTED:
            return ""
        same = said_undated(self.first, self.units) == self.words
        return say_day(self.first.on.toordinal(), True) if same else said(self.first, self.units)


def entry_lines(
    entries: Sequence[Entry], records: Records, lot: str = "", units: str = "metric"
) -> tuple[EntryLine, ...]:
    """The entries about a lot (none named: all), the latest day first; `entries` are all of the journal.

    What was done to a lot before a part of it went on apart is the part's too.
    """
    standing = stand(entries, records.stood).standing
    there = {entry.id for entry in standing}
    corrections = [entry for entry in standing if entry.kind == CORRECT]
    mended_by: dict[str, list[str]] = {}
    for each in readable(corrections):
        mended_by.setdefault(str(each.data.get("of")), []).append(each.id)
    undone_by: dict[str, list[str]] = {}
    for each in standing:
        for target in taken_back(each):
            undone_by.setdefault(target, []).append(each.id)
    own = _of_lot(records, lot)
    lines = []
    if lot:  # of a long journal what names the lot nowhere is passed over at a glance
        entries = [e for e in entries if e.id in own or e.id in mended_by or "join" in e.data or lot in e.data.values()]
    for first, entry in zip(entries, corrected(entries, corrections), strict=True):
        if entry.kind in NEVER or not (not lot or entry.id in own or _about(entry, lot)):
            continue
        if entry.id not in there:
            lines.append(EntryLine(entry, first, TAKEN_BACK, tuple(undone_by.get(entry.id, ())), units))
        elif entry.id in mended_by:
            lines.append(EntryLine(entry, first, CORRECTED, tuple(mended_by[entry.id]), units))
        else:
            lines.append(EntryLine(entry, first, STANDS, units=units))
    lines.reverse()  # of one day the latest written first
    return tuple(sorted(lines, key=lambda line: line.entry.on, reverse=True))


def _about(entry: Entry, lot: str) -> bool:
    return any(entry.data.get(key) == lot for key in _ABOUT) or lot in texts(entry.data.get("join"))


def _of_lot(records: Records, name: str) -> set[str]:
    """The ids of the acts and looks of a lot, those before it was parted too."""
    lot = records.lot(name) if name else None
    if lot is None:
        return set()
    return {act.entry for act in lot.done.values()} | {look.entry for look in lot.looks}
