"""Published freeze-probability tables (32 F, 0 C). Months and days as printed."""

# National Weather Service, Wilmington NC, "Freeze climatology: Southport, North Carolina"
# (weather.gov/ilm/freezeSouthport).
# Percent of years in which the last spring freeze came on or before the date; the first autumn freeze likewise.
SOUTHPORT_LAST_BY_DATE = """
Feb 15 0.1; Feb 20 0.4; Feb 25 1.2; Mar 1 2.5; Mar 5 5.0; Mar 10 10.4; Mar 15 19.3; Mar 20 31.6; Mar 25 46.5;
Mar 30 61.8; Apr 5 77.9; Apr 10 87.6; Apr 15 93.9; Apr 20 97.4; Apr 25 99.0; Apr 30 99.7; May 5 99.9
"""
SOUTHPORT_LAST_BY_CHANCE = """
Feb 24 1; Mar 5 5; Mar 9 10; Mar 17 25; Mar 26 50; Apr 3 75; Apr 11 90; Apr 16 95; Apr 25 99
"""
SOUTHPORT_FIRST_BY_DATE = """
Oct 1 0.4; Oct 5 0.8; Oct 10 1.9; Oct 15 4.1; Oct 20 8.0; Oct 25 14.3; Nov 1 27.5; Nov 5 37.1; Nov 10 50.3;
Nov 15 63.4; Nov 20 75.1; Nov 25 84.4; Nov 30 91.1; Dec 5 95.4; Dec 10 97.8; Dec 15 99.1
"""
SOUTHPORT_FIRST_BY_CHANCE = """
Oct 6 1; Oct 16 5; Oct 21 10; Oct 30 25; Nov 9 50; Nov 19 75; Nov 29 90; Dec 4 95; Dec 14 99
"""

# Illinois State Water Survey, by USDA National Agricultural Statistics Service, Illinois Weather and Crops 1997 no. 17
# (nass.usda.gov/il/1997/9717.htm). Last freeze after, and first freeze before, the date in so many percent of years.
ILLINOIS_CHANCES = (75, 50, 25, 10, 5)
ILLINOIS_LAST = {
    "northwest": "Apr 21; Apr 30; May 9; May 17; May 22",
    "northeast": "Apr 19; Apr 28; May 7; May 15; May 20",
    "west": "Apr 13; Apr 22; May 1; May 9; May 14",
    "central and east": "Apr 16; Apr 25; May 4; May 12; May 17",
    "west southwest": "Apr 10; Apr 19; Apr 28; May 6; May 11",
    "east southeast": "Apr 11; Apr 20; Apr 29; May 7; May 12",
    "southwest": "Apr 2; Apr 11; Apr 20; Apr 28; May 3",
    "southeast": "Apr 3; Apr 12; Apr 21; Apr 29; May 4",
}
ILLINOIS_FIRST = {
    "northwest": "Oct 17; Oct 8; Sep 29; Sep 22; Sep 17",
    "northeast": "Oct 18; Oct 9; Sep 30; Sep 23; Sep 18",
    "west and east": "Oct 25; Oct 16; Oct 7; Sep 30; Sep 25",
    "central": "Oct 26; Oct 17; Oct 8; Oct 1; Sep 26",
    "west southwest and east southeast": "Oct 28; Oct 19; Oct 10; Oct 3; Sep 28",
    "southwest": "Nov 3; Oct 25; Oct 16; Oct 9; Oct 4",
    "southeast": "Nov 4; Oct 26; Oct 17; Oct 10; Oct 5",
}

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def month_days(text: str) -> list[tuple[int, int, float | None]]:
    """`Feb 15 0.1; ...` as (month, day, the figure after it or None)."""
    found = []
    for part in text.split(";"):
        month, day, *figure = part.split()
        found.append((_MONTHS.index(month) + 1, int(day), float(figure[0]) if figure else None))
    return found
