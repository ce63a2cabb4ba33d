"""`widger correct`: say what is right of an entry: its day, its count, its words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from tui import door
from tui.commands.shared.call import JSON, Command, Unusable, by_argparse
from tui.commands.shared.entries import record_one, split_words
from tui.commands.shared.farms import enter, farm_path
from tui.typed_days import exact_day
from tui.typed_numbers import degrees_of, grades_of, sureness_of
from tui.typed_words import instead_of

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery

NONE = "none"
_COUNTS = {"count": "count", "alive": "there", "left": "left", "days": "days", "planted": "planted"}
_WORDS = {
    "cause": "cause", "finding": "finding", "reason": "reason", "text": "text", "to": "to", "from_whom": "from",
    "species": "species", "cultivar": "cultivar", "form": "form", "place": "place", "to_form": "to_form",
    "grade": "grade", "for_need": "need", "start": "start", "ready": "ready", "by": "by", "who": "who",
    "mark": "mark", "into": "into", "method": "method", "route": "route", "note": "note", "material": "material",
    "state": "state", "rootstock": "rootstock", "came": "came",
}  # fmt: skip


def run(call: Namespace) -> int:
    from engine.acts.correcting import correct

    farm, (entry,) = split_words(call)
    today = max(door.today(), call.day or door.today())
    changes: dict[str, Any] = {
        key: getattr(call, option) for option, key in _COUNTS.items() if getattr(call, option) is not None
    }
    for option, key in _WORDS.items():
        if (given := getattr(call, option)) is not None:
            changes[key] = None if given.lower() == NONE else given
    if call.places is not None:
        changes["places"] = dict(instead_of(call.places))
    if call.sure is not None:
        changes["sure"] = sureness_of(call.sure)
    if call.degrees is not None:
        units = enter(farm_path(farm[0] if farm else None)).farm.units
        changes["temperature_c"] = degrees_of(call.degrees, units)
    if call.grades:
        changes["grades"] = grades_of(call.grades)
    if call.day is None and not changes:
        raise Unusable("say what is right: --on D, --count N, --cause C … (widger correct --help)")
    call.on = today

    def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
        latest = max((each.on for each in entries), default=today)
        return correct(nursery, entries, entry, max(today, latest), call.day, changes, call.general)[0]

    return record_one(call, farm, make, every=True)


COMMAND = Command(
    run,
    "[FARM] ENTRY",
    "correct an entry: its day, its count, its words; none clears one",
    (
        ("--on", {"dest": "day", "default": None, "type": by_argparse(exact_day), "metavar": "D",
                  "help": "the day it really happened"}),
        JSON,
        ("--count", {"type": int, "metavar": "N", "help": "how many"}),
        ("--alive", {"type": int, "metavar": "N", "help": "how many were found alive, where they were counted apart"}),
        ("--left", {"type": int, "metavar": "N", "help": "how many were still to do"}),
        ("--days", {"type": int, "metavar": "N", "help": "how many days an outage lasted"}),
        ("--planted", {"type": int, "metavar": "YEAR", "help": "the year in which stock plants were planted"}),
        ("--degrees", {"metavar": "T", "help": "how warm it was, or how cold, in the farm's units"}),
        ("--sure", {"metavar": "P", "help": "of a need: how surely: 0.9, 90 or 90%%"}),
        ("--grades", {"nargs": "+", "metavar": "G=N", "help": "so many of each grade"}),
        ("--general", {"action": "store_true", "help": "by the general method, where this plant has none of its own"}),
        ("--places", {"metavar": "OLD=NEW", "help": "where a changed batch stands instead"}),
        *((f"--{option.replace('_', '-')}", {"metavar": "TEXT"}) for option in _WORDS),
    ),
    common=False,
)  # fmt: skip
