"""A farm's own protocols: over the library's step by step, whole, or for what the library does not know."""

from pathlib import Path

import pytest

from engine.farm.model import Farm
from engine.farm.protocols import FIGURES
from engine.farm.reading import Reading, read_farm
from engine.protocols.library import read_library
from engine.protocols.model import Days, Protocol, Step

HEAD = """\
[site]
latitude = 45.0
longitude = -93.0
timezone = "America/Chicago"
[site.last_frost]
"90%" = "04-24"
"10%" = "05-22"
[site.first_frost]
"50%" = "3 Oct"
"""
BATCH = """
[[batch]]
id = "b"
species = "{species}"
method = "{method}"
count = 100
start = 2026-11-01
"""


def read(folder: Path, own: str, species: str = "Sambucus canadensis", method: str = "hardwood cutting") -> Reading:
    path = folder / "farm.toml"
    path.write_text(HEAD + BATCH.format(species=species, method=method) + own, encoding="utf-8")
    return read_farm(path)


def good(reading: Reading) -> tuple[Farm, Protocol]:
    assert reading.problems == ()
    assert reading.farm is not None
    [batch] = reading.farm.batches
    return reading.farm, batch.protocol


def library_protocol() -> Protocol:
    library = read_library({"Sambucus canadensis": ["hardwood cutting"]}, FIGURES)
    [draft] = library.of("Sambucus canadensis", "hardwood cutting")
    return library.protocol(draft)


OWN = '\n[[protocol]]\nspecies = "Sambucus canadensis"\nmethod = "hardwood cutting"\n'


def test_without_a_protocol_of_its_own_a_farm_follows_the_library(tmp_path):
    farm, protocol = good(read(tmp_path, ""))
    assert protocol.steps == library_protocol().steps
    assert farm.refinements == ()


def test_one_step_overridden_changes_what_it_names_and_nothing_else(tmp_path):
    own = OWN + '[[protocol.step]]\ndo = "stick"\nsurvive = 0.55\nopens = ["15 Apr"]\nplace = "sand bed"\n'
    farm, protocol = good(read(tmp_path, own))
    plain = library_protocol()
    k = plain.index("stick")
    assert [step.do for step in protocol.steps] == [step.do for step in plain.steps]
    assert [a for j, a in enumerate(protocol.steps) if j != k] == [b for j, b in enumerate(plain.steps) if j != k]
    assert (protocol.steps[k].survive, protocol.steps[k].place) == (0.55, "sand bed")
    [window], [beneath] = protocol.steps[k].windows, plain.steps[k].windows
    assert [p.text for p in window.opens] == ["15 Apr"]
    assert window.closes == beneath.closes
    assert protocol.steps[k].per_hour == plain.steps[k].per_hour
    assert farm.refinements == ("Sambucus canadensis, hardwood cutting: changes stick: opens, place, survive",)
    assert protocol.origin == "farm"


def test_a_step_of_its_own_may_stand_before_one_of_the_librarys(tmp_path):
    own = OWN + '[[protocol.step]]\ndo = "wax"\nbefore = "store"\nplace = "potting shed"\n'
    _, protocol = good(read(tmp_path, own))
    names = [step.do for step in protocol.steps]
    assert names.index("wax") + 1 == names.index("store")
    assert len(names) == len(library_protocol().steps) + 1


def test_omit_leaves_a_step_out(tmp_path):
    farm, protocol = good(read(tmp_path, OWN + 'omit = ["store"]\n'))
    assert [s.do for s in protocol.steps] == [s.do for s in library_protocol().steps if s.do != "store"]
    assert "without store" in farm.refinements[0]


def test_to_omit_what_is_not_there_is_told(tmp_path):
    reading = read(tmp_path, OWN + 'omit = ["stor"]\n')
    [problem] = reading.problems
    assert reading.text.splitlines()[problem.line - 1] == 'omit = ["stor"]'
    assert problem.hint == 'did you mean "store"?'


def test_a_protocol_with_steps_of_other_names_stands_whole(tmp_path):
    own = (
        OWN + '[[protocol.step]]\ndo = "strike"\nopens = ["1 Apr"]\ncloses = ["1 May"]\n[[protocol.step]]\ndo = "dig"\n'
    )
    farm, protocol = good(read(tmp_path, own))
    assert [step.do for step in protocol.steps] == ["strike", "dig"]
    assert farm.refinements == ()


@pytest.mark.parametrize("whole", [True, False])
def test_whole_says_whether_a_protocol_stands_alone_or_refines(tmp_path, whole):
    own = OWN + f'whole = {str(whole).lower()}\n[[protocol.step]]\ndo = "stick"\nsurvive = 0.9\n'
    _, protocol = good(read(tmp_path, own))
    assert ([step.do for step in protocol.steps] == ["stick"]) is whole
    assert protocol.steps[protocol.index("stick")].survive == 0.9
    assert bool(protocol.steps[protocol.index("stick")].windows) is not whole


def test_what_the_library_does_not_know_is_raised_by_a_protocol_of_the_farms_own(tmp_path):
    own = (
        '\n[[protocol]]\nspecies = "Aralia cordata"\nmethod = "crown cutting"\nlike = "root cutting"\n'
        '[[protocol.step]]\ndo = "dig"\nopens = ["soil workable"]\ncloses = ["bud swell"]\n'
        '[[protocol.step]]\ndo = "cut"\nwait_days = [0, 2]\nlasts_days = 14\n'
        '[[protocol.step]]\ndo = "pot"\nafter = [{do = "cut", wait_days = [1, 5]}, "dig"]\n'
    )
    _, protocol = good(read(tmp_path, own, "Aralia cordata", "crown cutting"))
    dig, cut, pot = protocol.steps
    assert (dig.lasts, dig.wait, dig.after) == (Days(0, 0), None, None)
    assert (cut.wait, cut.lasts) == (Days(0, 2), Days(14, None))
    assert pot.after is not None
    assert [(a.do, a.wait) for a in pot.after] == [("cut", Days(1, 5)), ("dig", None)]
    assert [a.do for a in protocol.after(1)] == ["dig"]


def test_a_library_species_by_its_common_name_finds_the_same_protocol(tmp_path):
    own = (
        '\n[[protocol]]\nspecies = "American elder"\nmethod = "Hardwood Cutting"\n'
        '[[protocol.step]]\ndo = "stick"\nsurvive = 0.1\n'
    )
    farm, protocol = good(read(tmp_path, own, "american elderberry"))
    assert farm.batches[0].species == "Sambucus canadensis"
    assert protocol.steps[protocol.index("stick")].survive == 0.1


@pytest.mark.parametrize(
    ("own", "message"),
    [
        (OWN, "the protocol has no steps"),
        ('\n[[protocol]]\nmethod = "seed"\n[[protocol.step]]\ndo = "sow"\n', '"species" is missing'),
        ('\n[[protocol]]\nspecies = "hazel"\n[[protocol.step]]\ndo = "sow"\n', '"method" is missing'),
    ],
)
def test_a_protocol_that_says_too_little_is_told_at_its_table(tmp_path, own, message):
    reading = read(tmp_path, own)
    [problem] = reading.problems
    assert message in problem.message
    assert reading.text.splitlines()[problem.line - 1] == "[[protocol]]"


def test_two_steps_of_one_name_are_told_at_the_second(tmp_path):
    reading = read(tmp_path, OWN + '[[protocol.step]]\ndo = "stick"\n[[protocol.step]]\ndo = "stick"\n')
    [problem] = reading.problems
    assert problem.line == reading.text.count("\n")
    assert "step names are unique" in problem.hint


def test_a_species_by_a_method_that_nobody_gives_is_told(tmp_path):
    reading = read(tmp_path, "", "Aralia cordata", "crown cutting")
    [problem] = reading.problems
    assert 'method "crown cutting" is not known' in problem.message


def test_a_step_that_the_librarys_route_omits_is_none_that_a_farm_can_refine(tmp_path):
    """The general method of seed has cold; hazel sown in autumn omits it, so cold and sowing stand whole here."""
    own = (
        '\n[[protocol]]\nspecies = "Corylus avellana"\nmethod = "seed"\nroute = "autumn sown under mesh"\n'
        '[[protocol.step]]\ndo = "stratify cold"\nlasts_days = [90, 120]\n[[protocol.step]]\ndo = "sow"\n'
    )
    route = 'method = "seed"\nroute = "autumn sown under mesh"'
    path = tmp_path / "farm.toml"
    text = HEAD + BATCH.format(species="Corylus avellana", method="seed").replace('method = "seed"', route) + own
    path.write_text(text, encoding="utf-8")
    farm, protocol = good(read_farm(path))
    assert [step.do for step in protocol.steps] == ["stratify cold", "sow"]
    assert farm.refinements == ()


def test_a_figure_written_over_no_longer_names_the_librarys_source(tmp_path):
    _, before = good(read(tmp_path, ""))
    assert before.steps[before.index("stick")].source["survive"]
    _, after = good(read(tmp_path, OWN + '[[protocol.step]]\ndo = "stick"\nsurvive = 0.55\n'))
    assert "survive" not in after.steps[after.index("stick")].source


HAZEL = """
[[protocol]]
species = "Corylus avellana"
method = "seed"
route = "held cold, sown in spring"
[[protocol.step]]
do = "stratify cold"
lasts_days = [100, 130]
"""


def hazel(tmp_path: Path, route: str) -> Protocol:
    named = f'route = "{route}"\n' if route else ""
    return good(read(tmp_path, named + HAZEL, "Corylus avellana", "seed"))[1]


def test_of_several_routes_one_is_asked_for_and_the_first_is_planned_meanwhile(tmp_path):
    reading = read(tmp_path, HAZEL, "Corylus avellana", "seed")
    [problem] = reading.problems
    assert reading.text.splitlines()[problem.line - 1] == "[[batch]]"
    assert "has several routes and none is named: autumn sown under mesh is planned" in problem.message
    assert problem.hint.startswith('add route = "autumn sown under mesh" or route = "held cold, sown in spring"')
    assert reading.farm is not None
    assert [b.protocol.route for b in reading.farm.batches] == ["autumn sown under mesh"]


def test_an_own_protocol_without_a_route_is_meant_where_none_is_named(tmp_path):
    own = HAZEL.replace('route = "held cold, sown in spring"\n', "")
    assert [step.do for step in good(read(tmp_path, own, "Corylus avellana", "seed"))[1].steps] == ["stratify cold"]


def test_an_own_protocol_of_one_route_leaves_the_first_route_as_it_is(tmp_path):
    plain, held = hazel(tmp_path, "autumn sown under mesh"), hazel(tmp_path, "held cold, sown in spring")
    assert [step.do for step in plain.steps][:2] == ["collect", "clean"]
    assert held.steps[held.index("stratify cold")].lasts == Days(100, 130)
    assert [step.do for step in held.steps][:2] == ["collect", "clean"]


def test_a_protocol_that_leaves_out_every_step_is_told_and_its_batch_is_not_planned(tmp_path):
    every = ", ".join(f'"{step.do}"' for step in library_protocol().steps)
    reading = read(tmp_path, OWN + f"omit = [{every}]\n")
    [problem] = reading.problems
    assert reading.text.splitlines()[problem.line - 1].startswith("omit = ")
    assert "no step is left" in problem.message
    assert "out of omit" in problem.hint
    assert reading.farm is not None
    assert reading.farm.batches == ()


@pytest.mark.parametrize(
    ("given", "fault"),
    [
        ("survive = 0.42\nbatches_run = [0.6, 0.25]", "a pair of shares"),
        ("survive = 0.42\nbatches_run = [25, 60]", "a pair of shares"),
        ("survive = 0.42\nbatches_run = 0.25", "a pair of shares"),
        ("batches_run = [0.25, 0.6]", "needs the mean beside it"),
        ("survive = 0.7\nbatches_run = [0.25, 0.6]", "is outside"),
        ("survive = 0.5\nbatches_run = [0.02, 0.98]", "too wide to mean anything"),
        ("survive = 0.5\nbatches_within = 0.6", "out of range"),
    ],
)
def test_a_range_of_batches_that_cannot_be_is_told_with_its_line(tmp_path, given, fault):
    reading = read(tmp_path, f'{OWN}[[protocol.step]]\ndo = "stick"\n{given}\n')
    [problem] = reading.problems
    assert fault in problem.message
    assert problem.line
    assert problem.hint


def test_a_range_of_batches_is_that_of_its_own_mean(tmp_path):
    """A share that is written over takes no range from the one beneath; where none is given it is the usual one."""
    whole = f'{OWN}whole = true\n[[protocol.step]]\ndo = "stick"\nsurvive = 0.42\nbatches_run = [0.25, 0.6]\n'
    _, protocol = good(read(tmp_path, whole))
    assert protocol.steps[0].runs == (0.25, 0.6)
    _, protocol = good(read(tmp_path, f'{OWN}[[protocol.step]]\ndo = "stick"\nsurvive = 0.5\n'))
    assert protocol.steps[protocol.index("stick")].runs == pytest.approx((0.3, 0.7))
    whole = f'{OWN}whole = true\n[[protocol.step]]\ndo = "lift"\nsurvive = 0.7\n'
    _, protocol = good(read(tmp_path, whole))
    assert protocol.steps[0].runs == pytest.approx((0.62, 0.78))  # sorting, by its role
    _, protocol = good(read(tmp_path, f"{whole}batches_within = 0.05\n"))
    assert protocol.steps[0].runs == pytest.approx((0.65, 0.75))
    _, protocol = good(read(tmp_path, f'{whole}role = "set going"\n'))
    assert protocol.steps[0].runs == pytest.approx((0.5, 0.9))
    general = Step("stick", survive=0.7, batches_run=(0.5, 0.85))
    assert general.runs == (0.5, 0.85)
    assert Step("stick", survive=0.7).runs == pytest.approx((0.5, 0.9))
    assert Step("lift", survive=0.97, batches_within=0.08).runs == pytest.approx((0.94, 1.0))
    assert Step("stick").runs is None
