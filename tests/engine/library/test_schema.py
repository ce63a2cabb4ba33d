"""Every file of the library follows one schema: known keys, known marks, a source for every figure, names that are
unique, places that exist, and limits to whatever goes on in the cold or the warm."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
import tomli

from engine.almanac.marks import DEFAULTS, read_definition, unknown_marks
from engine.protocols.library import FOLDER, read_library, read_sources
from engine.protocols.model import Days, Step
from engine.protocols.names import plain
from engine.protocols.room import read_room
from engine.reading.frozen import replace
from engine.views.tonight import HAZARDS, bears
from tests.engine.library.built import PLACES, built, library

UNPUBLISHED = ("common practice", "from memory")
STEP_FIGURES = (
    "opens",
    "closes",
    "windows",
    "best_until",
    "wait_days",
    "lasts_days",
    "best_days",
    "survive",
    "batches_run",
    "batches_within",
    "per_hour",
    "temperature_c",
    "room",
)
SPECIES_FIGURES = (
    "bearing_years",
    "spread_m",
    "spacing_m",
    "seeds_per_kg",
    "seed_keeps_days",
    "hardy_c",
    "height_m",
    "grown_years",
    "bloom_days",
    "bloom_bears_c",
)
SOURCES = read_sources()


def figures(step: Step) -> Iterator[str]:
    """The figures that a step gives, by the key of its source."""
    given = {
        "opens": len(step.windows) == 1 and step.windows[0].opens,
        "closes": len(step.windows) == 1 and step.windows[0].closes,
        "windows": len(step.windows) > 1,
        "best_until": step.best_until,
        "wait_days": step.wait is not None or any(a.wait for a in step.after or ()),
        "lasts_days": step.endures,
        "best_days": step.best,
        "survive": step.survive is not None,
        "batches_run": step.batches_run is not None,
        "batches_within": step.survive is not None and step.batches_run is None,
        "per_hour": step.per_hour is not None,
        "temperature_c": step.temperature_c is not None,
        "room": step.room,
    }
    assert tuple(given) == STEP_FIGURES
    yield from (key for key, value in given.items() if value)


def cited() -> Iterator[tuple[str, str, str]]:
    """Every source that is named: where, for which key, and its text."""
    for one in built():
        for where, step in one.steps():
            yield from ((where, key, text) for key, text in step.source.items())
    for species in library().species.values():
        yield from ((species.latin, key, text) for key, text in species.source.items())
    for kind in HAZARDS:
        yield from ((f"{kind}, {stage}", "bears_c", told["source"]) for stage, told in bears(kind).items())


def test_the_files_are_read_without_a_problem_and_fit_together() -> None:
    assert library().problems == ()
    faults = [(b.title, fault) for b in built() for fault in b.draft.table.findings.found]
    assert faults == []
    unknown = [b.title for b in built() if b.draft.species and b.species is None]
    without_method = [b.title for b in built() if b.draft.method not in library().methods]
    assert (unknown, without_method) == ([], [])


@pytest.mark.parametrize(
    "where",
    ["[[species]]\nlatin", "[[protocol]]\nspecies", "[[protocol.step]]\ndo"],
    ids=["species", "protocol", "step"],
)
def test_a_key_that_the_schema_does_not_know_is_refused(tmp_path: Path, where: str) -> None:
    text = (FOLDER / "species" / "corylus.toml").read_text(encoding="utf-8")
    head, key = where.split("\n")
    spoilt = re.sub(rf"(?m)^{re.escape(head)}\n{key}", f"{head}\nheigth_m = 3\n{key}", text, count=1)
    assert spoilt != text
    for name, body in (("methods", ""), ("species", spoilt)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "one.toml").write_text(body, encoding="utf-8")
    [problem] = read_library(folder=tmp_path).problems
    assert '"heigth_m" is not a key of this table' in problem.message


def test_every_phrase_names_marks_that_are_known() -> None:
    wrong = []
    for one in built():
        known = {**DEFAULTS, **(one.species.marks if one.species else {})}
        for where, step in one.steps():
            for phrase in (*step.phrases, *step.best_until):
                if (fault := unknown_marks(phrase, known)) is not None:
                    wrong.append(f"{where}: {fault}")
    for species in library().species.values():
        for definition in species.marks.values():
            faults = [unknown_marks(phrase, {**DEFAULTS, **species.marks}) for phrase in definition.phrases]
            wrong += [f"{species.latin}: {fault}" for fault in faults if fault is not None]
    assert wrong == []
    assert unknown_marks(read_definition("bud swel + 1 week").phrases[0], DEFAULTS) is not None


def test_every_figure_has_a_source() -> None:
    bare = [
        f"{where}: {key}"
        for one in built()
        for where, step in one.steps()
        for key in figures(step)
        if key not in step.source
    ]
    for species in library().species.values():
        bare += [f"{species.latin}: {k}" for k in SPECIES_FIGURES if getattr(species, k) and k not in species.source]
    assert bare == []


def test_every_source_is_in_the_bibliography_or_says_that_it_is_unpublished() -> None:
    unknown = [
        f"{where}: {key} = {text}"
        for where, key, text in cited()
        if not text.startswith(UNPUBLISHED) and (not text.strip() or text.split()[0].rstrip(":,;") not in SOURCES)
    ]
    assert unknown == []
    odd_keys = {key for _, key, _ in cited()} - {*STEP_FIGURES, *SPECIES_FIGURES, "note", "bears_c"}
    assert odd_keys == set()


def test_a_published_source_says_where_in_it_the_figure_stands() -> None:
    """The handbook is cited by page, table or chapter (one to a genus), the nursery book by page.

    A leaflet of a page or two is cited by its key alone.
    """
    vague = [
        f"{where}: {key} = {text}"
        for where, key, text in cited()
        if (text.startswith("ah727") and not re.search(r"\bp\.\d+|\btable \d|^ah727 [A-Z][a-z]+", text))
        or (text.startswith("bailey-nursery") and not re.search(r"\bpp?\.\d+", text))
    ]
    assert vague == []


def test_the_bibliography_is_whole_and_every_entry_is_used() -> None:
    used = {word.rstrip(":,;") for _, _, text in cited() for word in text.split()}
    assert sorted(set(SOURCES) - used) == []
    for key, entry in SOURCES.items():
        assert set(entry) <= {"author", "year", "title", "publisher"}, key
        assert entry.get("author", "").strip(), f"{key} has neither author nor issuing body"
        assert entry.get("title", "").strip(), f"{key} has no title"
        year = entry.get("year")
        assert year == "n.d." or (isinstance(year, int) and 1850 <= year <= 2026), f"{key}: year {year}"


def test_names_are_unique_and_no_species_lacks_a_common_one() -> None:
    species = library().species.values()
    files = [tomli.loads(p.read_text(encoding="utf-8")) for p in (FOLDER / "species").glob("*.toml")]
    latins = Counter(s["latin"] for file in files for s in file.get("species", []))
    names = Counter(plain(name) for s in species for name in (s.latin, *s.common))
    assert [name for name, count in (latins + names).items() if latins[name] > 1 or names[name] > 1] == []
    assert [s.latin for s in species if not s.common] == []
    routes = Counter((b.draft.species, b.draft.method, b.draft.route) for b in built())
    assert [route for route, count in routes.items() if count > 1] == []


def test_every_species_can_be_propagated() -> None:
    with_protocol = {b.draft.species for b in built()}
    assert [latin for latin in library().species if latin not in with_protocol] == []


def test_a_route_that_goes_on_from_another_has_its_steps_and_then_its_own() -> None:
    """Transplants (1+1) are the seedlings of another route, lined out for a year."""
    further = [one for one in built() if one.draft.extends]
    assert len(further) >= 12
    for one in further:
        [first] = [b for b in built() if b.draft.species == one.draft.species and b.draft.route == one.draft.extends]
        names = [step.do for step in one.protocol.steps]
        assert names[: len(first.protocol.steps)] == [step.do for step in first.protocol.steps], one.title
        assert names[-3:] == ["line out", "lift transplants", "grade transplants"], one.title
        # a batch that names no route is planned by the first
        assert not library().of(one.draft.species, one.draft.method)[0].extends, one.title
    lost = replace(further[0].draft, extends="no such way")
    with pytest.raises(LookupError, match="no such way"):
        library().protocol(lost)


def test_tubers_and_bulbs_are_not_called_bare_root() -> None:
    ends = {(one.draft.method, one.protocol.steps[-1].form) for one in built()}
    wanted = {"tuber": {"tuber"}, "bulbil": {"bulb"}, "scaling": {"bulb"}, "offset": {"bulb", "tuber"}}
    assert {m: {form for method, form in ends if method == m} for m in wanted} == wanted


def test_every_place_is_one_of_the_settled_words() -> None:
    places = Counter(step.place for one in built() for _, step in one.steps())
    assert sorted(set(places) - PLACES) == []
    assert sorted(PLACES - set(places)) == []


def test_a_share_that_survives_says_how_far_batches_run_apart() -> None:
    """Sorting and lifting within some 8 points, germination and rooting within some 20: common practice."""
    losing = [(w, s) for one in built() for w, s in one.steps() if s.survive is not None]
    assert [w for w, s in losing if not 0 < s.survive <= 1] == []
    assert [w for w, s in losing if s.batches_run is None and s.batches_within not in (0.08, 0.2)] == []
    sorting = {"clean", "grade", "lift", "lift liners", "pot up", "line out", "prick out"}
    assert [w for w, s in losing if s.do in sorting and s.batches_run is None and s.batches_within != 0.08] == []


def test_what_goes_on_in_the_cold_or_the_warm_has_a_least_and_a_most() -> None:
    """Seed and grafts, not plants that stand over winter."""
    lasting = [(w, s) for one in built() for w, s in one.steps() if s.endures]
    held = [(w, s) for w, s in lasting if s.place in ("cold store", "warm shelf") or s.do.startswith("stratify")]
    assert len(held) > 200
    assert [where for where, step in held if step.lasts.most is None] == []
    assert [w for one in built() for w, s in one.steps() if s.do.startswith("stratify") and s.lasts == Days(0, 0)] == []


def test_every_room_can_be_read_and_its_unit_is_one_that_stands_in_such_a_place() -> None:
    """A grower gives a place its room in one unit or two; steps that count otherwise there would escape the count."""
    found = Counter((step.place, read_room(step.room).unit) for one in built() for _, step in one.steps() if step.room)
    units = {
        "cold store": {"litre"},
        "warm shelf": {"litre", "box"},
        "propagation bench": {"tray", "pot"},
        "mist bench": {"tray"},
        "cold frame": {"tray", "pot", "litre"},
        "standing ground": {"pot"},
        "seed beds": {"square metre", "metre of row"},
        "nursery beds": {"metre of row"},
    }
    assert sorted((place, unit) for place, unit in found if unit not in units.get(place, ())) == []
    assert len(found) == sum(map(len, units.values()))


def test_what_is_stuck_lined_out_or_sown_says_what_room_it_takes() -> None:
    bare = [w for one in built() for w, s in one.steps() if s.do in ("stick", "line out", "sow") and not s.room]
    assert bare == []


def test_every_step_says_what_to_do() -> None:
    assert [where for one in built() for where, step in one.steps() if not step.note] == []


def test_what_is_meant_of_a_treatment_is_told_where_its_least_and_most_lie_far_apart() -> None:
    """A range of days published for seed in the cold or the warm begins with its least: enough, and seldom best."""
    steps = [(title, step) for one in built() for title, step in one.steps() if step.do.startswith("stratify")]
    ranged = [(t, s) for t, s in steps if s.lasts.most is not None and s.lasts.most - s.lasts.least > 15]
    assert len(ranged) > 90
    assert [title for title, step in ranged if step.best is None and not title.startswith(TWO_SHARE)] == []
    for title, step in ranged:
        if step.best is not None:
            assert step.best.most is not None, title
            assert step.lasts.least <= step.best.least <= step.best.most <= (step.lasts.most or 0), title


TWO_SHARE = ("Actinidia deliciosa",)
"""Of kiwi seed the published two to six weeks are each as good."""
