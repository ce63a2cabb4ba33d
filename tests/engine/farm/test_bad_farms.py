"""Every fault of a farm file is told with its file, its line and the remedy, all at once, and never as an exception."""

import os
from datetime import date
from pathlib import Path

import pytest

from engine.farm.reading import Reading, read_farm
from engine.records.records import Records
from engine.schedule.nursery import faults, open_nursery
from engine.schedule.plan import Day
from engine.views.week import week_view
from tui.farmhouse import Farmhouse, enter

GOOD = """\
[farm]
name = "Hollow Lane"
hours_per_week = 14

[site]
latitude = 45.0
longitude = -93.0
timezone = "America/Chicago"
[site.last_frost]
"90%" = "04-24"
"50%" = "05-08"
"10%" = "05-22"
[site.first_frost]
"10%" = "09-19"
"50%" = "10-03"
"90%" = "10-17"

[[batch]]
id = "elder-27"
species = "Sambucus canadensis"
method = "hardwood cutting"
count = 240
start = 2026-11-01

[[protocol]]
species = "Sambucus canadensis"
method = "hardwood cutting"
[[protocol.step]]
do = "stick"
opens = ["soil workable"]
closes = ["soil workable + 5 weeks"]
wait_days = [0, 3]
"""


def read(folder: Path, text: str) -> tuple[Reading, str]:
    path = folder / "hollow.toml"
    path.write_text(text, encoding="utf-8")
    return read_farm(path), str(path)


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_a_good_farm_has_no_problem(tmp_path):
    reading, _ = read(tmp_path, GOOD)
    assert reading.problems == ()
    assert reading.usable
    assert reading.farm is not None
    assert [batch.id for batch in reading.farm.batches] == ["elder-27"]


# what is written instead of what, where the fault stands, what is told, and the remedy
ONE_FAULT = {
    "misspelt mark": ('["soil workable"]', '["soil workabel"]', 'no mark is called "soil workabel"', '"soil workable"'),
    "phrase that cannot be read": ('["soil workable"]', '["last frost - 8 wks"]', "is not a phrase", '"+ 3 weeks"'),
    "day of a phrase that does not exist": ('["soil workable"]', '["31 Apr"]', "April has no day 31", "last day is 30"),
    "unknown key": ("hours_per_week = 14", "hours_per_weak = 14", "is not a key", '"hours_per_week"'),
    "unknown key of a step": ("wait_days = [0, 3]", "wait_day = [0, 3]", "is not a key", '"wait_days"'),
    "day that does not exist": ('"50%" = "05-08"', '"50%" = "05-32"', "this day does not exist", "ends on day 31"),
    "month that does not exist": ('"50%" = "05-08"', '"50%" = "13-08"', "there is no month 13", "month-day"),
    "no month-day": ('"50%" = "05-08"', '"50%" = "in May"', "is not a month-day", '"05-08"'),
    "a month misspelt": ('"50%" = "05-08"', '"50%" = "8 Mai"', "is not a month-day", "did you mean May"),
    "a day and a month turned round": ('"50%" = "05-08"', '"50%" = "May 8"', "is not a month-day", '"8 May"'),
    "no chance": ('"90%" = "04-24"', '"often" = "04-24"', "is not a chance", '"90%"'),
    "certain frost": ('"90%" = "04-24"', '"100%" = "04-24"', "is not a chance", "99.9%"),
    "unknown method": ('method = "hardwood cutting"\ncount', 'method = "hardwod cutting"\ncount', "is not known",
                       '"hardwood cutting"'),
    "species one letter off": ("species = \"Sambucus canadensis\"\nmethod = \"hardwood cutting\"\ncount",
                               "species = \"Sambucus canadenis\"\nmethod = \"hardwood cutting\"\ncount", "is not known",
                               '"Sambucus canadensis"'),
    "unknown zone": ('"America/Chicago"', '"America/Chicaco"', '"America/Chicaco" is not known', '"America/Chicago"'),
    "range reversed": ("wait_days = [0, 3]", "wait_days = [3, 0]", "the wrong way round", "wait_days = [0, 3]"),
    "days in halves": ("wait_days = [0, 3]", "wait_days = [0.5, 3]", "whole numbers", "wait_days = 90"),
    "latitude off the earth": ("latitude = 45.0", "latitude = 145.0", "out of range", "-90 to 90"),
    "latitude that is not a number": ("latitude = 45.0", "latitude = nan", "out of range", "-90 to 90"),
    "latitude in words": ("latitude = 45.0", 'latitude = "45 N"', "is a number", "-90 to 90"),
    "huge count": ("count = 240", "count = 1" + "0" * 400, "out of range", "1 to 10000000"),
    "half a cutting": ("count = 240", "count = 240.5", "whole number", ""),
    "count that is a flag": ("count = 240", "count = true", "is a number, not true", "1 to 10000000"),
    "start in words": ("start = 2026-11-01", 'start = "in November"', "is a date", "2027-03-01"),
    "start in the year 206": ("start = 2026-11-01", "start = 0206-11-01", "outside the years 1900", "2027-03-01"),
    "unit unknown": ("hours_per_week = 14", 'units = "metrick"', "is not known", '"metric"'),
    "hours beyond a week": ("hours_per_week = 14", "hours_per_week = 200", "out of range", "0 to 168"),
    "place that is a list": ("hours_per_week = 14", "hours_per_week = [1]", "is a number", "0 to 168"),
    "after no such step": ("wait_days = [0, 3]", 'after = ["sticks"]', 'no step is called "sticks"', '"stick"'),
}  # fmt: skip


@pytest.mark.parametrize(("good", "bad", "message", "hint"), ONE_FAULT.values(), ids=ONE_FAULT)
def test_one_fault_is_told_once_with_file_line_and_remedy(tmp_path, good, bad, message, hint):
    assert GOOD.count(good) == 1
    text = GOOD.replace(good, bad)
    reading, file = read(tmp_path, text)
    [problem] = reading.problems
    assert problem.file == file
    assert problem.line == line_of(text, bad.split("\n")[0])
    assert message in problem.message
    assert hint in problem.hint
    assert str(problem).startswith(f"{file}:{problem.line}: ")


# faults that are told at the table they concern
OF_A_TABLE = {
    "frost chances out of order": ('"50%" = "05-08"', '"50%" = "05-28"', "[site.last_frost]", "chances out of order",
                                   "the chance falls as the dates go on"),
    "autumn chances out of order": ('"90%" = "10-17"', '"90%" = "09-17"', "[site.first_frost]", "chances out of order",
                                    "the chance rises as the dates go on"),
    "the other hemisphere's frost": ("latitude = 45.0", "latitude = -45.0", "[site.last_frost]",
                                     "other hemisphere's dates", "south of the equator latitude is negative"),
    "one frost without the other": (GOOD[GOOD.index("[site.first_frost]"):GOOD.index("[[batch]]")], "",
                                    "[site.last_frost]", "last_frost needs first_frost beside it",
                                    "add [site.first_frost] with"),
    "one chance twice": ('"90%" = "04-24"', '"50.0%" = "04-24"', "[site.last_frost]", "one chance has two", "chance"),
    "neither start nor ready": ("start = 2026-11-01\n", "", "[[batch]]", "needs a start or a ready", "add start ="),
    "no id": ('id = "elder-27"\n', "", "[[batch]]", '"id" is missing', "add id ="),
    "no method": ('method = "hardwood cutting"\ncount', "count", "[[batch]]", '"method" is missing', "add method ="),
    "no count": ("count = 240\n", "", "[[batch]]", '"count" is missing', "add count ="),
    "no zone": ('timezone = "America/Chicago"\n', "", "[site]", '"timezone" is missing', "add timezone ="),
    "no latitude": ("latitude = 45.0\n", "", "[site]", '"latitude" is missing', "from -90 to 90"),
    "a step without a name": ('do = "stick"\n', "", "[[protocol.step]]", '"do" is missing', "add do ="),
}  # fmt: skip


@pytest.mark.parametrize(("good", "bad", "table", "message", "hint"), OF_A_TABLE.values(), ids=OF_A_TABLE)
def test_what_is_missing_or_does_not_fit_together_is_told_at_its_table(tmp_path, good, bad, table, message, hint):
    assert GOOD.count(good) == 1
    text = GOOD.replace(good, bad)
    reading, file = read(tmp_path, text)
    problem = next(p for p in reading.problems if message in p.message)
    assert (problem.file, problem.line) == (file, line_of(text, table))
    assert hint in problem.hint


def test_two_batches_of_one_id_are_told_at_the_second(tmp_path):
    second = '\n[[batch]]\nid = "elder-27"\nspecies = "hazel"\nmethod = "seed"\n'
    second += 'route = "held cold, sown in spring"\ncount = 9\nready = 2028-04-01\n'
    reading, _ = read(tmp_path, GOOD + second)
    [problem] = reading.problems
    assert problem.line == (GOOD + second).count("\n") - 5
    assert 'two batches are called "elder-27"' in problem.message
    assert "ids must be unique" in problem.hint


def test_an_unknown_route_names_the_one_meant(tmp_path):
    text = GOOD + (
        '\n[[batch]]\nid = "h"\nspecies = "hazel"\nmethod = "seed"\ncount = 9\nready = 2028-04-01\n'
        'route = "held cold, sown in sprong"\n'
    )
    reading, _ = read(tmp_path, text)
    [problem] = reading.problems
    assert problem.line == line_of(text, "route =")
    assert problem.hint == 'did you mean "held cold, sown in spring"?'


def test_a_misspelt_species_is_asked_about_before_its_route_and_beside_every_other_fault(tmp_path):
    batch = '\n[[batch]]\nid = "g"\nspecies = "goosbery"\nmethod = "hardwood cutting"\nroute = "by night"\ncount = -5\n'
    reading, _ = read(tmp_path, f"{GOOD}{batch}start = 2026-11-01\n")
    name, count = reading.problems
    assert (name.line, name.hint) == (line_of(GOOD + batch, 'species = "goos'), 'did you mean "gooseberry"?')
    assert (count.line, "count = -5" in count.message) == (line_of(GOOD + batch, "count = -5"), True)


def test_a_protocol_whose_name_is_one_letter_off_is_told_and_not_passed_over(tmp_path):
    tail = '\n[[protocol]]\nspecies = "Corylus avelana"\nmethod = "hardwod cutting"\n[[protocol.step]]\ndo = "stick"\n'
    reading, _ = read(tmp_path, GOOD + tail)
    told = {(p.line - GOOD.count("\n"), p.hint) for p in reading.problems}
    assert told == {(3, 'did you mean "Corylus avellana"?'), (4, 'did you mean "hardwood cutting"?')}


def test_all_faults_are_told_at_once_in_the_order_of_their_lines(tmp_path):
    text = GOOD
    kinds = ("unknown key", "day that does not exist", "unknown zone", "huge count", "range reversed")
    for kind in kinds:
        text = text.replace(ONE_FAULT[kind][0], ONE_FAULT[kind][1])
    reading, _ = read(tmp_path, text)
    assert sorted(p.line for p in reading.problems) == [p.line for p in reading.problems]
    for kind in kinds:
        bad, message = ONE_FAULT[kind][1:3]
        assert any(p.line == line_of(text, bad) and message in p.message for p in reading.problems), kind


@pytest.mark.parametrize(
    ("marks", "line", "message"),
    [
        ('"bud swell" = "bud swel - 1 week"', 1, 'no mark is called "bud swel"'),
        ('"first cut" = "first cut + 1 week"', 1, 'mark "first cut" depends on itself: first cut → first cut'),
        ('"a" = "b"\n"b" = "a + 1 day"', 2, "b → a → b"),
        ('"last frost" = "1 May"', 1, '"last frost" cannot be redefined'),
        ('"leaf drop" = {soonest = ["1 Nov"]}', 1, "the latest or earliest of several"),
    ],
)
def test_marks_that_make_no_sense_are_told_and_the_rest_is_read(tmp_path, marks, line, message):
    text = GOOD.replace("\n[[batch]]", f"[site.marks]\n{marks}\n\n[[batch]]")
    reading, _ = read(tmp_path, text)
    header = line_of(text, "[site.marks]")
    assert any(p.line == header + line and message in p.message for p in reading.problems)
    assert reading.farm is not None
    assert reading.farm.batches
    for _, _, reason in faults(open_nursery(reading.farm, Records(())), date(2027, 1, 1)):
        assert reason


def test_the_marks_of_the_farms_own_species_are_checked_too(tmp_path):
    tail = '\n[[species]]\nlatin = "Aralia cordata"\n[species.marks]\n"bud swell" = "bud swel - 1 week"\n'
    reading, _ = read(tmp_path, GOOD + tail)
    [problem] = reading.problems
    assert problem.line == (GOOD + tail).count("\n")
    assert 'did you mean "bud swell"?' in problem.hint


def test_standing_work_is_told_at_its_own_line_though_an_earlier_one_is_broken(tmp_path):
    tail = (
        '\n[[standing]]\ndo = "weed"\n'
        '\n[[standing]]\ndo = "water"\nplace = "mist bench"\nopens = ["last forst"]\nevery_days = 1\n'
    )
    reading, _ = read(tmp_path, GOOD + tail)
    told = {(p.line - GOOD.count("\n"), p.message.split(":")[0]) for p in reading.problems}
    assert told == {(2, '"place" is missing'), (8, "opens")}


def test_a_window_that_closes_before_it_opens_is_told_with_its_dates(tmp_path):
    text = GOOD.replace('["soil workable"]', '["last frost (10%) + 4 days"]').replace(
        '["soil workable + 5 weeks"]', '["15 May"]'
    )
    reading, _ = read(tmp_path, text)
    assert reading.problems == ()
    assert reading.farm is not None
    [(batch, step, reason)] = faults(open_nursery(reading.farm, Records(())), date(2027, 1, 1))
    assert (batch.id, step) == ("elder-27", "stick")
    assert reason.startswith("it closes before it opens: last frost (10%) + 4 days is 26 May")
    assert "closed since 15 May" in reason


def test_a_frost_phrase_at_a_frost_free_site_names_the_step_and_the_reason(tmp_path):
    start, end = GOOD.index("[site.last_frost]"), GOOD.index("[[batch]]")
    text = (GOOD[:start] + GOOD[end:]).replace('["soil workable"]', '["last frost (10%)"]')
    reading, _ = read(tmp_path, text)
    assert reading.farm is not None
    told = faults(open_nursery(reading.farm, Records(())), date(2027, 1, 1))
    assert [step for _, step, _ in told] == ["stick"]
    assert "the site has no last frost (frost-free)" in told[0][2]


UNREADABLE = {
    "TOML": (b'[farm]\nname = "Hollow"\n[site\n', 3, "TOML", "quotes"),
    "an unclosed quote": (b'[farm]\nname = "Hollow\n', 2, "TOML", "quotes"),
    "a day that TOML does not know": (b"[farm]\nname = 2026-02-30\n", 2, "2026-02-30 is not a day", "year-month-day"),
    "a month that no year has": (b"[farm]\nname = 2026-13-26\n", 2, "2026-13-26 is not a day", "year-month-day"),
    "such a month in a list": (b"[farm]\nname = [2026-13-01]\n", 2, "2026-13-01 is not a day", "year-month-day"),
    "a good day before a fault": (b"[farm]\nname = 2026-02-20 x\n", 2, "TOML", ""),
    "what is no day, quoted before a fault": (b'[farm]\nname = "2026-13-26" x\n', 2, "TOML", ""),
    "a key given twice": (b'[farm]\nname = "a"\nname = "b"\n', 3, "TOML", ""),
    "not UTF-8": (b'[farm]\nname = "Caf\xe9"\n', 2, "not UTF-8", "save the file as UTF-8"),
    "UTF-16": ('[farm]\nname = "a"\n'.encode("utf-16"), 1, "not UTF-8", "save the file as UTF-8"),
    "UTF-16 without a mark": ('[farm]\nname = "a"\n'.encode("utf-16-le"), 1, "not UTF-8", "save the file as UTF-8"),
    "too deep": (b"a = " + b"[" * 5000, 1, "TOML", ""),
    "a number of thousands of digits": (b"a = " + b"1" * 5000, 0, "TOML", ""),
    "binary": (bytes(range(256)), 2, "not", ""),
}


@pytest.mark.parametrize(("data", "line", "message", "hint"), UNREADABLE.values(), ids=UNREADABLE)
def test_what_is_no_farm_file_cannot_be_used_and_says_why(tmp_path, data, line, message, hint):
    path = tmp_path / "hollow.toml"
    path.write_bytes(data)
    reading = read_farm(path)
    [problem] = reading.problems
    assert not reading.usable
    assert reading.farm is None
    assert (problem.file, problem.line) == (str(path), line)
    assert message in problem.message
    assert hint in problem.hint
    assert path.read_bytes() == data


@pytest.mark.parametrize(
    ("text", "line", "message", "hint"),
    [
        ('opens = [\n"1 Mar",\ncloses = ["2 Mar"]\n', 1, "the list that begins here is not closed", "close it with ]"),
        ('opens = ["1 Mar" "2 Mar"]\n', 1, "the list that begins here is not closed", "close it with ]"),
        ("[[need]]\ncount = 2\n[[need.part]]\ncount = 2\n[need]\n", 5, "twice", "double brackets"),
        ("[[lanting]]\n[[planting.position]]\n[[planting]]\n", 2, "before any [[planting]]", "the table above"),
        ("[farm]\nname = 1\nname = 2\n", 3, "overwrite", "take one of them out"),
    ],
)
def test_where_a_file_is_no_toml_the_line_is_where_to_look(tmp_path, text, line, message, hint):
    path = tmp_path / "hollow.toml"
    path.write_text(text, encoding="utf-8")
    (problem,) = read_farm(path).problems
    assert (problem.line, message in problem.message, hint in problem.hint) == (line, True, True), str(problem)


def test_a_folder_and_a_missing_file_cannot_be_used(tmp_path):
    for path, message, hint in (
        (tmp_path, "this is a folder", ".toml"),
        (tmp_path / "none.toml", "there is no such file", "widger new"),
        (tmp_path / "none" / "none.toml", "there is no such file", "widger new"),
    ):
        reading = read_farm(path)
        assert not reading.usable
        assert message in reading.problems[0].message
        assert hint in reading.problems[0].hint


@pytest.mark.parametrize(
    ("fault", "message"), [(PermissionError(13, "no"), "no permission"), (OSError(5, "disk"), "disk")]
)
def test_a_file_that_may_not_be_read_says_so(tmp_path, monkeypatch, fault, message):
    path = tmp_path / "hollow.toml"
    path.write_text(GOOD, encoding="utf-8")

    def refuse(self: Path, mode: str) -> None:
        raise fault

    monkeypatch.setattr(Path, "open", refuse)
    reading = read_farm(path)
    assert not reading.usable
    assert message in reading.problems[0].message


def test_what_has_no_end_is_not_read_to_it(tmp_path, monkeypatch):
    link = tmp_path / "zero.toml"
    link.symlink_to("/dev/zero")
    assert read_farm(link).problems[0].message == "this is a device, not a farm file"
    path = tmp_path / "long.toml"
    path.write_bytes(b"#" * 1000)
    monkeypatch.setattr("engine.farm.reading.LARGEST_FILE", 999)
    assert "larger than" in read_farm(path).problems[0].message


def test_an_empty_file_is_told_that_it_has_no_site(tmp_path):
    reading, file = read(tmp_path, "")
    assert reading.farm is None
    assert reading.usable
    assert [(p.file, p.line, p.message) for p in reading.problems] == [(file, 0, "the [site] table is missing")]


def test_a_byte_order_mark_and_windows_line_ends_change_nothing(tmp_path):
    path = tmp_path / "hollow.toml"
    bad = GOOD.replace("wait_days = [0, 3]", "wait_days = [3, 0]")
    path.write_bytes(b"\xef\xbb\xbf" + bad.replace("\n", "\r\n").encode())
    [problem] = read_farm(path).problems
    assert problem.line == line_of(bad, "wait_days")
    assert os.path.getsize(path) == len(bad) + bad.count("\n") + 3


@pytest.mark.parametrize(
    "yields", ['{"²" = 1}', "{" + "9" * 400 + " = 1}", "inf", "nan", "1e400", '{"1" = inf}', "-1", '"x"']
)
def test_a_yield_that_no_plant_gives_is_told(tmp_path, yields):
    text = f'{GOOD}[[stock_plant]]\nid = "row"\nspecies = "hazel"\ncount = 3\nyields = {yields}\n'
    reading, file = read(tmp_path, text)
    assert [(p.file, p.line) for p in reading.problems] == [(file, line_of(text, "yields"))]
    assert all(p.hint for p in reading.problems)
    assert reading.farm is not None


def test_work_whose_season_never_comes_here_is_told_by_line_and_leaves_the_rest_in_peace(tmp_path):
    frost_free = GOOD[: GOOD.index("[site.last_frost]")]
    text = f'{frost_free}[[standing]]\ndo = "set traps"\nplace = "seed beds"\nopens = ["first frost"]\n'
    path = tmp_path / "hollow.toml"
    path.write_text(text, encoding="utf-8")
    house = enter(path)
    assert isinstance(house, Farmhouse)
    told = [p for p in house.problems(date(2027, 3, 1)) if "set traps" in p.message]
    assert [(p.line, "never comes here" in p.message) for p in told] == [(line_of(text, "[[standing]]"), True)]
    assert week_view(Day(house.nursery, (), date(2027, 3, 1))).tasks == ()
