"""What a grower must know of the need under the cursor: what covers it, and if it is short, the ways that still do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from textwrap import wrap

from rich.text import Text

from engine.needs.coverage import Coverage, PlantingLine, PositionLine
from engine.needs.need_lines import NeedLine
from engine.needs.ways import Split, Way, say_start
from engine.protocols.forms import ends_as, said_takes
from engine.reading.frozen import dataclass
from engine.reading.said import percent, percent_given
from engine.views.needs import SHORT, Trouble, overdue, planting_of, state_of
from tui.cells import day, hours_cell
from tui.facts import in_parts
from tui.paper.needs import plant_of, planting_title, unsorted_of
from tui.paper.ways import say_split, ways_sheet

PAGE = 74
"""Columns of a page: its frame and its bar stand beside it at 80."""
WAYS_SHOWN = 3
ODDS_LABEL = 10
WORKING = "working out the ways …"


@dataclass(frozen=True, slots=True)
class Answers:
    """The ways to meet what a need is short of, and it spread over two of them."""

    ways: tuple[Way, ...] = ()
    splits: tuple[Split, ...] = ()

    @property
    def can(self) -> tuple[Way, ...]:
        return tuple(way for way in self.ways if not way.reason)


def facts_of(line: NeedLine, covered: Coverage | None, answers: Answers | None, today: date) -> Text:
    """The panel of a need; `covered` is None, or `answers`, while they are being worked out."""
    if covered is None:
        return in_parts(title_of(line), {"do": ["working out what covers it …"]})
    planting, bearing = planting_of(covered, line.need), []
    if planting is not None:
        bearing = [f"{planting.planting.name}: chance that a plant bears, in %"]
        bearing += odds_lines(here for here in planting.positions if _asks(here, line))
    chance = [f"{percent(line.chance)} chance of the full count"] if _unsure(line) else []
    parts = {
        "do": _to_do(line, answers), "from": sources_of(line, covered), "odds": [*chance, *bearing],
        "note": notes_of(line),
    }  # fmt: skip
    return in_parts(title_of(line), parts, pressing(line, today))


def _to_do(line: NeedLine, answers: Answers | None) -> list[str]:
    """The ways that still meet what is short; that none does; nothing where nothing is short."""
    if not line.short:
        return []
    if answers is None:
        return [WORKING]
    if not answers.can:
        return [no_way(answers), "Enter shows why; x withdraws it"]
    ways = [f"· {brief(way)}" for way in answers.can[:WAYS_SHOWN]]
    ways += [f"· in two: {say_split(answers.splits[0])}"] if answers.splits else []
    return ["p plans one of these, fewest hours first:", *ways]


def facts_of_trouble(trouble: Trouble) -> Text:
    """The panel of a lot in trouble."""
    warnings = []
    for need in trouble.needs:
        by = f" by {day(need.need.by, True)}" if need.need.by else ""
        warnings.append(
            f"it was meant for {need.need.id}: {need.short} of {need.need.count} {plant_of(need)}{by} short"
        )
    again = "" if trouble.again is None else f"in its next window it is ready {day(trouble.again, True)}"
    parts = {
        "do": ["Enter shows the ways that still meet them"] if trouble.needs else [],
        "when": [f"{again}; it counts again when that is accepted (the week, 1: a)"] if again else [],
        "for": [] if trouble.needs else ["no need falls short because of it"],
    }
    return in_parts(f"{trouble.lot} · {trouble.plant} · {trouble.reason}", parts, warnings)


def page_of_trouble(trouble: Trouble, found: Sequence[tuple[NeedLine, Answers]]) -> Text:
    """The page of a lot in trouble: each need that it leaves short, with the ways that still meet it."""
    text = facts_of_trouble(trouble)
    for line, answers in found:
        title = f"{line.need.id}: {line.short} {plant_of(line)}"
        sheet = ways_sheet(title, line.need.by, line.need.sure, answers.ways, answers.splits[:1], PAGE)
        text.append(f"\n\n{sheet}", style="not bold")
    return text


def title_of(line: NeedLine) -> str:
    """`HEDGE · 120 hazel · by 20 Mar 2027 · 90% sure · the Long Acre hedge`."""
    need = line.need
    by = f"by {day(need.by, True)}" if need.by else "whenever"
    parts = [need.id, f"{need.count} {plant_of(line)}", by, f"{percent_given(need.sure)} sure"]
    return " · ".join((*parts, need.who) if need.who and need.who not in need.id else parts)


def standing_of(line: NeedLine, covered: Coverage, today: date) -> list[str]:
    """What covers a need, and how surely, in words."""
    chance = [f"{percent(line.chance)} chance of the full count"] if _unsure(line) else []
    told = [] if line.short else [state_of(line)]
    return [
        *(f"! {each}" for each in pressing(line, today)), *told, *chance, *notes_of(line), *sources_of(line, covered)
    ]  # fmt: skip


def pressing(line: NeedLine, today: date) -> list[str]:
    """What of a need must be seen first: its day has passed, it is short, what was meant for it does not keep."""
    late = ["its day has passed: sell it or plant it out in the stock (2), or withdraw it"]
    told = late if overdue(line, today) else []
    told = [*told, f"{SHORT} {line.short}"] if line.short else told
    return [*told, *line.lapses] if line.short or line.to_come else told


def _unsure(line: NeedLine) -> bool:
    return bool(line.to_come or (line.short and line.chance > 0) or 0 < line.chance < 0.9995)


def notes_of(line: NeedLine) -> list[str]:
    """What does not count for a need although it seems to."""
    unsure = f"{line.unsure} ready now do not count: they may be lost where they stand before then"
    return [*filter(None, [unsorted_of(line)]), *([unsure] if line.unsure else [])]


def sources_of(line: NeedLine, covered: Coverage) -> list[str]:
    """What was sent for a need, and which lots it takes."""
    sent = [f"{line.met} sent"] if line.met else []
    return [*sent, *(f"{count} of {lot}{_where(lot, covered)}" for lot, count in line.taken)]


def _where(lot: str, covered: Coverage) -> str:
    line = next((each for each in covered.stock.lines if each.lot == lot), None)
    if line is None:
        return ""
    if line.coming is None or line.coming.ready is None:
        return f", on hand{f', {line.place}' if line.place else ''}"
    return f", ready {day(line.coming.ready, True)} {ends_as(line.coming.form)}"


def brief(way: Way) -> str:
    """A way in a line or two: `hardwood cutting: collect by 23 Nov 2027, 567 cuttings, 16 h 56, enough with 95%`."""
    hours = "" if way.hours is None else f", {hours_cell(way.hours)}"
    amount = f"{way.takes:,} {said_takes(way.protocol)}{hours}, {percent(way.chance)} chance of enough"
    few = f", {way.gives:,} available from the stock plants" if way.gives is not None and way.gives < way.takes else ""
    return f"{way.title}: {say_start(way)}, {amount}{few}"


def no_way(answers: Answers) -> str:
    """What is to be said where nothing meets a need."""
    if not answers.ways:
        return "no way of raising it is known here: the farm file may hold a [[protocol]] of your own"
    return "they can't be raised in time: buy in, or tell the customer"


def odds_lines(positions: Iterable[PositionLine]) -> list[str]:
    """The odds by year that each position bears, alone and with its understudies; and what is said of its spacing."""
    told = []
    for here in positions:
        odds = here.odds or ()
        names = ", ".join(here.understudies)
        told.append(f"{here.position.count} {here.plant}{f'; understudies: {names}' if names else ''}")
        if odds:
            told.append(f"{'year':<{ODDS_LABEL}}" + "".join(f"{year:>5}" for year, _ in odds))
            told.append(f"{'alone':<{ODDS_LABEL}}" + "".join(f"{found.alone * 100:>5.0f}" for _, found in odds))
        else:
            told.append("years to bearing are not known")
        if odds and names:
            told.append(f"{'with them':<{ODDS_LABEL}}" + "".join(f"{found.covered * 100:>5.0f}" for _, found in odds))
        if here.told:
            told.append(f"! {here.told}")
    return told


def page_of(line: NeedLine, covered: Coverage, answers: Answers | None, today: date) -> Text:
    """The whole of a need: what covers it, every way, also those that cannot be and why, and its planting."""
    text = Text(title_of(line), style="bold")
    _told(text, standing_of(line, covered, today), PAGE)
    if line.short:
        text.append("\n\nTHE WAYS", style="bold")
        need = line.need
        found = answers or Answers()
        title = f"{line.short} {plant_of(line)}"
        sheet = ways_sheet(title, need.by, need.sure, found.ways, found.splits[:3], PAGE) if answers else WORKING
        text.append(f"\n{sheet}", style="not bold")
    planting = planting_of(covered, line.need)
    if planting is not None:
        _planting(text, planting, today)
    return text


def _planting(text: Text, line: PlantingLine, today: date) -> None:
    text.append(f"\n\n{planting_title(line.planting, today)}: chance that a plant bears, in %", style="bold")
    _told(text, odds_lines(line.positions), PAGE)
    years = next(([year for year, _ in here.odds] for here in line.positions if here.odds), [])
    if years:
        alone, covered = zip(*(line.bearing(year) for year in years), strict=True)
        for label, counts in (("all, alone", alone), ("all, with", covered)):
            _told(text, [f"{label:<{ODDS_LABEL}}" + "".join(f"{count:>5.0f}" for count in counts)], PAGE)
    short = [each for each in line.needs if each.short]
    _told(text, [f"{each.need.id}: {each.short} of {each.need.count} {plant_of(each)} short" for each in short], PAGE)


def _asks(here: PositionLine, line: NeedLine) -> bool:
    names = [(here.position.species, here.position.cultivar)]
    names += [(u.species, u.cultivar) for u in here.position.understudies]
    return (line.need.species, line.need.cultivar) in names


def _told(text: Text, lines: Sequence[str], width: int = 0) -> Text:
    """Lines beneath what there is, broken to a page's width where one is given; what presses stands out."""
    for told in lines:
        style = "bold not italic" if told.startswith("!") else "not bold not italic"
        indent = "  " if width else ""
        parts = wrap(told, width, subsequent_indent=indent, replace_whitespace=False) if width > 0 else [told]
        for part in parts or [""]:
            text.append(f"\n{part}", style=style)
    return text
