"""`widger grade`: record a grading, such as first=40 second=15."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import Command, Unusable
from tui.commands.shared.entries import split_words
from tui.commands.shared.ledger import OF, on_ledger
from tui.typed_numbers import grades_of

if TYPE_CHECKING:
    from argparse import Namespace

    from engine.acts.action import Action
    from engine.acts.find_in_stock import Ledger


def run(call: Namespace) -> int:
    from engine.acts.find_in_stock import find_holding
    from engine.acts.stock import grade

    told = [word for word in call.words if "=" in word]
    farm, (lot,) = split_words(call, 1, [word for word in call.words if "=" not in word])
    if not told:
        raise Unusable("usage: widger grade [FARM] LOT GRADE=COUNT …, such as first=40 second=15")
    grades = grades_of(told)

    def of(ledger: Ledger) -> Action:
        return grade(ledger, find_holding(ledger, lot, call.form, call.grade, call.place), grades)

    return on_ledger(call, farm, of)


COMMAND = Command(
    run,
    "[FARM] LOT GRADE=COUNT",
    "record a grading, such as first=40 second=15",
    OF,
)
