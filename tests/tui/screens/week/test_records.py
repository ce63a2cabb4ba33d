"""What is counted, potted, noted, seen and undone from the board, and what is refused there."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from textual.widgets import OptionList

from engine.records.words import said
from tests.tui.farms import TODAY, tell
from tests.tui.screens.week.board import LOOK_Z2, LOOKS, SOAK, SWEEP, data, values
from tests.tui.shed import opened
from tui.forms.choice import ChoiceScreen
from tui.forms.form import FormScreen
from tui.screens.week.screen import WeekScreen


async def test_k_asks_how_many_are_alive_with_nothing_filled_in_for_what_is_going(tiny: Path):
    tell(tiny, "done", date(2027, 4, 6), batch="Z2", step="sow", count=80)
    async with opened(tiny, date(2027, 4, 7)) as shed:
        await shed.go("act Z2 sow seed beds")
        await shed.press("k")
        form = shed.on_top(FormScreen)
        assert values(form) == {"count": "", "reason": "", "on": "2027-04-07"}
        assert "80 were sown" in shed.text
        await shed.save()
        assert "how many are alive? write a number" in shed.refusal  # nothing stands in for a count
        await shed.fill(count="90")
        await shed.save()
        assert "80 of Z2 were sown: 90 cannot be alive" in shed.refusal
        await shed.fill(count="30")
        assert "80 were sown: 30 alive, 50 gone" in shed.text
        await shed.save()
        [(kind, told)] = data(shed)
        assert (kind, told["lot"], told["count"]) == ("count", "Z2", 30)
        assert (shed.plan("Z2").lot.count, shed.plan("Z2").lot.going) == (30, False)


async def test_seed_that_is_cleaned_is_sound_and_kept_not_alive(tiny: Path):
    tiny.write_text(tiny.read_text("utf-8").replace('do = "soak"', 'do = "clean"'), "utf-8")
    async with opened(tiny) as shed:
        await shed.go(SOAK.replace("soak", "clean"))
        await shed.press("d")
        await shed.fill(there="80", count="75")
        for told in ("how many are sound", "how many of those you keep", "80 sound, 75 kept, 20 lost"):
            assert told in shed.text
        await shed.fill(count="85")
        await shed.save()
        assert "85 cannot go on when 80 are there" in shed.refusal
        await shed.fill(count="75")
        await shed.save()
        assert "clean done, 80 sound, 75 kept" in said(shed.entries()[-1])
        await shed.press("e", "enter")
        for told in ("how many were sound", "how many of those you kept"):
            assert told in shed.text


async def test_k_says_where_nothing_of_a_lot_is_there_yet(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("k")
        assert (shed.foot.split("  ")[0], shed.entries()) == ("there is none of Z1 yet", [])


async def test_p_pots_what_has_run_and_the_rest_goes_on(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(LOOKS)
        await shed.press("enter")
        await shed.go(LOOK_Z2)
        await shed.press("p")
        assert "no radicles were seen in Z2" in shed.foot
        await shed.press("r")
        await shed.go("act Z2 sow seed beds")
        await shed.press("p", *"12", "enter")
        [_, (kind, told)] = data(shed)
        assert (kind, told["step"], told["count"], told["left"], told["run"]) == ("done", "sow", 12, 68, True)
        assert told["place"] == "potting shed"
        assert (shed.plan("Z2").lot.count, shed.plan("Z2/1").lot.count) == (68, 12)
        assert shed.plan("Z2").lot.radicles("stratify cold") is None


async def test_t_writes_a_note_that_stands_with_the_lot(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("t", *"dry", "enter")
        assert data(shed) == [("note", {"batch": "Z1", "text": "dry"})]
        assert shed.plan("Z1").lot.notes == ((TODAY, "dry"),)


async def test_s_records_a_mark_seen_and_what_rests_on_it_moves(tiny: Path):
    async with opened(tiny, date(2027, 3, 8)) as shed:
        await shed.press("s")
        choice = shed.on_top(ChoiceScreen).query_one(OptionList)
        choice.highlighted = choice.get_option_index("bud swell")
        await shed.press("enter")
        await shed.fill(on="2 Mar")
        await shed.save()
        assert [(e.kind, e.data["mark"], e.on) for e in shed.entries()] == [("saw", "bud swell", date(2027, 3, 2))]
        [seen] = shed.app.house.nursery.almanac.sightings
        assert (seen.mark, seen.day) == ("bud swell", date(2027, 3, 2))


async def test_what_is_typed_after_s_leaves_the_marks_that_it_means(tiny: Path):
    async with opened(tiny, date(2027, 3, 8)) as shed:
        await shed.press("s")
        listed = shed.on_top(ChoiceScreen).query_one(OptionList)
        every = listed.option_count
        await shed.press(*"bud swelx")
        assert listed.option_count == 0
        assert "nothing of that name" in shed.text
        await shed.press("enter", "backspace", *"l")
        assert [option.id for option in listed.options] == ["bud swell"]
        await shed.press(*["backspace"] * 9)
        assert listed.option_count == every
        await shed.press(*"bud swell", "enter")
        await shed.fill(on="2 Mar")
        await shed.save()
        assert [(e.kind, e.data["mark"]) for e in shed.entries()] == [("saw", "bud swell")]


async def test_a_lone_number_puts_off_to_that_day_to_come_and_says_it_in_words(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.press("l")
        await shed.fill(to="25")
        assert "not before Mon 25 Jan 27" in shed.text
        await shed.fill(to="77")
        assert 'no month has a day "77"' in shed.text
        await shed.fill(to="25")
        await shed.save()
        assert data(shed) == [("later", {"batch": "Z1", "step": "soak", "to": "2027-01-25"})]
        assert "h hold" in shed.foot  # what was said leaves the keys where they are


async def test_u_undoes_the_latest_entry_of_this_device_and_then_says_there_is_none(tiny: Path):
    tell(tiny, "note", TODAY, device="office", batch="Z1", text="not ours")
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.do("done")
        await shed.save()
        assert shed.row(SOAK).state == "done"
        await shed.press("u")
        assert shed.row(SOAK).state == "open"
        assert "soak" in shed.foot
        await shed.press("u")
        assert "nothing to undo" in shed.foot
        assert len(shed.plan("Z1").lot.notes) == 1


async def test_what_is_for_tasks_to_be_done_is_refused_elsewhere_and_the_board_stands(tiny: Path):
    async with opened(tiny) as shed:
        shed.screen.opened = frozenset({"cold store"})
        shed.screen.derive()
        await shed.pilot.pause()
        for kind in ("done", "hold", "later", "drop", "accept"):
            for key in (LOOKS, LOOK_Z2, *([SWEEP] if kind != "done" else [])):
                await shed.go(key)
                shed.screen.tell("")
                before = shed.foot
                await shed.do(kind)
                assert shed.foot != before, (kind, key)
                assert isinstance(shed.app.screen, WeekScreen), (kind, key)
        assert shed.entries() == []


async def test_done_on_what_is_done_is_refused(tiny: Path):
    tell(tiny, "done", TODAY, batch="Z1", step="soak", count=100)
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.do("done")
        assert isinstance(shed.app.screen, WeekScreen)
        assert "undo" in shed.foot
        assert shed.entries() == []


async def test_what_another_device_did_meanwhile_is_not_recorded_twice(tiny: Path):
    async with opened(tiny) as shed:
        await shed.go(SOAK)
        await shed.do("done")
        tell(tiny, "done", TODAY, device="office", batch="Z1", step="soak", count=77)
        await shed.save()
        assert "77" in shed.refusal
        assert shed.entries() == []
