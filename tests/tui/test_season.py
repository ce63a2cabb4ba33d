"""A season of the demo through its keys: an order, cuttings stuck, a frost, plants lifted, packed and sent."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

from textual.widgets import Input

from tests.tui.shed import Shed, opened
from tui.forms.form import FormScreen
from tui.screens.dispatch.screen import DispatchScreen
from tui.screens.needs.form import NeedForm
from tui.screens.needs.screen import NeedsScreen
from tui.screens.tonight.screen import TonightScreen

SEPTEMBER = date(2026, 9, 14)
LOT, WHO = "B26", "Hale Orchards"


async def on(shed: Shed, day: date, key: str = "1") -> None:
    """The same farm on a later day, on the screen of a key."""
    shed.app._on = day
    await shed.press(key)
    shed.app.screen.derive()  # type: ignore[attr-defined]
    await shed.worked_out()


async def take_order(shed: Shed) -> None:
    """60 bare-root blackcurrants for Hale by 10 December 2027; they come from cuttings that are not stuck yet."""
    await shed.press("5")
    await shed.worked_out()
    await shed.press("b")
    form = shed.on_top(NeedForm)
    told = {"species": "blackcurrant", "cultivar": "Baldwin", "count": "60", "by": "2027-12-10", "form": "bare root"}
    for name, value in {**told, "who": WHO, "id": "HALE"}.items():
        form.query_one(f"#{name}", Input).value = value
    await shed.press("ctrl+s")
    await shed.worked_out()


async def do_next(shed: Shed, alive: int) -> str:
    """The lot's next act at its aim, by its key: all of it, or so many alive where that is asked."""
    plan = shed.plan(LOT)
    k = next(k for k in plan.chain.order if not plan.done(k))
    aim = plan.now.aims[k]
    assert aim is not None
    await on(shed, max(shed.app.today, date.fromordinal(aim)))
    rows = [row for row in shed.board.rows if row.kind == "task" and row.task is not None and row.task.lot == LOT]
    await shed.go(next(row.key for row in rows if row.task is not None and row.task.step == plan.step(k).do))
    await shed.press("d")
    form = shed.on_top(FormScreen)
    first = form.query(Input).first()
    if not first.value:
        first.value = str(alive)
    await shed.press("enter")
    return plan.step(k).do


async def test_from_the_first_order_to_the_last_parcel(demo: Callable[[date], Path]):
    async with opened(demo(SEPTEMBER), SEPTEMBER) as shed:
        await take_order(shed)
        needs = shed.on_top(NeedsScreen)
        line = next(each for each in needs.lines if each.need.id == "HALE")
        assert (line.to_come, line.short, line.taken) == (60, 0, ((LOT, 60),))

        done = [await do_next(shed, 0) for _ in range(3)]
        assert done == ["collect", "prepare", "stick"]

        await on(shed, date(2027, 5, 5))  # a frost on young leaves
        await shed.press("f", *"-4", "enter")
        tonight = shed.on_top(TonightScreen)
        assert any(each.lot == LOT and each.place == "nursery beds" for each in tonight.lots)
        tonight.board.go_to(next(row.key for row in tonight.board.rows if not row.head and row.place == "nursery beds"))
        await shed.press("d")
        assert "nursery beds" in tonight.done

        await on(shed, date(2027, 10, 11), "9")  # in leaf still: nothing may travel, nothing is there
        screen = shed.on_top(DispatchScreen)
        parcel = next(each for each in screen.parcels if each.who == WHO)
        assert (parcel.ready, parcel.short) == (0, 60)

        assert [await do_next(shed, 120) for _ in range(2)] == ["lift", "grade"]
        lifted = shed.app.today
        assert lifted >= date(2027, 10, 15)

        await on(shed, date(2027, 11, 29))
        assert shed.row(f"send {WHO}").text.startswith(f"send {WHO} by 9 Dec")
        await shed.go(f"send {WHO}")
        await shed.press("enter")
        await shed.worked_out()
        screen = shed.on_top(DispatchScreen)
        assert screen.parcel_list.row is not None
        assert screen.parcel_list.row.key == "HALE"
        await shed.press("p")
        await shed.worked_out()
        screen.parcel_list.go_to("HALE")
        parcel = next(each for each in screen.parcels if each.who == WHO)
        assert (parcel.packed, parcel.ready, parcel.short) == (True, 60, 0)
        await shed.press("s")
        await shed.worked_out()
        assert all(each.who != WHO for each in screen.parcels)

        stock = shed.app.house.records.stock
        assert stock.met["HALE"] == 60
        assert sum(held.count for held in stock.holdings if held.lot == LOT) == 60
        sold = [entry for entry in shed.entries() if entry.kind == "sell"]
        assert {entry.data["to"] for entry in sold} == {WHO}
        assert shed.app.today - lifted < timedelta(60)
        assert shed.app.house.records.strays == ()
