"""The commands that show the stock: what is on hand, a lot's trace, the year's register, the map of the beds."""

from __future__ import annotations

import argparse

from engine.journal.store import standing
from engine.reading.problems import nearest
from engine.records.records import apply
from engine.schedule.plan import plan_all
from tui.commands.record import split_words
from tui.commands.shared import Unusable, enter, farm_of, farm_path, print_json, tell


def stock(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.stock import stock_view

    nursery = house.nursery
    view = stock_view(nursery, plan_all(nursery, call.on), call.on, call.by)
    if call.json:
        from tui.paper.stock import stock_json

        print_json(stock_json(view))
    elif call.csv:
        from tui.paper.stock_table import stock_csv

        print(stock_csv(view, nursery.records.stock), end="")
    else:
        from tui.paper.stock import stock_sheet

        print(stock_sheet(house.farm, view, call.by))
    return tell(house, call.on)


def trace(call: argparse.Namespace) -> int:
    farm, (lot,) = split_words(call.words, ("LOT",))
    house = enter(farm_path(farm[0] if farm else None))
    from engine.views import trace as views

    records = apply(house.farm, [e for e in standing(house.entries) if e.on <= call.on], watch=None)
    names = records.stock.names
    name = lot if lot in names else next((n for n in names if n.lower() == lot.lower()), None)
    if name is None:
        hint = nearest(lot, names)
        raise Unusable(f'no lot is called "{lot}"' + (f"; {hint}" if hint else ""))
    found = views.trace(house.farm, records, name)
    lines = views.ledger(records.stock.movements, name)
    if call.json:
        from tui.paper.trace import trace_json

        print_json(trace_json(found, lines))
    else:
        from tui.paper.trace import trace_sheet

        print(trace_sheet(house.farm, found, lines))
    return tell(house, call.on)


def stock_plants(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.yields import yield_histories
    from tui.paper.yields import yields_json, yields_sheet

    nursery = house.nursery
    records = apply(house.farm, [e for e in standing(house.entries) if e.on <= call.on], watch=None)
    found = yield_histories(nursery.farm, records, plan_all(nursery, call.on), call.on)
    if call.json:
        print_json(yields_json(found))
    else:
        print(yields_sheet(house.farm, found, call.on))
    return tell(house, call.on)


def register(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.trace import register as make

    records = apply(house.farm, standing(house.entries), watch=None)
    found = make(records, call.year or call.on.year)
    if call.json:
        from tui.paper.register import register_json

        print_json(register_json(found))
    else:
        from tui.paper.register import register_sheet

        print(register_sheet(house.farm, found))
    return tell(house, call.on)


def rows(call: argparse.Namespace) -> int:
    house = farm_of(call)
    from engine.views.beds import bed_rows, disagreements

    nursery = house.nursery
    found = bed_rows(nursery)
    if call.json:
        from tui.paper.rows import rows_json

        print_json(rows_json(found))
    else:
        from tui.paper.rows import rows_sheet

        print(rows_sheet(found, disagreements(nursery)))
    return tell(house, call.on)
