"""Several windows of a step, and the best of its days, as a farm's own protocol writes them."""

from pathlib import Path

import pytest

from engine.almanac.windows import Window
from engine.protocols.model import Days, Step
from engine.reading.problems import Findings
from engine.reading.table import Table
from tests.engine.farm.test_own_protocols import OWN, good, read

LIFT = '[[protocol.step]]\ndo = "lift"\n'
AUTUMN, SPRING = {"opens": ["leaf drop"], "closes": ["ground freeze"]}, {"opens": ["1 Apr"], "closes": ["1 May"]}
TWO = 'windows = [{opens = ["leaf drop"], closes = ["ground freeze"]}, {opens = ["1 Apr"], closes = ["1 May"]}]\n'


def said(windows: tuple[Window, ...]) -> list[tuple[list[str], list[str]]]:
    return [([p.text for p in w.opens], [p.text for p in w.closes]) for w in windows]


def lift(folder: Path, lines: str, step: str = LIFT) -> Step:
    _, protocol = good(read(folder, OWN + step + lines))
    return protocol.steps[protocol.index("lift")]


def told(folder: Path, lines: str, step: str = LIFT) -> tuple[str, str, str]:
    """The one problem: the line that it stands on, what is wrong, and the remedy."""
    reading = read(folder, OWN + step + lines)
    [problem] = reading.problems
    return reading.text.splitlines()[problem.line - 1], problem.message, problem.hint


def test_several_windows_take_the_place_of_the_one_beneath(tmp_path):
    expected = [(["leaf drop"], ["ground freeze"]), (["1 Apr"], ["1 May"])]
    assert said(lift(tmp_path, TWO).windows) == expected


def test_windows_may_be_written_as_tables(tmp_path):
    lines = '[[protocol.step.windows]]\nopens = ["leaf drop"]\n[[protocol.step.windows]]\ncloses = ["15 Apr"]\n'
    assert said(lift(tmp_path, lines).windows) == [(["leaf drop"], []), ([], ["15 Apr"])]


def test_no_windows_at_all_open_a_step_on_any_day(tmp_path):
    assert lift(tmp_path, "windows = []\n").windows == ()


@pytest.mark.parametrize(
    ("lines", "line", "message", "hint"),
    [
        (TWO + 'opens = ["1 Apr"]\n', 'opens = ["1 Apr"]', "opens stands beside windows", "put it into one of them"),
        ('windows = ["leaf drop"]\n', 'windows = ["leaf drop"]', "windows is a list of windows", "write windows = [{"),
        ("windows = [{}]\n", "windows = [{}]", "a window says when it opens", "write windows = [{"),
        (
            'windows = [\n  {opens = ["leaf drop"]},\n  {opens = ["1 Apr"], shuts = ["1 May"]},\n]\n',
            '  {opens = ["1 Apr"], shuts = ["1 May"]},',
            '"shuts" is not a key of this table',
            "opens, closes",
        ),
        (
            'windows = [\n  {opens = ["leaf drop"]},\n  {opens = ["31 Apr"]},\n]\n',
            '  {opens = ["31 Apr"]},',
            "April has no day 31",
            "its last day is 30",
        ),
        ('windows = [{opens = ["leaf drip"]}]\n', 'windows = [{opens = ["leaf drip"]}]', "leaf drip", '"leaf drop"'),
    ],
)
def test_a_fault_of_windows_is_told_at_its_line_with_the_remedy(tmp_path, lines, line, message, hint):
    found = told(tmp_path, lines)
    assert found[0] == line
    assert message in found[1]
    assert hint in found[2]


HELD = '[[protocol.step]]\ndo = "store"\nlasts_days = [30, 120]\n'


@pytest.mark.parametrize(
    ("lines", "message", "hint"),
    [
        ("best_days = [60, 130]\n", "best_days, 60 to 130 days, reaches beyond lasts_days, 30 to 120 days", "widen"),
        ("best_days = [20, 90]\n", "reaches beyond lasts_days", "widen"),
        ("best_days = 60\n", "best_days is a pair of days", "write best_days = [60, 90]"),
        ("best_days = [90, 60]\n", "is the wrong way round", "write best_days = [60, 90]"),
    ],
)
def test_a_fault_of_the_best_days_is_told_at_its_line_with_the_remedy(tmp_path, lines, message, hint):
    found = told(tmp_path, lines, HELD)
    assert found[0] == lines.strip()
    assert message in found[1]
    assert hint in found[2]


def test_best_days_are_read_and_fall_where_what_it_lasts_is_written_over(tmp_path):
    _, protocol = good(read(tmp_path, OWN + HELD + "best_days = [60, 90]\n"))
    store = protocol.steps[protocol.index("store")]
    assert (store.lasts, store.best) == (Days(30, 120), Days(60, 90))


def laid(*layers: dict[str, object]) -> tuple[Step, Findings]:
    """One step as drafts laid over one another make it."""
    from engine.protocols.reading import build, read_draft

    findings = Findings()
    drafts = [
        read_draft(Table({"method": "layer", "step": [{"do": "sever", **layer}]}, (), findings), "library")
        for layer in layers
    ]
    [step] = build([d for d in drafts if d is not None], "Testus").steps
    return step, findings


SOURCES = {"windows": "a book", "lasts_days": "another", "best_days": "another"}


def test_one_window_over_several_takes_their_place_whole_and_their_source_with_them():
    step, findings = laid({"windows": [AUTUMN, SPRING], "source": SOURCES}, {"opens": ["1 Mar"], "closes": ["1 Apr"]})
    assert said(step.windows) == [(["1 Mar"], ["1 Apr"])]
    assert "windows" not in step.source
    assert findings.found == []


def test_a_whole_window_takes_the_best_time_of_the_old_one_away_and_a_closing_alone_keeps_it():
    beneath = {"opens": ["1 Mar"], "closes": ["1 Jun"], "best_until": ["1 May"], "source": {"best_until": "a book"}}
    for whole in ({"opens": ["1 Oct"], "closes": ["1 Nov"]}, {"windows": [AUTUMN, SPRING]}):
        step, _ = laid(beneath, whole)
        assert (step.best_until, "best_until" in step.source) == ((), False)
        assert [p.text for p in laid(beneath, {**whole, "best_until": ["9 Oct"]})[0].best_until] == ["9 Oct"]
    assert [p.text for p in laid(beneath, {"closes": ["1 Jul"]})[0].best_until] == ["1 May"]


def test_an_opening_alone_over_several_windows_is_told_and_changes_nothing():
    step, findings = laid({"windows": [AUTUMN, SPRING]}, {"opens": ["1 Mar"]})
    assert said(step.windows) == [(["leaf drop"], ["ground freeze"]), (["1 Apr"], ["1 May"])]
    [fault] = findings.found
    assert "does not say which of them" in fault[1]


def test_what_it_lasts_written_over_takes_the_best_of_it_away_and_its_source():
    beneath = {"lasts_days": [30, 120], "best_days": [60, 90], "source": SOURCES}
    step, _ = laid(beneath, {"lasts_days": [100, 110]})
    assert (step.lasts, step.best) == (Days(100, 110), None)
    assert not {"lasts_days", "best_days"} & set(step.source)
    assert laid(beneath, {"look_days": 7})[0].best == Days(60, 90)
