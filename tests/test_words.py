"""Every text that a person reads keeps to one set of words: one word for one thing, and none that nobody says aloud.

The texts are those of the code, without docstrings, the notes of the library and the README. What a text may not
hold stands beside what to say instead.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

import pytest
import tomli

from tests.sources import FILES, nodes
from tests.sources import ROOT as TOP

NOT_SAID = {
    # one word for one thing
    r"\bjobs?\b": "task",
    r"\bacts?\b(?! of| on\b)": "task, or step of a batch",
    r"\b(given up|give up)\b": "dropped, drop",
    r"\b(have|had|has) (it )?again\b": "redo, redone",
    r"\btak(e|en) back\b": "undo, undone",
    r"\bamend(s|ed)?\b": "change",
    r"\b(wanted no longer|cancelled need)\b": "withdrawn",
    r"\bpassed over\b": "skipped",
    r"\bmend(s|ed)?\b(?! mesh)": "correct",
    r"\brests? on (it|them|itself)\b": "depends on",
    r"\bnext chance\b": "next window: a chance is a probability",
    r"\bkind(red|s of plant)\b": "related plants",
    r"\bthe book\b": "the library, for a figure; on record, for a count",
    r"\bdried through\b": "dried out",
    # what nobody says aloud
    r"(?<!there )\bis no (?!fault|more|longer|better|such|hazard)[a-z]": "is not a",
    r"\bstands? (twice|alone|in line|as)\b": "appears twice, is in line",
    r"\bthere already\b": "already there, already taken",
    r"\balready, or was\b": "has already been used",
    r"\b(anew|befell|befall|lest|whilst|amongst|thereof|therein|whence|hence|forthwith|nought|upon)\b": "plain words",
    r"\bat (even odds|a chance of)\b": "50 % chance",
    r"\bnot so\b": "not possible",
    r"\blater is poorer\b": "best before",
    r"\bout of doors\b": "outdoors",
    r"\bmind not to\b": "take care not to",
    r"\bas soon as may be\b": "as soon as you can",
    r"\bhas had its (least|most)\b": "minimum reached, past its maximum",
    r"\bby the book\b": "by the library, on record",
    r"\bnot before today\b": "open since",
    r"\bwait if nothing presses\b": "wait if you can",
    r"\bthe odds hang\b": "less likely to fail at once",
    r"\bup and down:": "↑↓",
    r"\benter: |\bescape: ": "Enter save, Esc cancel",
    r"^give \[FARM\]": "usage:",
    r"\bthese keys\b": "help",
    r"\b(a lot of its own, the rest goes on|has them by then|tell whom)\b": "stays; can't be raised in time",
    r"\bmean day in leaf\b|; it asks for\b": "average summer day; needs",
    r"\bbatches run\b": "varies from … between batches",
    r"(?i)\bno longer: |\bgone out\b": "cancel this need; sent",
    r"\bas surely as\b": "at the certainty asked for",
    r"(?i)\ba bit of time\b": "spare time",
    r"^Keys of\b": "Keys: week",
    r"\bsay when you did\b|\bdays? too long\b": "past its limit; enter the day you did",
    r"\bat first$": "opening stock",
    r"^Instead of ": "Substitute for",
    r"\} short, not ": "risk of falling short, against",
    r"\bleft that year\b": "still to be had that year",
    r"\bknown to suffer\b|\bno thermometer says\b": "at risk; give a forecast",
    r"\bmissed no window\b|\bmake up for\b": "no missed task with another way open",
    r"\bare lacking\b|\bas things stand\b": "still missing",
    r"\bmaximum passed\b|\} ripe\b": "too long; ready",
    r"\bon which day\b": "date",
    r"\bdoubtful\b(?= )|\bname (is )?doubtful\b": "name not certain",
    r"\b(each tells|is told before)\b": "says; you are warned",
    # one way to write a span and a percentage
    r"\b(every|over) \d+ ?d\b|\} ?d over\b|\bin \{\} d\b": "12 days",
    r"\.\d%\}": "percent() of engine/reading/said.py: 50 %",
    r"\{,?\.1f\} ?h(ours)?\b": "hours_said() of tui/cells.py: 7 h 42",
    r"\bsureness": "certainty",
    r"\bstead\b": "instead",
    r"\b(is|are) threatened\b": "is at risk",
    r"\bis take\b": "has taken",
    r"(?i)\bkin of\b|\bits kin\b": "a relative of, its relatives",
    r"\btook back\b|\bput right\b": "undid; as it should be",
    r"\bof the woods\b|\bas (short a time|soon) as can be\b": "woodland plants; as briefly as you can",
    r"\bcalled so\b|\bis to go there\b": "has that name; is due there",
    r"\b(will|would) do\b(?= *$)|\bno number of starts\b": "would be enough; no start is large enough",
    r"\bfits? nothing\b": "does not fit",
    r"\ball but past\b|\bto be had from\b": "almost over, available from",
}
"""What a text may not hold, as a pattern, and what is said instead."""
ANY = re.compile("|".join(f"(?i:{p[4:]})" if p.startswith("(?i)") else f"(?:{p})" for p in NOT_SAID))
AS_FARM_FILES_HAVE_IT = {
    "engine/views/plan.py",
    "tui/first_run_steps.py",
    "tui/paper/thermometer.py",
    "tui/paper/dates.py",
}
"""Files that also write chances as a farm file does: "50%"."""
NOTES = ("note", "cautions", "look_for")


def words_of_code() -> Iterator[tuple[str, int, str]]:
    """Every text of the code but docstrings, with its file and line; what is put into it stands in braces."""
    for path in FILES:
        tree = nodes(path)
        passed = {id(node.value) for node in tree if isinstance(node, ast.Expr)}
        passed |= {id(part) for node in tree if isinstance(node, ast.JoinedStr) for part in node.values}
        name = path.relative_to(TOP).as_posix()
        for node in tree:
            if id(node) in passed:
                continue
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value.strip():
                yield name, node.lineno, node.value
            elif isinstance(node, ast.JoinedStr):
                yield name, node.lineno, "".join(map(part_of, node.values))


def part_of(part: ast.expr) -> str:
    """A part of a text: as it stands, or braces with how a number is written in them."""
    if isinstance(part, ast.FormattedValue):
        return f"{{{ast.unparse(part.format_spec)[2:-1] if part.format_spec else ''}}}"
    return str(part.value) if isinstance(part, ast.Constant) else ""


def words_of_library() -> Iterator[tuple[str, int, str]]:
    """Every note, caution and look of the library, with its file and line."""

    def texts(value: object, key: str = "") -> Iterator[str]:
        if isinstance(value, dict):
            for name, each in value.items():
                yield from texts(each, name)
        elif isinstance(value, list):
            for each in value:
                yield from texts(each, key)
        elif isinstance(value, str) and key in NOTES:
            yield value

    for path in sorted((TOP / "engine/library").rglob("*.toml")):
        whole = path.read_text(encoding="utf-8")
        for text in dict.fromkeys(texts(tomli.loads(whole))):
            at = whole.find(text)
            yield path.relative_to(TOP).as_posix(), whole.count("\n", 0, at) + 1 if at >= 0 else 0, text


def faults(words: Iterator[tuple[str, int, str]]) -> list[str]:
    """What is said otherwise, with file, line and what to say."""
    found = []
    for name, line, text in words:
        if not ANY.search(text):
            continue
        for pattern, instead in NOT_SAID.items():
            if name in AS_FARM_FILES_HAVE_IT and "percent()" in instead:
                continue
            if met := re.search(pattern, text):
                found.append(f"{name}:{line}: say {instead}, not “{met[0]}”: {text[:90]}")
    return found


def words_of_readme() -> Iterator[tuple[str, int, str]]:
    """Every paragraph of the README, with its line; what it shows of a screen stands as it is."""
    line = 1
    for part in (TOP / "README.md").read_text(encoding="utf-8").split("\n\n"):
        yield "README.md", line, " ".join(part.split())
        line += part.count("\n") + 2


@pytest.mark.parametrize("words", [words_of_code, words_of_library, words_of_readme])
def test_every_text_keeps_to_one_set_of_words(words):
    assert faults(words()) == []


def test_a_word_that_is_not_said_is_found_with_its_line():
    odd = 'it has 2 jobs, every 7d, and "soon" is no date'
    told = faults(iter([("tui/somewhere.py", 7, odd)]))
    assert [line.split(",")[0] for line in told] == [
        "tui/somewhere.py:7: say task", "tui/somewhere.py:7: say is not a", "tui/somewhere.py:7: say 12 days",
    ]  # fmt: skip
    assert faults(iter([("tui/somewhere.py", 7, "2 tasks, weekly; “soon” is not a date")])) == []
