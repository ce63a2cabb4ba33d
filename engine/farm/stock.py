"""Read what a farm file says of its stock: what was there at the start, what is needed, and the plants cut from."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from engine.protocols.forms import CUTTINGS, MATERIALS
from engine.protocols.grades import NO_CULLS, form_slip, grade_slip, saleable
from engine.reading.frozen import dataclass
from engine.reading.limits import FIRST_PLANTED, LAST_PLANTED, MOST_HELD, MOST_PLANTS
from engine.reading.table import Table

SURENESSES = (0.8, 0.9, 0.95)


@dataclass(frozen=True, slots=True)
class Opening:
    """So many of something that were there when the journal began."""

    lot: str
    species: str
    cultivar: str
    form: str
    grade: str
    place: str
    count: int
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Need:
    """So many of what, by when, how surely (0 to 1), for whom."""

    id: str
    species: str
    cultivar: str
    form: str
    count: int
    by: date | None
    sure: float = 0.9
    who: str = ""
    grade: str = ""
    """What it must be sorted as; nothing: any grade that is sold."""

    @property
    def kind(self) -> str:
        """Its form and grade, `bare root first`; nothing where it names neither."""
        return f"{self.form} {self.grade}".strip()


@dataclass(frozen=True, slots=True)
class StockPlant:
    """Plants kept to cut from, with what one of them yields a year, by its age in years (the latest age holds on)."""

    id: str
    species: str
    cultivar: str
    place: str
    count: int
    planted: int | None
    yields: tuple[tuple[int, float], ...]
    material: str = "cuttings"

    def gives(self, year: int) -> float:
        """What all of them give in a year."""
        age = 10**6 if self.planted is None else year - self.planted
        held = [each for since, each in self.yields if since <= age]
        return self.count * held[-1] if held else 0.0


def read_opening(table: Table, lot: str) -> Opening | None:
    """One [[stock]] table; `lot` is its name, where it gives itself none the one that it is given."""
    species, form = table.text("species", required=True), table.text("form", required=True)
    place, count = table.text("place", required=True), table.whole("count", 1, MOST_HELD, required=True)
    opening = Opening(
        lot=table.text("lot") or lot,
        species=species or "",
        cultivar=table.text("cultivar") or "",
        form=form or "",
        grade=table.text("grade") or "",
        place=place or "",
        count=count or 0,
        unit=table.choice("unit", ("pieces", "g", "seeds", "sticks", "buds")) or "",
    )
    table.finish()
    return opening if species and form and place and count else None


def read_need(table: Table, name: str) -> Need | None:
    """One [[need]] table: an order, or what a planting asks for; `name` is its id, its own or the one it is given."""
    species, count = table.text("species", required=True), table.whole("count", 1, MOST_HELD, required=True)
    need = Need(
        id=table.text("id") or name,
        species=species or "",
        cultivar=table.text("cultivar") or "",
        form=table.text("form") or "",
        count=count or 0,
        by=table.day("by"),
        sure=table.number("sure", 0.01, 0.9999) or 0.9,
        who=table.text("who") or "",
        grade=table.text("grade") or "",
    )
    table.finish()
    return need if species and count else None


def check_kinds(needs: Iterable[tuple[Need, Table]], openings: Iterable[Opening], forms: Iterable[str]) -> None:
    """Tell what needs ask for that nobody has: a form or a grade one letter off one that is known, and culls."""
    held = tuple(openings)
    known = (*(one.form for one in held), *forms)
    grades = dict.fromkeys(one.grade for one in held if one.grade)
    for need, table in needs:
        if need.form and (near := form_slip(need.form, known)):
            table.fault("form", f'form "{need.form}" is not known', f'did you mean "{near}"?')
        if need.grade and not saleable(need.grade):
            table.fault("grade", *NO_CULLS)
        elif need.grade and (near := grade_slip(need.grade, grades)):
            table.fault("grade", f'grade "{need.grade}" is not known', f'did you mean "{near}"?')


def read_stock_plant(table: Table) -> StockPlant | None:
    """One [[stock_plant]] table; `yields` is a number a year, or a table of numbers by age in years."""
    species, count = table.text("species", required=True), table.whole("count", 1, MOST_PLANTS, required=True)
    name = table.text("id", required=True)
    plant = StockPlant(
        id=name or "",
        species=species or "",
        cultivar=table.text("cultivar") or "",
        place=table.text("place") or "stock beds",
        count=count or 0,
        planted=table.whole("planted", FIRST_PLANTED, LAST_PLANTED),
        yields=_yields(table),
        material=table.choice("material", MATERIALS) or CUTTINGS,
    )
    table.finish()
    return plant if species and count and name else None


def _yields(table: Table) -> tuple[tuple[int, float], ...]:
    if not isinstance(table.raw("yields"), dict):
        each = table.number("yields", 0, MOST_PLANTS)
        return () if each is None else ((0, each),)
    by_age = table.table("yields")
    assert by_age is not None
    found: dict[int, float] = {}
    for age in by_age.values:
        each = by_age.number(age, 0, MOST_PLANTS)
        if not re.fullmatch("[0-9]{1,3}", age):
            by_age.fault(age, f'"{age}" is not an age in years', 'write yields = {"1" = 5, "3" = 20}')
        elif each is not None:
            found[int(age)] = each
    return tuple(sorted(found.items()))
