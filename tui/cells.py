"""What stands in a cell: a day, a span, a count, hours, and a text fitted to a width; each in one form everywhere."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from engine.almanac.almanac import say_day, say_days

if TYPE_CHECKING:
    from engine.protocols.model import Days

FAR = 300
"""Days from which on a day is told with its year."""
NOTHING = "-"
"""In the place of what there is none of."""


# -- days


def day(value: date, year: bool = False) -> str:
    """`8 May`, or `8 May 27`."""
    return say_day(value.toordinal(), year)


def dated(value: date) -> str:
    """`8 May 2027`: the day for which a screen or a sheet stands, at its head."""
    return f"{day(value)} {value.year}"


def far(when: date, today: date) -> bool:
    """Whether a day is so far from today that its year must be told."""
    return abs((when - today).days) > FAR


def near_day(when: date, today: date) -> str:
    """`8 May`; with its year where that is far off."""
    return day(when, far(when, today))


def near_cell(when: date | None, today: date) -> str:
    """`2 Mar`, and `Mar 2028` for what is far off: eight cells at the most."""
    if when is None:
        return NOTHING
    return f"{when:%b %Y}" if far(when, today) else day(when)


def date_cell(when: date | None) -> str:
    """`2 Mar 27`: nine cells at the most."""
    return NOTHING if when is None else day(when, True)


def journal_day(when: date) -> str:
    """A day of the journal; what was there when it began has none."""
    return "" if when == date.min else day(when, True)


def iso(when: date | None) -> str | None:
    """For scripts: ISO 8601, None where nothing bounds it."""
    return None if when is None else when.isoformat()


# -- spans and counts


def weeks_or_days(days: int) -> str:
    """How long, from 0 days on: `1 day`, `20 days`, and from three weeks on `3 weeks`."""
    return say_days(days) if days < 21 else f"{days // 7} weeks"


def away_cell(when: date | None, today: date) -> str:
    """`in 9 weeks`, `today`, `4 days ago`."""
    if when is None:
        return ""
    days = (when - today).days
    if days == 0:
        return "today"
    return f"in {weeks_or_days(days)}" if days > 0 else f"{weeks_or_days(-days)} ago"


def range_cell(days: Days) -> str:
    """`90-120`, `30`, `60+` days."""
    if days.most is None:
        return f"{days.least}+"
    return f"{days.least}" if days.most == days.least else f"{days.least}-{days.most}"


def counted(count: int, what: str) -> str:
    """`1 lot`, `4 lots`."""
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def hours_cell(hours: float | None) -> str:
    """`3 h 50`; `-` where they are not known."""
    if hours is None:
        return "-"
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02}"


def hours_said(hours: float) -> str:
    """`3 h 50`; `20 h` where no minutes are over."""
    return hours_cell(hours).removesuffix(" 00")


# -- widths


def fit(text: str, width: int) -> str:
    """The text in exactly so many cells of the terminal, wide characters counted as it draws them."""
    if text.isascii() and text.isprintable():
        return f"{text:<{width}}" if len(text) <= width else text[: max(0, width - 1)] + "…"
    from rich.cells import cell_len, set_cell_size  # a plain command has seldom need of it

    text = "".join(c if c.isprintable() else " " for c in text)
    if (cells := cell_len(text)) <= width:
        return text + " " * (width - cells)
    return set_cell_size(text, max(0, width - 1)) + "…"


def in_words(text: str, width: int) -> str:
    """The text in exactly so many cells; where it is too long its last words are left out, none of them cut."""
    if len(text) > width and " " in text[: width - 1].strip():
        text = f"{text[: width - 1].rsplit(' ', 1)[0].rstrip(',;:')} …"
    return fit(text, width)


def listed(names: Sequence[str], width: int) -> str:
    """So many of the names as fit whole, and how many more there are: `hawthorn, hazel and 3 more`."""
    for shown in range(len(names), 0, -1):
        more = f" and {len(names) - shown} more" if shown < len(names) else ""
        if len(told := ", ".join(names[:shown]) + more) <= width:
            return told
    return counted(len(names), "name") if len(names) != 1 else clipped(names[0], width)


def clipped(text: str, width: int) -> str:
    """The text in no more than so many letters, for paper."""
    return text if len(text) <= width else f"{text[: max(0, width - 1)]}…"


def ends(left: str, right: str, width: int) -> str:
    """Two texts at the ends of a line; the left one gives way."""
    left = clipped(left, width - len(right) - 2)
    return f"{left}{' ' * (width - len(left) - len(right))}{right}"
