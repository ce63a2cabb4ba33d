"""`widger starts`: how many to start, of a species by the book and your own results, or at given rates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.reading.limits import MOST_IN_BATCH
from engine.reading.said import percent, percent_given
from tui.commands.shared.call import GOOD, JSON, ON, Command, Unusable, print_json
from tui.commands.shared.entries import split_words
from tui.commands.shared.farms import enter, farm_path, tell
from tui.commands.shared.species import asked_day, knowing
from tui.out import say
from tui.typed_numbers import rate_of, sureness_of, wanted_of

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    sure, want = sureness_of(call.sure), wanted_of(call.want, MOST_IN_BATCH)
    if call.words and call.rate:
        raise Unusable("say a species and a method, or --rate: not both")
    if call.words:
        return _of_a_species(call, want, sure)
    if not call.rate:
        raise Unusable("say a species and a method of your farm, or a --rate for each step")
    return _at_rates(call, want, sure)


def _at_rates(call: Namespace, want: int, sure: float) -> int:
    """How many to start at rates that are given."""
    from engine.odds.starts import SURENESSES, TooUnsure, costs, start

    rates = tuple(rate_of(text) for text in call.rate)
    try:
        found = start(want, rates, sure)
    except TooUnsure:
        told = f"at these rates not even {MOST_IN_BATCH:,} started give {want:,} with {sure:.4g} certainty"
        raise Unusable(told) from None
    if call.json:
        print_json({"start": found.count, "expected": round(found.expected, 6)})
        return GOOD
    say(f"Start {found.count:,} to have {want:,} with {percent_given(sure)} certainty.")
    say(f"{found.expected:,.1f} are expected to come through, {found.surplus:,.1f} more than wanted.")
    for other, cost in costs(want, rates, SURENESSES):
        if other != sure:
            more = cost.count - found.count
            say(f"  {percent(other)} sure: {cost.count:,}" + (f" ({more:+,})" if more else ""))
    return GOOD


def _of_a_species(call: Namespace, want: int, sure: float) -> int:
    """How many to start of a species by a method, what stands behind it, and what more or less sureness costs."""
    from engine.schedule.plan import day_of

    farm, (name, method) = split_words(call)
    house = enter(farm_path(farm[0] if farm else None))
    from engine.farm.protocols import NoProtocol
    from engine.farm.stock import Need
    from engine.needs.sizing import sizing
    from tui.paper.starts import sizing_json, sizing_sheet

    nursery, species = knowing(house.nursery, name)
    cultivar, day = call.cultivar or "", day_of(nursery, call.on)
    need = Need("", species.latin, cultivar, "", want, asked_day(call), sure)
    try:
        found = sizing(day, need, method, call.route or "")
    except NoProtocol as fault:
        raise Unusable(str(fault), fault.hint) from None
    if found.way.reason:
        raise Unusable(f"{found.way.title}: {found.way.reason}; `widger ways` shows others")
    if call.json:
        print_json(sizing_json(found))
    else:
        say(sizing_sheet(nursery.farm.plant(species.latin, cultivar), found))
    return tell(house, call.on)


COMMAND = Command(
    run,
    "[FARM] SPECIES METHOD",
    "how many to start to have enough: of a species, or at given rates",
    (
        ("--want", {"required": True, "metavar": "N", "help": "how many are wanted in the end"}),
        (
            "--rate",
            {
                "nargs": "+",
                "action": "extend",
                "metavar": "R[:W]",
                "help": "for each step the share that comes through (0.8, 80 or 80%%), "
                "and how many observations it is worth",
            },
        ),
        ("--sure", {"default": "90", "metavar": "P", "help": "how surely: 0.9, 90 or 90%% (default: 90)"}),
        ("--by", {"metavar": "D", "help": "of a species: the day they are wanted by"}),
        ("--route", {"metavar": "R", "help": "of a species: which route, where the method has several"}),
        ("--cultivar", {"metavar": "C", "help": "of a species: its cultivar"}),
        ON,
        JSON,
    ),
    words_told="from the library's figures and your own results; or with --rate",
    common=False,
)
