"""The farms that the tests of the command and the screens open: a tiny one whose dates are plain, and odd ones."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from engine.journal.entry import Entry, to_line
from engine.journal.store import journal_folder
from tui.farmhouse import Farmhouse, enter

TODAY = date(2027, 1, 18)
"""A Monday on which the tiny farm has something in every state that the keys act on."""

SITE = """
[site]
latitude = 52.3
longitude = -2.9
timezone = "Europe/London"
"""
FROST = """
last_frost = {"90%" = "04-18", "50%" = "05-04", "10%" = "05-20"}
first_frost = {"10%" = "09-27", "50%" = "10-12", "90%" = "10-28"}
"""
PLACES = """
[[place]]
name = "potting shed"
under_cover = true
[[place]]
name = "cold store"
under_cover = true
[[place]]
name = "seed beds"
[[place]]
name = "stock beds"
"""
STANDING = """
[[standing]]
do = "sweep the floor"
place = "potting shed"
every_days = 7
minutes = 30
"""
RIPENSIS = """
[[species]]
latin = "Fictus ripensis"
common = ["bankside fig"]
[[protocol]]
species = "Fictus ripensis"
method = "seed"
[[protocol.step]]
do = "soak"
place = "potting shed"
opens = ["1 Dec"]
closes = ["20 Mar"]
per_hour = 100
cautions = ["Stains the hands: wear gloves."]
[[protocol.step]]
do = "stratify cold"
place = "cold store"
opens = ["1 Dec"]
closes = ["20 Mar"]
lasts_days = [30, 90]
[[protocol.step]]
do = "sow"
place = "seed beds"
opens = ["1 Apr"]
closes = ["30 Apr"]
survive = 0.5
"""
MONTANA = """
[[species]]
latin = "Fictus montana"
common = ["scree fig"]
[[protocol]]
species = "Fictus montana"
method = "seed"
[[protocol.step]]
do = "collect"
place = "stock beds"
opens = ["1 Nov"]
closes = ["30 Nov"]
[[protocol.step]]
do = "sow"
place = "seed beds"
opens = ["1 Apr"]
closes = ["30 Apr"]
wait_days = 30
"""


def batch(
    lot: str, species: str = "Fictus ripensis", count: int = 100, start: str = "2026-12-01", more: str = ""
) -> str:
    """A [[batch]] of seed."""
    head = f'[[batch]]\nid = "{lot}"\nspecies = "{species}"\nmethod = "seed"\n'
    return f"\n{head}count = {count}\nstart = {start}\n{more}\n"


TINY = "\n".join(
    (
        '[farm]\nname = "Hollow Lane"\nhours_per_week = 10\n',
        SITE + FROST + PLACES + STANDING,
        batch("Z1"),
        batch("Z2", count=80),
        batch("Z3", count=60, more='cultivar = "Pale"'),
        batch("M1", "Fictus montana", 40, "2026-10-01"),
        RIPENSIS + MONTANA,
    )
)
"""Z1 is to be soaked by 20 March; Z2 and Z3 lie in the cold, a look due; M1's collecting was missed in November."""


def write_tiny(folder: Path, text: str = TINY, history: bool = True) -> Path:
    """Write the tiny farm and, from another device, its history; returns the farm file."""
    path = folder / "hollow.toml"
    path.write_text(text, encoding="utf-8")
    if history:
        for lot, count in (("Z2", 80), ("Z3", 60)):
            for step in ("soak", "stratify cold"):
                tell(path, "done", date(2027, 1, 4), batch=lot, step=step, count=count)
    return path


def tell(path: Path, kind: str, on: date, device: str = "lamp", **data: Any) -> None:
    """Write an entry as another device of the farm would have."""
    file = journal_folder(path) / f"{device}.jsonl"
    file.parent.mkdir(exist_ok=True)
    with file.open("ab") as lines:
        number = lines.tell()
        lines.write(to_line(Entry(f"{device}-{number:06}", f"{on}T17:00:00.{number:06}+00:00", on, kind, data)))


def open_house(path: Path) -> Farmhouse:
    """The farm that the path names, which must be one that can be worked with."""
    house = enter(path)
    assert isinstance(house, Farmhouse), house.problems
    return house
