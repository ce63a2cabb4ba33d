"""What the keys of the needs record, and the pages they open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from engine.acts.action import Refused, say_refusal
from engine.acts.needs import NeedChange, amend_need, find_need, withdraw_need
from engine.needs.coverage import Fallback, fallback
from engine.needs.need_lines import NeedLine
from engine.needs.orders import OrderLine, order_lines
from engine.records.needs import WORDS
from engine.schedule.plan import Day
from engine.views.needs import Trouble
from tui.forms.choice import ChoiceScreen
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.paper.needs import plant_of
from tui.paper.orders import orders_sheet
from tui.paper.without_a_lot import fallback_sheet
from tui.screens.needs.facts import PAGE, WORKING, Answers, page_of_trouble
from tui.screens.needs.late_page import LatePage
from tui.typed_days import coming_day
from tui.typed_numbers import sureness_of, whole_of
from tui.writing import write

if TYPE_CHECKING:
    from tui.in_a_thread import Make
    from tui.screen import FarmScreen

Answered = tuple[tuple[NeedLine, Answers], ...]


def edit(screen: FarmScreen, line: NeedLine) -> None:
    """Change a need: an order that has grown, or is wanted later."""
    today, need = screen.app.today, line.need
    if not _own(screen, need.id):
        return

    def save(values: Values) -> None:
        count, by = whole_of(values["count"], "how many"), coming_day(values["by"], today)
        sure, words = sureness_of(values["sure"]), {key: values["as_form" if key == "form" else key] for key in WORDS}
        write(
            screen,
            lambda n, _: amend_need(n, need.id, today, NeedChange(count=count, by=by, sure=sure, **words)),
        )

    fields = [
        Field("count", "how many", str(need.count)),
        Field("by", "by (2028-03-12, 12 Mar, or empty: whenever)", need.by.isoformat() if need.by else "", day=True),
        Field("sure", "how surely, in %", f"{need.sure * 100:.6g}"),
        Field("as_form", "form (empty: any that is ready)", need.form),
        Field("grade", "grade (empty: any that is sold)", need.grade),
        Field("cultivar", "cultivar", need.cultivar),
        Field("who", "for whom", need.who),
    ]
    screen.app.push_screen(FormScreen(f"Change: {need.id} · {plant_of(line)}", fields, save))


def withdraw(screen: FarmScreen, line: NeedLine) -> None:
    """Say that a need is withdrawn, and why."""
    today, need = screen.app.today, line.need
    if not _own(screen, need.id):
        return

    def save(values: Values) -> None:
        write(screen, lambda n, _: withdraw_need(n, need.id, values["reason"], today))

    told = f"{need.count} {plant_of(line)}" + (f" for {need.who}" if need.who else "")
    screen.app.push_screen(
        FormScreen(f"Cancel this need: {need.id}", [Field("reason", "why")], save, f"{told}; u undoes it")
    )


def _own(screen: FarmScreen, name: str) -> bool:
    """Whether a need may be changed; says so at the foot where it is a planting's."""
    try:
        find_need(screen.app.house.nursery.farm, name)
    except Refused as refusal:
        screen.tell(say_refusal(refusal))
        return False
    return True


def what_if(screen: FarmScreen, lots: Sequence[tuple[str, int]]) -> None:
    """What falls short should a lot be lost, and which ways still meet it; of several lots, one is chosen.

    `lots` are those that cover a need, with how many of each it gets.
    """

    def show(lot: str | None) -> None:
        if lot is None:
            return
        farm = screen.app.house.nursery.farm

        def draw(found: tuple[Fallback, ...]) -> Text:
            return Text(fallback_sheet(farm, lot, found, PAGE))

        meanwhile = Text(f"If {lot} is lost: working out what falls short …")
        screen.app.push_screen(LatePage(("without", lot), lambda day: fallback(day, lot), draw, meanwhile))

    if len(lots) == 1:
        show(lots[0][0])
    else:
        screen.app.push_screen(
            ChoiceScreen("What if it were lost?", [(lot, f"{lot}: {count} of it") for lot, count in lots]), show
        )


def trouble(screen: FarmScreen, amiss: Trouble, ways_of: Callable[[NeedLine], Make[Answers]]) -> None:
    """The needs that a lot in trouble leaves short, with the ways that still meet them."""
    makes = [(line, ways_of(line)) for line in amiss.needs]

    def make(day: Day) -> Answered:
        return tuple((line, answers(day)) for line, answers in makes)

    meanwhile = Text(f"{amiss.lot}: {WORKING}")
    page = LatePage(("trouble", amiss.lot), make, lambda found: page_of_trouble(amiss, found), meanwhile)
    screen.app.push_screen(page)


def orders(screen: FarmScreen) -> None:
    """What is to be bought for all batches, and by when."""
    today, farm = screen.app.today, screen.app.house.nursery.farm

    def draw(found: tuple[OrderLine, ...]) -> Text:
        return Text(orders_sheet(farm, found, today, PAGE))

    screen.app.push_screen(
        LatePage("orders", lambda day: order_lines(day.nursery, day.plans), draw, Text("adding up what needs buying …"))
    )
