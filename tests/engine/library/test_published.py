"""The library's figures against published ones: days of warm and cold, seasons of cutting, grafting and division,
temperatures of callus. The published figures stand in tests/reference/ with their sources.

Every protocol of a species, or of a genus where the figure is given for the genus, is compared with them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

import pytest

from engine.almanac.several_windows import occurrences_of
from engine.protocols.model import Step
from engine.views.species import find_species, species_pages
from tests.engine.library.built import Built, almanac, built, library, named, of_species
from tests.reference.tables import rows

TREATMENTS = rows("stratification_published")
SEASONS = rows("seasons_published")
CALLUS = rows("grafting_published")
FAR = 10**6

# Outside the span of the figures above, and why that stands. Nine in ten must lie inside.
OUTSIDE = {
    (
        "Allium tricoccum",
        "stratify cold",
    ): "once rooted it waits in the cold until the bed is open; two months are enough",
    ("Amelanchier canadensis", "stratify cold"): "as for A. arborea, 90 to 120, Woody Plant Seed Manual table 5, p.248",
    ("Amelanchier laevis", "stratify cold"): "as for A. arborea, 90 to 120, Woody Plant Seed Manual table 5, p.248",
    ("Amelanchier lamarckii", "stratify cold"): "as for A. arborea, 90 to 120, Woody Plant Seed Manual table 5, p.248",
    ("Malus domestica", "stratify cold"): "the handbook's 60 days for M. pumila gave 65 %; growers give 70 to 80",
    (
        "Arbutus unedo",
        "stratify cold",
    ): "the 40 days are those of A. menziesii; for this one up to 60 is common practice",
}
# A small farm's year in the northern temperate zone; frost dates invented, and plausible for 42° N inland.
TEMPERATE = almanac(42.0, "America/Chicago", -93.0, ((4, 12), (5, 10)), ((9, 25), (10, 20)))


@dataclass(frozen=True, slots=True)
class Compared:
    """A built-in range of days, and the published ones for the same plant and phase."""

    species: str
    title: str
    step: Step
    published: tuple[tuple[int, int], ...]

    @property
    def days(self) -> tuple[int, int]:
        assert self.step.lasts.most is not None
        return self.step.lasts.least, self.step.lasts.most

    @property
    def overlaps(self) -> bool:
        least, most = self.days
        return any(least <= high and low <= most for low, high in self.published)

    @property
    def inside(self) -> bool:
        least, most = self.days
        return min(low for low, _ in self.published) <= least and most <= max(high for _, high in self.published)

    def __str__(self) -> str:
        return f"{self.title}: {self.step.do} {self.step.lasts}, published {sorted(self.published)}"


def published(latin: str, phase: str) -> tuple[tuple[int, int], ...]:
    """Published ranges of days of a phase: the species' own, or where it has none the genus'."""
    for name in (latin, latin.split()[0]):
        found = [
            (int(row[f"{phase}_least"]), int(row[f"{phase}_most"] or FAR))
            for row in TREATMENTS
            if row["species"] == name and row[f"{phase}_least"]
        ]
        if phase == "warm":
            found = [pair for pair in found if pair != (0, 0)]  # "no warm period" is no length of one
        if found:
            return tuple(found)
    return ()


def compared() -> Iterator[Compared]:
    for one in of_species():
        latin = one.draft.species
        for phase in ("warm", "cold"):
            ranges = published(latin, phase)
            for step in one.protocol.steps:
                if ranges and step.do == f"stratify {phase}":
                    yield Compared(latin, one.title, step, ranges)


def test_every_warm_and_cold_period_overlaps_a_published_one() -> None:
    pairs = list(compared())
    assert len(pairs) >= 80
    assert len({pair.species for pair in pairs}) >= 60
    assert [str(pair) for pair in pairs if not pair.overlaps] == []


def test_nine_in_ten_lie_inside_the_published_span_and_the_rest_have_a_reason() -> None:
    pairs = list(compared())
    outside = [pair for pair in pairs if not pair.inside]
    print(f"{len(pairs)} warm and cold periods compared, {len(outside)} reach beyond the published span")
    assert [str(p) for p in outside if (p.species, p.step.do) not in OUTSIDE] == []
    assert {(p.species, p.step.do) for p in outside} == set(OUTSIDE), "a reason that is no longer needed"
    assert len(outside) <= len(pairs) / 10


def test_seed_that_is_published_as_needing_no_cold_is_given_none() -> None:
    """White oaks: Woody Plant Seed Manual, Quercus table 4, p.936."""
    without = {row["species"] for row in TREATMENTS if row["cold_least"] == row["cold_most"] == "0"}
    assert {"Quercus alba", "Quercus robur"} <= without
    for latin in without:
        assert max(most for _, most in published(latin, "cold")) == 0
        assert named(latin), latin
        assert [b.title for b in named(latin) for s in b.protocol.steps if s.do == "stratify cold"] == []


def test_a_warm_period_is_given_only_where_one_is_published_or_customary() -> None:
    """A warm stage before the cold that nobody publishes would waste a season: it must say that it is practice."""
    for one in of_species():
        for step in one.protocol.steps:
            if step.do == "stratify warm" and not published(one.draft.species, "warm"):
                assert step.source["lasts_days"].startswith(("common practice", "from memory")), one.title


def soak_days(latin: str) -> set[tuple[int, int | None]]:
    return {(s.lasts.least, s.lasts.most) for b in named(latin) for s in b.protocol.steps if s.do == "soak"}


def test_soaks_are_as_published() -> None:
    # Woody Plant Seed Manual: Sambucus p.1017 (blue elder, 3 days), Pyrus p.926 (a day), Pinus p.835 (36 to 40 hours;
    # stone pine 24 hours, table 9).
    assert soak_days("Sambucus cerulea") == {(3, 3)}
    assert soak_days("Pyrus pyrifolia") == {(1, 1)}
    assert soak_days("Pinus koraiensis") == {(1, 2)}
    assert soak_days("Pinus pinea") == {(1, 1)}
    # Morus p.730: red mulberry loses by more than 24 hours in water.
    assert all(most is not None and most <= 2 for _, most in soak_days("Morus"))
    # Tilley and Hoag 2009, Native Plants Journal 10(3):288: coyote willow, 14 days; Christensen and Peacock 1999,
    # GV9-99: grape 24 to 48 hours.
    assert (14, 14) in soak_days("Salix exigua")
    assert soak_days("Vitis vinifera") == {(1, 2)}


def open_in(one: Built, do: str) -> set[int]:
    """The months of 2027 in which a step may be done at the temperate site; none where it has no window."""
    step = next((s for s in one.protocol.steps if s.do == do), None)
    if step is None or not step.windows:
        return set()
    marks = one.species.marks if one.species else {}
    spans = occurrences_of(TEMPERATE.for_species(marks) if marks else TEMPERATE, step.windows)
    assert spans is not None
    first, last = date(2027, 1, 1).toordinal(), date(2027, 12, 31).toordinal()
    found = [day for span in spans.between(first, last) for day in range(span.opens, span.closes + 1)]
    return {date.fromordinal(day).month for day in found}


def season(row: dict[str, str]) -> set[int]:
    first, last = int(row["from_month"]), int(row["to_month"])
    return {(m - 1) % 12 + 1 for m in range(first, (last if last >= first else last + 12) + 1)}


def concerned(row: dict[str, str]) -> list[tuple[Built, set[int]]]:
    """The protocols that a row speaks of, each with the months of its window."""
    found = of_species() if row["species"] == "any" else named(row["species"])
    windows = [(one, open_in(one, row["step"])) for one in found if one.draft.method == row["method"]]
    return [(one, months) for one, months in windows if months]


def test_every_published_season_is_that_of_a_protocol() -> None:
    """Where a plant is divided in spring or in autumn there is a protocol for each."""
    missed = [str(row) for row in SEASONS if not any(months & season(row) for _, months in concerned(row))]
    assert missed == []


@pytest.mark.parametrize("grade", ["A", "B"], ids=["published", "common practice"])
def test_every_window_falls_in_a_season_that_is_given_for_it(grade: str) -> None:
    wrong = []
    for row in (r for r in SEASONS if r["grade"] == grade):
        key = (row["species"], row["method"], row["step"])
        alike = [season(r) for r in SEASONS if (r["species"], r["method"], r["step"]) == key]
        found = concerned(row)
        assert found, f"no protocol for {key}"
        for one, months in found:
            if not any(months & given for given in alike):
                wrong.append(f"{one.title}: {row['step']} in months {sorted(months)}, given: {row['says']}")
    assert wrong == []


def test_unions_callus_at_temperatures_that_are_given_for_the_plant() -> None:
    wrong, seen = [], 0
    for row in CALLUS:
        for one in named(row["species"]):
            for step in (s for s in one.protocol.steps if s.do == "callus"):
                assert step.temperature_c is not None, one.title
                seen += 1
                cool, warm = step.temperature_c
                if warm < float(row["least_c"]) or cool > float(row["most_c"]):
                    wrong.append(f"{one.title}: {cool} to {warm}, given {row['least_c']} to {row['most_c']}")
    assert wrong == []
    assert seen >= 12


def test_no_union_is_warmed_to_where_tissue_is_harmed() -> None:
    """Above some 30 °C temperate fruit wood is harmed: common practice."""
    warmed = [(b.title, s.temperature_c) for b in built() for s in b.protocol.steps if s.do == "callus"]
    assert [(title, range_c) for title, range_c in warmed if range_c is None or range_c[1] > 30] == []


def test_buds_are_looked_at_after_two_weeks() -> None:
    """Northern Nut Growers Association 1943, Thirty-Fourth Annual Report: examined, and failures budded again."""
    for one in of_species():
        if one.draft.method in ("chip bud", "T-bud", "patch bud"):
            step = one.protocol.steps[one.protocol.index("check take")]
            assert step.wait is not None, one.title
            assert step.wait.least <= 14 <= (step.wait.most or FAR), one.title
            assert "again" in step.note, one.title


def test_grape_cuttings_are_made_within_five_days_of_pruning() -> None:
    """Christensen and Peacock 1999, Making grape cuttings, GV9-99."""
    [one] = [b for b in named("Vitis vinifera") if b.draft.method == "hardwood cutting"]
    wait = one.protocol.steps[one.protocol.index("prepare")].wait
    assert wait is not None
    assert wait.most == 5


def test_seeds_to_the_kilogram_are_as_published() -> None:
    counted = rows("seed_counts_published")
    wrong = [
        f"{row['species']}: {given}, published {row['least']} to {row['most']} ({row['where']})"
        for row in counted
        if (given := library().species[row["species"]].seeds_per_kg) != (float(row["least"]), float(row["most"]))
    ]
    assert wrong == []
    assert len(counted) > 50


GROWING, DORMANT = set(range(4, 11)), {9, 10, 11, 12, 1, 2, 3, 4}
SEASON_OF_WOOD = {
    ("softwood cutting", "collect"): GROWING,
    ("herbaceous cutting", "collect"): GROWING,
    ("semi-hardwood cutting", "collect"): GROWING | {11, 12},  # holly goes on to the winter
    ("leaf-bud cutting", "collect"): GROWING,
    ("chip bud", "bud"): GROWING,
    ("T-bud", "bud"): GROWING,
    ("patch bud", "bud"): GROWING,
    ("hardwood cutting", "collect"): DORMANT,
    ("evergreen cutting", "collect"): DORMANT,
    ("root cutting", "collect"): DORMANT,
    ("bench graft", "collect scions"): DORMANT,
    ("bench graft", "graft"): DORMANT | {5},
    ("field graft", "collect scions"): DORMANT,
    ("field graft", "graft"): {3, 4, 5, 6},
}
EARLY_ROUTE, RIPE_EARLY = "in late summer, leaves off", {8}
"""Currants ripen their wood in August: Bailey 1891, The Nursery-Book."""


def test_no_window_reaches_into_a_season_when_such_wood_is_not_to_be_had() -> None:
    """Soft shoots in growth, hard wood and roots at rest: common practice, by the months of the temperate site."""
    wrong, seen = [], set()
    for one in of_species():
        for (method, do), allowed in SEASON_OF_WOOD.items():
            if one.draft.method == method and (months := open_in(one, do)):
                seen.add((method, do))
                if outside := months - allowed - (RIPE_EARLY if one.draft.route == EARLY_ROUTE else set()):
                    wrong.append(f"{one.title}: {do} in months {sorted(outside)}")
    assert wrong == []
    assert seen == set(SEASON_OF_WOOD)


def test_the_page_of_a_species_counts_what_of_it_is_published() -> None:
    [page] = species_pages(find_species("Shepherdia argentea"), None, date(2027, 1, 10))
    texts = [*page.species.source.values()]
    texts += [text for one in named("Shepherdia argentea") for s in one.protocol.steps for text in s.source.values()]
    cited = [text for text in texts if not text.startswith(("common practice", "from memory"))]
    assert page.figures == (len(texts), len(cited))
    assert 0 < len(cited) < len(texts)
