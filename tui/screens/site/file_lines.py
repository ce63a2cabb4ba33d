"""What stands in the grower's own file: asked for, weighed while it is typed, then shown as lines to paste."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from textual.widgets import Label

from engine.acts.action import Refused, say_refusal
from engine.almanac.almanac import say_day
from engine.almanac.frost import FrostDates, example_days, frost_day
from engine.almanac.phrases import FROST_MARKS, SUN_MARKS
from engine.farm.paste import Change, NotSo, Paste, Written, pastes, tried, written
from engine.reading.said import whole_or_not
from engine.reading.units import US, to_degrees
from engine.views.if_file_changes import marks_moved, tasks_moved
from tui.answers import frost_of, mark_of, month_day, months_of, where_of, with_unit
from tui.cells import counted
from tui.farm_app import MANY
from tui.forms.form import Field
from tui.forms.lines_to_paste import LinesForm, LinesPage
from tui.forms.refused_field import Values

if TYPE_CHECKING:
    from engine.farm.model import Farm
    from tui.screen import FarmScreen

Read = Callable[[Values, Written], Sequence[Change]]
"""What the fields say, as changes of the file. Raises Refused."""
STILL_READ = "the file is still being read", "wait a moment"
"""Is said where that of a large farm takes longer than its form to open."""


def ask_frost(screen: FarmScreen) -> None:
    """The frost dates: one, or three at their chances."""
    site, units = screen.app.house.farm.site, screen.app.house.farm.units
    last, first = (_dates(frost) for frost in (site.last_frost, site.first_frost))

    def read(values: Values, _: Written) -> Sequence[Change]:
        found: list[Change] = []
        for name, was in (("last", last), ("first", first)):
            if values[name] != was:
                days = {chance: month_day(day) for chance, day in frost_of(values[name], name == "last", units).items()}
                found.append((("site", f"{name}_frost"), days or None))
        return found

    spring, autumn = example_days(site.latitude)
    fields = [
        Field("last", f"last spring frost ({spring[1]}; or at 90, 50 and 10 %: {', '.join(spring)}; or none)", last),
        Field("first", f"first autumn frost ({autumn[1]}; or at 10, 50 and 90 %: {', '.join(autumn)}; or none)", first),
    ]
    _ask(screen, "Frost dates", fields, read)


def ask_warmth(screen: FarmScreen) -> None:
    """Twelve monthly means of the highs, and of the lows."""
    farm = screen.app.house.farm
    now = farm.site.temperature
    high, low = (
        " ".join(f"{round(to_degrees(c, farm.units), 1):g}" for c in months)
        for months in (((), ()) if now is None else (now.mean_max, now.mean_min))
    )

    def read(values: Values, _: Written) -> Sequence[Change]:
        found: list[Change] = []
        for name, key, was in (("high", "mean_max", high), ("low", "mean_min", low)):
            if values[name] != was:
                months = [whole_or_not(each) for each in months_of(values[name])]
                found.append((("site", "temperature", key), months or None))
        return found

    fields = [
        Field("high", "twelve mean highs, January first, in the farm's units", high),
        Field("low", "twelve mean lows", low),
    ]
    _ask(screen, "Temperatures", fields, read)


def ask_where(screen: FarmScreen) -> None:
    """Latitude and longitude, time zone, height and the coldest night."""
    farm = screen.app.house.farm
    site, us = farm.site, farm.units == US
    where, height = f"{site.latitude:g}, {site.longitude:g}", _length(farm)
    coldest = "" if site.coldest is None else f"{round(to_degrees(site.coldest, farm.units), 1):g}"

    def read(values: Values, _: Written) -> Sequence[Change]:
        found: list[Change] = []
        if values["where"] != where:
            north, east = where_of(values["where"])
            found += [(("site", "latitude"), north), (("site", "longitude"), east)]
        if values["zone"] != site.zone:
            found.append((("site", "timezone"), values["zone"]))
        if values["height"] != height:
            found.append((("site", "elevation_m"), with_unit(values["height"], "ft" if us else "")))
        if values["coldest"] != coldest:
            found.append((("site", "coldest"), with_unit(values["coldest"], "F" if us else "")))
        return found

    fields = [
        Field("where", "latitude, longitude (or a map link)", where), Field("zone", "time zone", site.zone),
        Field("height", f"height above the sea ({'ft' if us else 'm'})", height),
        Field("coldest", f"coldest night of a year, on average ({'F' if us else 'C'}; empty: not said)", coldest),
    ]  # fmt: skip
    _ask(screen, "Where the farm lies", fields, read)


def marks_of(screen: FarmScreen) -> list[str]:
    """The marks whose phrase a farm may give."""
    given = (*FROST_MARKS, *SUN_MARKS)
    return [name for name in screen.app.house.nursery.almanac.mark_names() if name not in given]


def ask_mark(screen: FarmScreen, name: str) -> None:
    """The phrase of a mark, or a new mark with its own."""
    site = screen.app.house.farm.site
    known = site.marks.get(name) or site.defaults.get(name)
    phrase = "" if known is None else known.text

    def read(values: Values, there: Written) -> Sequence[Change]:
        mark = name or " ".join(values["name"].lower().split())
        if not mark:
            raise Refused("name? a mark needs one", "such as rooks nest")
        return [(("site", "marks", _as_written(there, mark)), mark_of(values["phrase"]))]

    fields = [] if name else [Field("name", "name (rooks nest)", asked=True)]
    fields.append(
        Field("phrase", "phrase (last frost - 5 weeks; or: latest of A; B; or: earliest of A; B)", phrase, True)
    )
    _ask(screen, f"Mark: {name}" if name else "A new mark", fields, read)


def _as_written(there: Written, mark: str) -> str:
    """The mark by the name under which the file has it already."""
    from engine.almanac.marks import mark_name

    names = there.document.get("site", {}).get("marks", {})
    return next((name for name in names if mark_name(name) == mark), mark)


def _ask(screen: FarmScreen, title: str, fields: Sequence[Field], read: Read) -> None:
    """Ask, tell what it would do while it is typed, and show the lines for the file."""
    house, app = screen.app.house, screen.app
    many = len(house.records.lots) > MANY
    file: list[Written] = []
    found: list[tuple[tuple[Paste, ...], Farm]] = []

    def tries(values: Values) -> tuple[tuple[Paste, ...], Farm]:
        if not file:
            raise Refused(*STILL_READ)
        changes = read(values, file[0])
        lines = pastes(file[0], changes)
        if not lines:
            raise Refused("nothing would change")
        try:
            return lines, tried(file[0], changes)
        except NotSo as fault:
            raise Refused(_in_words(str(fault)), _in_words(fault.hint)) from None

    def told(values: Values) -> str:
        try:
            _, farm = tries(values)
        except Refused as refusal:
            return say_refusal(refusal)
        return marks_moved(house.nursery, farm, app.today.year)

    def save(values: Values) -> None:
        found.append(tries(values))

    def saved(kept: bool | None) -> None:
        if kept and found:
            lines, farm = found[-1]
            words = [marks_moved(house.nursery, farm, app.today.year)]
            if not many:
                moved = tasks_moved(house.nursery, app.plans(), farm, house.standing, app.today)
                words.append(f"{counted(moved, 'task')} to come would move" if moved else "no task would move")
            app.push_screen(LinesPage(house.path.name, lines, words))

    def was_read(there: Written) -> None:
        file.append(there)
        if form.is_mounted:
            form.query_one(".refusal", Label).update("")  # what was said of it holds no more
            form.on_input_changed()

    form = LinesForm(title, fields, save, told)
    screen.work("the file", lambda _: written(house.reading, str(house.path), one_of_each=many), was_read)
    app.push_screen(form, saved)


_WORDS = {
    "mean_max": "mean high", "mean_min": "mean low", "last_frost": "last frost", "first_frost": "first frost",
    "elevation_m": "height", "hardiness_zone": "hardiness zone", "timezone": "time zone",
}  # fmt: skip
"""What the keys of the file are called in a form."""


def _in_words(told: str) -> str:
    """What the reader of the file says, in the words of the form."""
    for key, word in _WORDS.items():
        told = told.replace(f"[site.{key}]", word).replace(key, word)
    return told


def _dates(frost: FrostDates | None) -> str:
    """Frost dates as they are typed: `8 May`, or the three at 90, 50 and 10 %, in the order of the year."""
    if frost is None:
        return "none"
    chances = (0.5,) if frost.single else (0.9, 0.5, 0.1) if frost.last else (0.1, 0.5, 0.9)
    return ", ".join(say_day(frost_day(frost, 2025, chance)) for chance in chances)


def _length(farm: Farm) -> str:
    from engine.reading.units import feet

    metres = farm.site.elevation_m
    return f"{feet(metres):.0f}" if farm.units == US else f"{metres:g}"
