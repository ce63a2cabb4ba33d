"""`widger change`: change a batch that has not started, or a need: only what is given."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable
from tui.commands.shared.entries import record_one, split_words
from tui.commands.shared.species import BY, CULTIVAR, FORM, GRADE, WHO
from tui.typed_days import NONE, exact_day, exact_day_or_none
from tui.typed_numbers import sureness_of, whole_of
from tui.typed_words import instead_of

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery

OF_BATCH = ("start", "ready", "method", "route", "places", "rootstock", "source", "came")
OF_NEED = ("by", "sure", "form", "grade", "who")


def run(call: Namespace) -> int:
    from engine.acts.action import Refused
    from engine.acts.batches import KEEP, BatchChange, change_batch
    from engine.acts.needs import NeedChange, amend_need
    from engine.reading.problems import nearest

    farm, (name,) = split_words(call)
    given = {key for key in ("count", "cultivar", *OF_BATCH, *OF_NEED) if getattr(call, key) is not None}
    if not given:
        raise Unusable("say what changes: --count N, --cultivar C; of a batch --start D, --ready D, --method M, "
                       "--route R, --places OLD=NEW, --rootstock R, --from WHOM, --came D; "
                       "of a need --by D, --sure P, --for WHO, --form F, --grade G")  # fmt: skip
    count = KEEP if call.count is None else whole_of(call.count, "--count")
    cultivar = KEEP if call.cultivar is None else call.cultivar
    start = KEEP if call.start is None else exact_day_or_none(call.start)
    ready = KEEP if call.ready is None else exact_day_or_none(call.ready)
    came = KEEP if call.came is None else exact_day_or_none(call.came)
    method, route = (KEEP if value is None else value for value in (call.method, call.route))
    rootstock, source = (
        KEEP if value is None else "" if value.lower() == NONE else value for value in (call.rootstock, call.source)
    )
    places = KEEP if call.places is None else instead_of(call.places)
    by = KEEP if call.by is None else None if call.by.lower() == NONE else exact_day(call.by)
    sure = KEEP if call.sure is None else sureness_of(call.sure)
    form, grade, who = (KEEP if value is None else value for value in (call.form, call.grade, call.who))

    def make(nursery: Nursery, _: Sequence[Entry]) -> Action:
        lots, needs = [lot.id for lot in nursery.records.lots], [each.id for each in nursery.farm.needs]
        batch, need = name in lots, any(each.lower() == name.lower() for each in needs)
        if not batch and not need:
            raise Refused(f'no batch or need is called "{name}"', nearest(name, [*lots, *needs]))
        if given & set(OF_NEED) or (need and not batch):
            if odd := given & set(OF_BATCH):
                raise Unusable(f"{name} is a need: --{min(odd)} is of a batch")
            return amend_need(nursery, name, call.on, NeedChange(count, by, sure, form, grade, cultivar, who))
        wanted = BatchChange(
            count, start, ready, cultivar, method, route, places, rootstock, source, came, call.general
        )
        return change_batch(nursery, name, call.on, wanted)

    return record_one(call, farm, make)


COMMAND = Command(
    run,
    "[FARM] ID",
    "change a batch that has not started, or a need: only what is given",
    (
        ("--count", {"metavar": "N", "help": "how many"}),
        CULTIVAR,
        ("--start", {"metavar": "D", "help": "of a batch: nothing before this day; none clears it"}),
        ("--ready", {"metavar": "D", "help": "of a batch: done by this day; none clears it"}),
        ("--method", {"metavar": "M", "help": "of a batch: raised by this method"}),
        ("--route", {"metavar": "R", "help": "of a batch: which route, where the method has several"}),
        (
            "--places",
            {
                "metavar": "OLD=NEW",
                "help": "of a batch: where it stands instead, with commas between; none: as its method says",
            },
        ),
        ("--rootstock", {"metavar": "TEXT", "help": "of a batch: what it is grafted on; none clears it"}),
        ("--from", {"dest": "source", "metavar": "WHOM", "help": "of a batch: where its seed or wood came from"}),
        ("--came", {"metavar": "D", "help": "of a batch: when that came"}),
        ("--general", {"action": "store_true", "help": "by the general method, where this plant has none of its own"}),
        BY,
        ("--sure", {"metavar": "P", "help": "of a need: how surely: 0.9, 90 or 90%%"}),
        WHO,
        FORM,
        GRADE,
    ),
)
