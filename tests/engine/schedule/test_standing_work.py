"""Standing work is put up where something stands: nobody weeds an empty bed (common practice)."""

from __future__ import annotations

from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.records.records import apply
from engine.schedule.nursery import open_nursery
from engine.schedule.plan import Day, day_of
from engine.schedule.standing_work import used_from
from engine.views.hours import hours_by_week
from engine.views.standing_tasks import standing_tasks
from engine.views.week import week_view
from tests.engine.needs.homes import batch, farm, stock
from tests.engine.schedule.farms import day, entry


def works(where: str, keep: str = "") -> str:
    return f'[[standing]]\ndo = "weed"\nplace = "{where}"\nevery_days = 7\nminutes = 60\n{keep}'


EMPTY = "when_empty = false\n"


def at(home: Farm, on: str, entries: tuple[Entry, ...] = ()) -> Day:
    return day_of(open_nursery(home, apply(home, entries)), day(on))


def put_up(home: Farm, on: str, entries: tuple[Entry, ...] = ()) -> list[str]:
    """The places at which there is standing work in the week of a day."""
    return [task.place for task in week_view(at(home, on, entries)).tasks if task.kind == "standing"]


def test_an_empty_bed_is_not_weeded_unless_its_table_says_nothing_of_it():
    assert put_up(farm(works("frame", EMPTY)), "2027-06-01") == []
    assert put_up(farm(works("frame")), "2027-06-01") == ["frame"]
    assert put_up(farm(works("bed", EMPTY), stock("S", 40)), "2027-06-01") == ["bed"]
    gone = entry("2027-05-20", "sell", batch="", lot="S", form="bare root", grade="", place="bed", count=40)
    assert put_up(farm(works("bed", EMPTY), stock("S", 40)), "2027-06-01", (gone,)) == []


def test_a_bed_that_a_plan_fills_is_weeded_from_that_week_on_and_its_hours_count_from_then():
    home = farm(works("bed", EMPTY), batch("B", start="2027-02-01"))
    assert put_up(home, "2027-02-15") == []
    assert put_up(home, "2027-03-01") == ["bed"]  # sticking opens then
    ahead = at(home, "2027-02-15")
    weeks = [day(on) for on in ("2027-02-15", "2027-02-22", "2027-03-01", "2027-03-08")]
    assert [round(hours_by_week(ahead, weeks)[week] - (2.0 if week == weeks[2] else 0.0), 2) for week in weeks] == [
        0, 0, 1, 1,
    ]  # fmt: skip


def test_work_of_a_place_that_the_farm_does_not_list_waits_until_something_stands_there():
    assert put_up(farm(works("barn")), "2027-06-01") == []
    there = entry("2027-05-20", "move", batch="", lot="S", form="bare root", grade="", place="bed", count=4, to="barn")
    assert put_up(farm(works("barn"), stock("S", 40)), "2027-06-01", (there,)) == ["barn"]


def test_work_of_a_library_word_is_done_at_the_place_that_serves_for_it():
    home = farm('[[place]]\nname = "tunnel"\nserves = ["store"]\n', works("store"))
    assert put_up(home, "2027-06-01") == ["tunnel"]
    done = entry("2027-06-01", "worked", batch="", do="weed", place="store")  # recorded before it had that name
    found = at(home, "2027-06-01", (done,))
    [task] = standing_tasks(found.nursery, found.today, day("2027-05-31"), day("2027-06-06"), used_from(found))
    assert str(task.state) == "done"
