"""The devices of a farm, as text and as JSON: what each has recorded, and what they do not agree on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any

from engine.journal.device_names import of_device
from engine.records.words import said
from engine.views.devices import Clock, Device, Devices, since_day
from engine.views.devices_disagree import Both
from tui.cells import counted
from tui.paper.entry import entry_json
from tui.paper.page import indented


def devices_sheet(view: Devices, farm_file: str, today: date) -> str:
    """A line for each device; then the clocks that differ, and what two devices both took."""
    told = []
    for device in view.devices:
        this = "this device" if device.name == view.own else news_of(device, view, today)
        besides = f"  {this}" if this else ""
        told.append(f"{device.name:<16} {_entries(device.entries):>13}, the last {_minute(device.last)}{besides}")
    told += ["", *(say_clock(clock) for clock in view.clocks)] if view.clocks else []
    for gone in view.gone:
        told += ["", *indented(_say_gone(*gone), "")]
    for both in view.both:
        told += ["", *say_both(both, farm_file)]
    if view.unfit:
        told += ["", *_say_unfit(view, farm_file)]
    return "\n".join(told) or "nothing has been recorded yet"


def news_of(device: Device, view: Devices, today: date) -> str:
    """`since Tuesday: 14 entries`; nothing where there is nothing new."""
    if not device.new or view.since is None:
        return ""
    return f"since {since_day(view.since, today)}: {_entries(device.new)}"


def status(view: Devices, today: date) -> str:
    """What is told of the other devices when the screens open: `from shed, since Tuesday: 14 entries`."""
    told = [f"from {device.name}, {news_of(device, view, today)}" for device in view.news]
    if view.both:
        told.append(f"{counted(len(view.both), 'lot')} taken on two devices")
    if theirs := [each for each in view.unfit if of_device(each.entry.id) != view.own]:
        told.append(f"{_entries(len(theirs))} of other devices {'does' if len(theirs) == 1 else 'do'} not fit")
    told += [_say_gone(*gone) for gone in view.gone]
    told += [say_clock(clock) for clock in view.clocks if clock.ahead is not None]
    return (
        "; ".join(told) + ("  (widger devices)" if view.both or view.clocks or view.unfit or view.gone else "")
        if told
        else ""
    )


def say_clock(clock: Clock) -> str:
    """Whose clock differs, and by how much where that is known."""
    if clock.ahead is not None:
        ahead = f"the clock of {clock.device} is {_long(clock.ahead)} ahead, or this one is behind"
        return f"{ahead}: correct whichever is wrong"
    when = _minute(clock.when)
    return f"on {when} the clock of {clock.device} was behind that of {clock.behind}: correct whichever is wrong"


def _entries(count: int) -> str:
    return "1 entry" if count == 1 else f"{count} entries"


def _minute(when: datetime) -> str:
    return f"{when.day} {when:%b} {when.year}, {when.hour}:{when.minute:02}"


def _long(span: timedelta) -> str:
    hours = round(span.total_seconds() / 3600)
    return counted(hours // 24, "day") if hours >= 48 else counted(max(1, hours), "hour")


def say_both(both: Both, farm_file: str) -> Iterator[str]:
    """What no longer fits, what was taken before it, and what would settle it."""
    yield f"{both.lot} was taken on two devices, and there are too few: {both.why}"
    for entry in (*both.others, both.entry):
        mark = "does not fit" if entry is both.entry else "counted"
        yield from indented(f"{of_device(entry.id)}: {said(entry)} ({entry.id}; {mark})", "  ")
    yield from indented(
        f"to settle it, undo one of them (widger undo {farm_file} ENTRY), correct its count (widger correct), or "
        "count what is there (widger count)",
        "  ",
    )


def _say_gone(name: str, were: int, are: int) -> str:
    """Of which device entries are lacking, and what to do."""
    known = "1 entry was" if were == 1 else f"{were} entries were"
    return f"of {name} {known} known here, and {are} {'is' if are == 1 else 'are'} there: look for a copy of its file"


def _say_unfit(view: Devices, farm_file: str) -> Iterator[str]:
    """What fits nothing and counts for nothing, each with its device and why; and what would settle it."""
    what = (
        "1 entry does not fit, and counts"
        if len(view.unfit) == 1
        else f"{len(view.unfit)} entries do not fit, and count"
    )
    yield f"{what} for nothing:"
    for each in view.unfit:
        yield from indented(f"{of_device(each.entry.id)}: {said(each.entry)} ({each.entry.id}): {each.why}", "  ")
    yield from indented(
        f"to settle it, correct the farm file if that is wrong; or undo the entry (widger undo {farm_file} ENTRY) and "
        "record it again",
        "  ",
    )


def devices_json(view: Devices) -> dict[str, Any]:
    return {
        "device": view.own,
        "since": None if view.since is None else view.since.isoformat(),
        "devices": [
            {"device": d.name, "entries": d.entries, "new": d.new, "last": d.last.isoformat()} for d in view.devices
        ],
        "clocks": [
            {
                "device": clock.device,
                "hours_ahead": None if clock.ahead is None else round(clock.ahead.total_seconds() / 3600, 1),
                "behind": clock.behind or None,
                "at": clock.when.isoformat(),
            }
            for clock in view.clocks
        ],
        "both": [
            {
                "lot": both.lot,
                "why": both.why,
                "entry": entry_json(both.entry),
                "others": [entry_json(each) for each in both.others],
            }
            for both in view.both
        ],
        "gone": [{"device": name, "known": were, "there": are} for name, were, are in view.gone],
        "unfit": [{"why": each.why, "entry": entry_json(each.entry)} for each in view.unfit],
    }
