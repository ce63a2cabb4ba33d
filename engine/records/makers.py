"""Which entry made what bears a name: two devices may give one id before either has read the other's journal.

The first keeps the id; what the other made is refused, and what is told of it is refused with it, never applied to the
first. An entry says whose lot, need or plants it means: under "made", the id of the entry that made it, by its name.
One that does not say means what its own device made under that name, where it made any.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, MutableMapping
from typing import Any

from engine.journal.device_names import of_device
from engine.journal.entry import Entry
from engine.reading.frozen import replace
from engine.records.layers import copied
from engine.records.values import texts

_KEYS = {"batch": "lot", "lot": "lot", "into": "lot", "plant": "plant", "need": "need"}
"""What an entry names, and the kind of thing whose names those are: batches are lots."""
_MAKES = {"batch": "batch", "need": "need", "stock_plant": "plant", "split": "into"}
"""The name that an entry of a kind gives anew."""
_OF_FARM = ("amend", "withdraw", "grub_out")
Name = tuple[str, str]
"""A kind of thing, and what one of them is called."""


class Makers:
    """What the entries made, while they are taken in order."""

    def __init__(self) -> None:
        self.bears: MutableMapping[Name, str] = {}
        """The entry that made what bears a name."""
        self._called: MutableMapping[str, str] = {}
        """What an entry made, by the name that it bears now; "" where it was refused."""
        self._own: MutableMapping[Name, Mapping[str, str]] = {}
        """For each name, what each device made under it."""

    def copied(self) -> Makers:
        """The same, to go on from another way; these must not be changed any more."""
        other = Makers()
        other.bears, other._called, other._own = copied(self.bears), copied(self._called), copied(self._own)
        return other

    def instead(self, gone: Collection[str], come: Collection[str], lots: Collection[str], others: Makers) -> Makers:
        """The same with lots of these names made by entries that have `come`, as `others` tell, not by those `gone`."""
        new = self.copied()
        names = {("lot", name) for name in lots}
        for name in names:
            if new.bears.get(name) in gone:
                del new.bears[name]
            if name in new._own:
                del new._own[name]
        for entry in gone:
            if entry in new._called:
                del new._called[entry]
        new.bears.update({name: entry for name, entry in others.bears.items() if name in names})
        new._called.update({entry: others._called[entry] for entry in come if entry in others._called})
        new._own.update({name: own for name, own in others._own.items() if name in names})
        return new

    def made(self, kind: str, name: str, entry: Entry, called: str) -> None:
        """An entry made something under a name; it is `called` so now, or was refused: ""."""
        if not name or self._called.get(entry.id):
            return
        self._called[entry.id] = called
        own = self._own.get((kind, name), {})
        device = of_device(entry.id)
        if not self._called.get(own.get(device, "")):
            self._own[kind, name] = {**own, device: entry.id}
        if called:
            self.bears.setdefault((kind, called), entry.id)

    def meant(self, entry: Entry) -> tuple[Entry, str]:
        """The entry with what it means by its right name; and why it is refused with what it means, or nothing."""
        data, own = entry.data, self._own
        if not own and "made" not in data:
            return entry, ""
        told = data.get("made")
        says = told if isinstance(told, Mapping) else {}
        changed: dict[str, Any] = {}
        for key, kind in _KEYS.items():
            if key not in data or not isinstance(name := data[key], str) or not _refers(entry.kind, key):
                continue
            if (kind, name) not in own and name not in says:  # it means what bears the name
                continue
            called, fault = self._now(kind, name, says.get(name), entry.id)
            if fault:
                return entry, fault
            if called != name:
                changed[key] = called
        if joins := texts(data.get("join")):
            now = [self._now("lot", name, says.get(name), entry.id)[0] for name in joins]
            if now != joins:
                changed["join"] = now
        return (replace(entry, data={**data, **changed}) if changed else entry), ""

    def _now(self, kind: str, name: str, maker: object, entry_id: str) -> tuple[str, str]:
        own = self._own.get((kind, name))
        if maker is None:
            maker = own.get(of_device(entry_id)) if own else None
        if maker is None:
            return name, ""
        if not isinstance(maker, str) or maker not in self._called:  # undone, or not come yet
            other = (kind, name) in self.bears
            return (
                name,
                f'it means a different "{name}", which was undone or has not arrived yet' if other else "",
            )
        called = self._called[maker]
        return called, "" if called else f'the "{name}" that it means was refused: another has that id'


def _refers(kind: str, key: str) -> bool:
    """Whether what an entry of a kind names there is one that is there already. A sale tells its need by name."""
    if key in ("need", "plant"):
        return kind in _OF_FARM
    return _MAKES.get(kind) != key


def refer(kind: str, data: Mapping[str, Any], bears: Mapping[Name, str]) -> dict[str, Any]:
    """The data of an entry, with the entries that made what it names."""
    named = [
        (of, data[key])
        for key, of in _KEYS.items()
        if isinstance(data.get(key), str) and _refers(kind, key)
    ] + [("lot", name) for name in texts(data.get("join"))]  # fmt: skip
    made = {name: bears[of, name] for of, name in named if (of, name) in bears}
    return {**data, "made": made} if made else dict(data)
