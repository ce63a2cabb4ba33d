"""The devices that write to a farm: what each recorded since, clocks that differ, and what they disagree on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from itertools import pairwise

from engine.acts.free_ids import REHEARSED
from engine.almanac.almanac import say_day
from engine.journal.device_names import of_device
from engine.journal.entry import Entry, instant
from engine.journal.undone import stand
from engine.reading.frozen import dataclass
from engine.records.records import Records
from engine.views.devices_disagree import Both, Unfit, both_took, unfit

AHEAD = timedelta(hours=1)
"""A clock that is further ahead than this is told: less is no harm."""
_BUMP_S = 1.5e-6
"""What is written after an entry of another device, by a clock that says earlier, is dated a microsecond after it."""


@dataclass(frozen=True, slots=True)
class Device:
    """A device with its entries: how many, how many of them are new to this one, and when it wrote the last."""

    name: str
    entries: int
    new: int
    last: datetime


@dataclass(frozen=True, slots=True)
class Clock:
    """A device whose clock differs: how far it is ahead of this one's, or behind which device's it was, and when."""

    device: str
    ahead: timedelta | None
    behind: str
    when: datetime


@dataclass(frozen=True, slots=True)
class Devices:
    """All devices, the one that asks among them; `since`: from when on what the others recorded is new to it."""

    own: str
    since: datetime | None
    devices: tuple[Device, ...]
    clocks: tuple[Clock, ...]
    both: tuple[Both, ...]
    unfit: tuple[Unfit, ...] = ()
    """What else fits nothing: of the same names given twice, of what another device has dropped."""
    gone: tuple[tuple[str, int, int], ...] = ()
    """Devices of which more entries were known here than are there: how many were, and how many are."""

    @property
    def news(self) -> tuple[Device, ...]:
        """The other devices that recorded something since."""
        return tuple(device for device in self.devices if device.new and device.name != self.own)


def counts(entries: Sequence[Entry]) -> dict[str, int]:
    """How many entries each device has written; the demo's history is nobody's."""
    found: dict[str, int] = {}
    for entry in entries:
        name = of_device(entry.id)
        found[name] = found.get(name, 0) + 1
    found.pop(REHEARSED, None)
    return found


def devices_view(
    entries: Sequence[Entry], records: Records, own: str, now: datetime, seen: Mapping[str, int], since: datetime | None
) -> Devices:
    """What the devices of a farm did. `entries` are all of the journal, `now` is this device's instant.

    `seen` is how many of each device's entries were known here at the instant `since`; where that is None, nothing is
    new: this device has not been here before.
    """
    last: dict[str, datetime] = {}
    there = counts(entries)
    for entry in entries:
        last[of_device(entry.id)] = datetime.fromisoformat(entry.at)
    told = tuple(
        Device(name, count, 0 if since is None or name == own else max(0, count - seen.get(name, 0)), last[name])
        for name, count in sorted(there.items())
    )
    standing = stand(entries, records.stood).standing
    both = both_took(standing, records)
    gone = tuple((name, were, there.get(name, 0)) for name, were in sorted(seen.items()) if there.get(name, 0) < were)
    return Devices(own, since, told, _clocks(entries, told, now), both, unfit(standing, records, both), gone)


def _clocks(entries: Sequence[Entry], devices: Sequence[Device], now: datetime) -> tuple[Clock, ...]:
    """The clocks that are ahead of this device's, and those that were behind another's when they wrote last."""
    found = {d.name: Clock(d.name, d.last - now, "", d.last) for d in devices if d.last - now > AHEAD}
    behind: dict[str, Clock] = {}
    for before, entry in pairwise(entries):
        if not 0 < instant(entry.at) - instant(before.at) < _BUMP_S:
            continue
        name, other = of_device(entry.id), of_device(before.id)
        if name != other and REHEARSED not in (name, other) and not found.keys() & {name, other}:
            behind[name] = Clock(name, None, other, datetime.fromisoformat(entry.at))
    return (*found.values(), *behind.values())


def since_day(since: datetime, today: date) -> str:
    """The day since when, as it is said: the weekday within a week, else the date."""
    days = (today - since.date()).days
    if days <= 0:
        return "this morning" if since.hour < 12 else "today"
    if days == 1:
        return "yesterday"
    return f"{since:%A}" if days < 7 else say_day(since.toordinal(), days >= 300)
