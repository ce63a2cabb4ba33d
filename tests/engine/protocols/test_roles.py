"""What a step is for, by its name; and what a lot is after it (common practice)."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree

import pytest

from engine.protocols.forms import MATERIALS, form_after, is_there, known_forms
from engine.protocols.library import FOLDER, read_library, read_methods
from engine.protocols.roles import Role, form_by, known_steps, role_of, usual_within
from tests.engine.library.built import built

SETS_GOING = ("soak", "stratify cold", "sow", "stick", "graft", "bud", "layer", "line out", "pot up")
FINDS_OUT = ("check take", "prick out", "lift", "clean", "grade", "sever")
NEITHER = ("order", "arrive", "collect", "harden off", "cut ties", "mound up last")


def test_what_is_set_going_is_not_yet_counted_and_what_finds_out_is():
    assert [(role_of(do).sets_going, role_of(do).finds_out) for do in SETS_GOING] == [(True, False)] * len(SETS_GOING)
    assert [(role_of(do).sets_going, role_of(do).finds_out) for do in FINDS_OUT] == [(False, True)] * len(FINDS_OUT)
    assert [role_of(do).sets_going or role_of(do).finds_out for do in NEITHER] == [False] * len(NEITHER)


@pytest.mark.parametrize(
    ("do", "role"),
    [
        ("collect nuts", Role.COLLECT),
        ("Stratify warm again", Role.STRATIFY_WARM),
        ("mound up last", Role.CARE),
        ("collected works", Role.CARE),
        ("sing to them", Role.CARE),
    ],
)
def test_a_name_that_is_not_known_has_the_role_of_the_longest_one_with_which_it_begins(do: str, role: Role):
    assert role_of(do) is role


def test_no_step_of_the_library_is_care_but_those_that_are_named_so():
    told = {do for do, role in known_steps().roles.items() if role is Role.CARE}
    care = {step.do for one in built() for _, step in one.steps() if step.role is Role.CARE}
    assert {do for do in care if not do.startswith(tuple(told))} == {"mound up"}  # the second one of a trench layer
    assert set(known_steps().roles.values()) == set(Role)


def test_every_form_that_comes_of_a_step_or_a_method_is_one_of_those_told():
    assert (form_by("Sow"), form_by("line out stocks"), form_by("line out on the far bed")) == (
        "seedling",
        "rootstock",
        "",
    )
    forms = set(known_steps().forms.values())
    forms |= {str(draft.nature["form"]) for draft in read_methods().values()}
    assert forms <= set(known_forms())


CLEFT = """
[[protocol]]
method = "cleft graft"
takes = "scions"
onto = "rootstocks"
form = "rootstock"
[[protocol.step]]
do = "cut the wands"
role = "collect"
[[protocol.step]]
do = "graft over the cleft"
role = "set going"
form = "graft"
"""


def test_a_method_is_one_file_of_the_library(tmp_path: Path):
    copytree(FOLDER, tmp_path / "library")
    (tmp_path / "library" / "methods" / "cleft_graft.toml").write_text(CLEFT, encoding="utf-8")
    library = read_library(folder=tmp_path / "library")
    protocol = library.protocol(library.methods["cleft graft"])
    assert library.problems == ()
    assert (protocol.takes, protocol.onto, protocol.multiplies) == ("scions", "rootstocks", False)
    assert [step.role for step in protocol.steps] == [Role.COLLECT, Role.SET_GOING]
    assert [is_there(step, protocol) for step in protocol.steps] == [False, True]
    assert form_after(protocol.steps[0], protocol, "") == "rootstock"
    assert form_after(protocol.steps[1], protocol, "rootstock") == "graft"


def test_every_method_says_what_it_takes_and_what_it_begins_as():
    for name, draft in read_methods().items():
        assert draft.nature["takes"] in MATERIALS, name
        form = draft.nature["form"]
        assert known_forms()[form] == ("" if draft.nature.get("onto") else draft.nature["takes"]), name


def test_sorting_comes_out_more_alike_from_batch_to_batch_than_rooting():
    """Within some 8 points of the mean and some 20: common practice."""
    assert {role: usual_within(role) for role in (Role.SORT, Role.CLEAN, Role.POT_UP)} == {
        Role.SORT: 0.08, Role.CLEAN: 0.08, Role.POT_UP: 0.08,
    }  # fmt: skip
    assert {usual_within(role) for role in (Role.SET_GOING, Role.SOW, Role.CHECK)} == {0.2}
    assert {*known_steps().within} <= {*Role, "other"}
