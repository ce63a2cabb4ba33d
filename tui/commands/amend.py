"""`widger amend`: change a need: only what is given; none takes the day away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable
from tui.commands.shared.entries import record_one, split_words
from tui.commands.shared.species import BY, CULTIVAR, FORM, WHO
from tui.fields import NONE, exact_day, sureness_of, whole_of

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def run(call: Namespace) -> int:
    from engine.acts.batches import KEEP
    from engine.acts.needs import amend_need

    farm, (name,) = split_words(call)
    words = {"form": call.form, "cultivar": call.cultivar, "who": call.who}
    if all(value is None for value in (call.count, call.by, call.sure, *words.values())):
        raise Unusable("say what changes: --count N, --by D, --sure P, --for WHO, --form F or --cultivar C")
    count = KEEP if call.count is None else whole_of(call.count, "--count")
    by = KEEP if call.by is None else None if call.by.lower() == NONE else exact_day(call.by)
    sure = KEEP if call.sure is None else sureness_of(call.sure)
    form, cultivar, who = (KEEP if value is None else value for value in words.values())

    def make(nursery: Nursery, _: tuple[Entry, ...]) -> Action:
        return amend_need(
            nursery, name, call.on, count=count, by=by, sure=sure, form=form, cultivar=cultivar, who=who
        )  # fmt: skip

    return record_one(call, farm, make)


COMMAND = Command(
    run,
    "[FARM] ID",
    "change a need: only what is given; none takes the day away",
    (
        ("--count", {"metavar": "N", "help": "how many"}),
        BY,
        ("--sure", {"metavar": "P", "help": "how surely: 0.9, 90 or 90%%"}),
        WHO,
        FORM,
        CULTIVAR,
    ),
)
