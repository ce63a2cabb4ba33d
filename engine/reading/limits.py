"""The limits of what a grower may give, in the farm file, the journal, the command and the forms alike.

Beyond them a digit has slipped. Each is told with its range by whoever refuses it.
"""

from __future__ import annotations

from datetime import date

FIRST_YEAR, LAST_YEAR = 1900, 2200
"""Of any date."""
FIRST_PLANTED, LAST_PLANTED = 1800, 2200
"""Of the year in which a stock plant was planted."""
FIRST_SHOWN, LAST_SHOWN = 1990, 2100
"""Of the weeks and years that are turned to."""
LONGEST_DAYS = 3660
"""Days that a step may last or wait."""
LONGEST_OFFSET = 366
"""Days by which a phrase may lie off its mark: phrases recur, so that a longer one says nothing more."""
LONGEST_WINDOW, WIDEST_OPENING = 300, 150
"""Days of a window with both kinds of phrase, and between its opening phrases: beyond, it closes before it opens."""
LONGEST_CHAIN = 20
"""So many marks may rest on one another in a row."""
LONGEST_TRAVEL = 60
"""Days that plants may be under way to a customer."""
LONGEST_OUTAGE = 366
"""Days that a place may have stood too warm, or frozen."""
SELDOMEST = 366
"""Days from one look, or one turn of standing work, to the next."""
LONGEST_AHEAD = 366
"""Days ahead of the clock from which a day that is given is more likely a slip than a plan: it is told."""

MOST_IN_BATCH = 10_000_000
MOST_HELD = 100_000_000
"""Of one lot in stock, and of one need: seed may be counted in grams."""
MOST_PLANTS = 1_000_000
"""Of stock plants in one line, of what one of them gives, of one position of a planting."""
MOST_ASKED = 100_000
"""So many of a plant may be asked about at the command."""
MOST_ROOM = 1_000_000.0
"""Of any unit of room."""
FARTHEST_M = 10_000
"""Metres of a plant from the corner of its planting."""
MOST_ROW = 100_000
"""Metres of a lot in a row."""
MOST_PRICE = 1_000_000.0
MOST_HOURS = 168
"""Hours of a week."""
MOST_MINUTES = 6000
"""Minutes that standing work takes."""
MOST_AN_HOUR = 100_000
"""Of anything that is done, in an hour."""
LONGEST_TEXT = 2000
"""Characters of any text: a name, a note, a word of a call."""
LONGEST_PHRASE = 200
"""Characters of a date in words: no date is said at such length, and every reader of one has a limit to its work."""
MOST_LABELS = 10_000
"""In one printing."""
LARGEST_FILE = 20_000_000
"""Bytes of a farm file: it holds what a grower writes by hand, and a table of some thousand lots."""
LARGEST = 1e15
"""No figure that a grower gives comes near it, and up to it every whole number is exact."""


def outside(day: date, said: str = "") -> str:
    """What is wrong with a day that lies outside the years that can be meant, as it was `said`; else nothing."""
    fits = FIRST_YEAR <= day.year <= LAST_YEAR
    return "" if fits else f"{said or day} lies outside the years {FIRST_YEAR} to {LAST_YEAR}"
