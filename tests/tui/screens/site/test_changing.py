"""What is changed from the site: hours, places and prices are recorded, all else is shown as lines for the file."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from textual.widgets import Input, Label

from engine.farm.places import MONTH_KEYS
from engine.records.settings import place_of
from tests.tui.farms import TINY, write_tiny
from tests.tui.screens.cold.test_screen import written
from tests.tui.screens.site.test_screen import site
from tests.tui.shed import Shed, opened
from tui import farm_app
from tui.forms.form import FormScreen
from tui.forms.lines_to_paste import LinesPage
from tui.screens.site import changing, file_lines
from tui.screens.site.screen import SiteScreen

ROOM, PACKET = ["40 trays", "12 m of row"], {"packet": 3.5, "seeds": 200}
PRICED = TINY + '[[price]]\nitem = "rootstock"\neach = 1.2\n'


async def test_c_asks_what_changes_and_finds_it_by_its_name(tmp_path: Path):
    async with opened(write_tiny(tmp_path, PRICED)) as shed:
        await site(shed)
        await shed.press("c")
        for told in (
            "hours a week                   10",
            "place: cold store",
            "price: rootstock               1.2 each",
        ):
            assert told in shed.text
        await shed.press(*"hours", "enter")
        await shed.fill(hours="Jan 6, Apr 20")
        await shed.save()
        assert written(shed.path) == [
            ("hours", {"now": {**dict.fromkeys(MONTH_KEYS, 10), "jan": 6, "apr": 20}, "was": 10})
        ]
        screen = shed.on_top(SiteScreen)
        assert "hours a week: 10, Jan 6, Apr 20" in shed.text
        assert screen.app.house.farm.hours_by_month[:4] == (6, 10, 10, 20)
        await shed.press("u")
        assert screen.app.house.farm.hours_by_month[0] == 10


async def shown(shed: Shed, ask: Callable[[SiteScreen], None]) -> FormScreen:
    ask(shed.on_top(SiteScreen))
    await shed.pilot.pause()
    return shed.on_top(FormScreen)


async def test_a_new_place_and_another_price_are_recorded(tmp_path: Path):
    async with opened(write_tiny(tmp_path, PRICED)) as shed:
        screen = await site(shed)
        await shown(shed, partial(changing.ask_place, place=None))
        await shed.fill(name="sand bed", cover="yes", room="40 trays, 12 m of row")
        await shed.save()
        await shown(shed, partial(changing.ask_price, price=screen.app.house.farm.prices[0]))
        await shed.fill(price="105 a hundred")
        await shed.save()
        await shown(shed, partial(changing.ask_price, price=None))
        await shed.fill(item="seed", species="bankside fig", price="3.5 a packet of 200")
        await shed.save()
        assert written(shed.path) == [
            ("place", {"place": "sand bed", "now": {"under_cover": True, "room": ROOM}, "was": None}),
            ("price", {"item": "rootstock", "now": {"hundred": 105}, "was": {"each": 1.2}}),
            ("price", {"item": "seed", "species": "Fictus ripensis", "now": PACKET, "was": None}),
        ]
        assert {place.name for place in screen.app.house.farm.places} >= {"sand bed"}


async def test_a_place_is_set_beside_the_screen_where_the_journal_is_long(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(farm_app, "AT_ONCE", -1)
    async with opened(write_tiny(tmp_path, PRICED)) as shed:
        screen = await site(shed)
        app = screen.app
        place = next(each for each in app.house.farm.places if each.name == "cold store")
        await shown(shed, partial(changing.ask_place, place=place))
        await shed.fill(name="")
        await shed.save()
        assert "cannot be removed" in shed.refusal  # still in the form
        await shed.fill(name="the cellar", room="40 trays")
        await shed.save()
        await shed.until(lambda: "the cellar" in {each.name for each in app.house.farm.places}, "it is set")
        assert [kind for kind, _ in written(shed.path)] == ["place", "place"]
        assert "the cellar" in shed.text
        await shed.press("u")
        await shed.until(lambda: "undone: " in shed.text, "both are undone")
        assert app.house.farm.places == app.house.farm.of_file.places
        assert not app.faults


REFUSED: tuple[tuple[Callable[[SiteScreen], None], dict[str, str], str, str], ...] = (
    (changing.ask_hours, {"hours": "many"}, "is not a month", "hours"),
    (partial(changing.ask_place, place=None), {"name": "", "cover": "no"}, "name", "name"),
    (partial(changing.ask_place, place=None), {"name": "cold stor"}, 'no place is called "cold stor"', "name"),
    (partial(changing.ask_place, place=None), {"name": "bed", "cover": "so"}, "under cover: yes or no", "cover"),
    (partial(changing.ask_place, place=None), {"name": "bed", "room": "plenty"}, "40 trays", "room"),
    (partial(changing.ask_place, place=None), {"name": "bed", "loss": "most"}, "share of lots", "loss"),
    (partial(changing.ask_price, price=None), {"item": "spade", "price": "9"}, 'item "spade" is not known', "item"),
    (partial(changing.ask_price, price=None), {"item": "pot", "price": "much"}, "is not a price", "price"),
    (partial(changing.ask_price, price=None), {"item": "seed", "species": "hazle", "price": "9"}, "hazle", "species"),
    (file_lines.ask_frost, {"last": "soon"}, "is not a month-day", "last"),
    (file_lines.ask_warmth, {"high": "1 2 3"}, "3 numbers", "high"),
    (file_lines.ask_warmth, {"high": " ".join("111111111111")}, "mean high needs mean low beside it", "high"),
    (changing.ask_hours, {"hours": "1414"}, "hours a week: from 0 to 168", "hours"),
    (file_lines.ask_where, {"where": "here"}, "give latitude, then longitude", "where"),
    (file_lines.ask_where, {"zone": "Paris"}, 'time zone "Paris" is not known', "zone"),
    (file_lines.ask_where, {"coldest": "very"}, "does not say its unit", "coldest"),
    (partial(file_lines.ask_mark, name="bud swell"), {"phrase": "last forst"}, "no mark is called", "phrase"),
    (partial(file_lines.ask_mark, name=""), {"name": "", "phrase": "15 Mar"}, "a mark needs", "name"),
)


async def test_a_place_is_renamed_by_its_form_and_what_is_emptied_is_removed(tmp_path: Path):
    async with opened(write_tiny(tmp_path, PRICED)) as shed:
        screen = await site(shed)
        changing.ask_place(screen, place_of(shed.app.house.farm, "cold store"))
        await shed.pilot.pause()
        await shed.fill(name="cellar", room="40 trays")
        await shed.save()
        assert [told for _, told in written(shed.path)] == [
            {"place": "cold store", "now": {"room": ["40 trays"]}, "was": {"room": []}},
            {"place": "cold store", "now": {"name": "cellar"}, "was": {"name": "cold store"}},
        ]
        cellar = place_of(shed.app.house.farm, "cellar")
        assert cellar is not None
        changing.ask_place(screen, cellar)
        await shed.pilot.pause()
        await shed.fill(name="")
        await shed.save()
        assert "cellar cannot be removed" in shed.refusal
        shed.on_top(FormScreen).dismiss(False)
        await shed.pilot.pause()
        changing.ask_price(screen, shed.app.house.farm.prices[0])
        await shed.pilot.pause()
        await shed.fill(price="")
        await shed.save()
        assert shed.app.house.farm.prices == ()


async def test_what_cannot_be_is_refused_in_every_form_and_the_cursor_stands_on_it(tmp_path: Path):
    async with opened(write_tiny(tmp_path, PRICED)) as shed:
        await site(shed)
        for ask, filled, told, at in REFUSED:
            form = await shown(shed, ask)
            await shed.fill(**filled)
            await shed.save()
            assert told in shed.refusal, filled
            assert isinstance(shed.app.focused, Input), filled
            assert shed.app.focused.id == at, (filled, shed.refusal)
            form.dismiss(False)
            await shed.pilot.pause()
        assert written(shed.path) == []


LINES: tuple[tuple[Callable[[SiteScreen], None], dict[str, str], list[str], str], ...] = (
    (file_lines.ask_frost, {"last": "10 Apr, 26 Apr, 9 May"},
     ['last_frost = {"90%" = "04-10", "50%" = "04-26", "10%" = "05-09"}'], "last frost"),
    (file_lines.ask_where, {"where": "45.5, 5.5"}, ["latitude = 45.5", "longitude = 5.5"], ""),
    (file_lines.ask_where, {"height": "800"}, ["elevation_m = 800"], "no mark"),
    (partial(file_lines.ask_mark, name="bud swell"), {"phrase": "earliest of last frost; 1 May"},
     ['"bud swell" = {earliest = ["last frost", "1 May"]}'], "bud swell"),
    (partial(file_lines.ask_mark, name=""), {"name": "Rooks nest", "phrase": "15 Mar"},
     ['"rooks nest" = "15 Mar"'], ""),
)  # fmt: skip


async def test_lines_for_the_file_are_weighed_while_they_are_typed_and_copied(tmp_path: Path):
    async with opened(write_tiny(tmp_path, PRICED), size=(100, 40)) as shed:
        await site(shed)
        before = shed.path.read_text(encoding="utf-8")
        for ask, filled, lines, moved in LINES:
            form = await shown(shed, ask)
            await shed.fill(**filled)
            await shed.pilot.pause()
            assert moved in str(form.query_one("#told", Label).render())
            await shed.save()
            page = shed.on_top(LinesPage)
            assert all(line in shed.text for line in lines), shed.text
            assert "would move" in shed.text
            assert shed.app.clipboard.endswith(lines[-1])
            page.dismiss(None)
            await shed.pilot.pause()
        assert shed.path.read_text(encoding="utf-8") == before
        assert written(shed.path) == []


async def test_what_the_grower_pastes_is_taken_up_while_the_screen_stands(tmp_path: Path):
    async with opened(write_tiny(tmp_path, PRICED)) as shed:
        screen = await site(shed)
        text = shed.path.read_text(encoding="utf-8")
        shed.path.write_text(text + '\n[site.marks]\n"rooks nest" = "15 Mar"\n', encoding="utf-8")
        shed.app._watch()
        await shed.until(lambda: any(mark.mark.name == "rooks nest" for mark in screen.marks), "the mark is there")
