"""Room in a farm file: of places and of the farm's own steps, and every fault with its line and remedy."""

from __future__ import annotations

import subprocess
import sys

import pytest
import tomli

from engine.farm.reading import Reading, read_document
from engine.schedule.room import limits_of
from tests.engine.schedule.farms import HEAD, NORTH

STEP = '[[protocol.step]]\ndo = "sow"\nplace = "bed"\nroom = {room}\n'
BATCH = '[[batch]]\nid = "B"\nspecies = "Arbor ficta"\nmethod = "seed"\ncount = 9\nstart = 2027-02-01\n'


def read(text: str) -> Reading:
    return read_document(tomli.loads(text), text, "farm.toml")


def place(room: str) -> Reading:
    return read(f'{NORTH}[[place]]\nname = "bed"\nroom = {room}\n')


def test_a_place_takes_one_phrase_or_a_list():
    one, two = place('"40 trays"'), place('["40 trays", "12 m of row"]')
    assert (one.problems, two.problems) == ((), ())
    assert one.farm is not None
    assert two.farm is not None
    assert limits_of(one.farm) == {("bed", "tray"): 40}
    assert limits_of(two.farm) == {("bed", "tray"): 40, ("bed", "metre of row"): 12}


@pytest.mark.parametrize(
    ("room", "told", "hint"),
    [
        ('"40 trais"', 'room: "trais" is not a unit of room', 'did you mean "trays"?'),
        ('"lots"', 'room: "lots" does not say how much of what', "40 trays"),
        ('["3 trays", "4 trays"]', "a second time", "once"),
        ("40", "room is a list of texts, not 40", "write room ="),
        ('""', "does not say how much", "40 trays"),
    ],
)
def test_a_place_whose_room_cannot_be_read_is_told_at_its_line_and_has_none(room: str, told: str, hint: str):
    reading = place(room)
    [problem] = reading.problems
    assert told in problem.message
    assert hint in problem.hint
    assert problem.line == 9
    assert reading.farm is not None
    assert limits_of(reading.farm) == {}


def test_a_step_of_the_farm_whose_room_cannot_be_read_is_told_at_once_and_takes_none():
    text = NORTH + HEAD + STEP.format(room='"a good deal"') + BATCH
    reading = read(text)
    [problem] = reading.problems
    assert 'room: "a good deal" does not say how many go into what' in problem.message
    assert "120 a tray" in problem.hint
    assert text.splitlines()[problem.line - 1].startswith("room =")
    assert reading.farm is not None
    assert reading.farm.batches[0].protocol.steps[0].room == ""


def test_a_step_of_the_farm_keeps_its_words():
    reading = read(NORTH + HEAD + STEP.format(room='"120 a tray"') + BATCH)
    assert reading.problems == ()
    assert reading.farm is not None
    assert reading.farm.batches[0].protocol.steps[0].room == "120 a tray"


def test_a_farm_without_room_of_its_own_reads_no_word_of_it():
    """The library's rooms stay texts until they are asked for: opening a farm does not wait for them."""
    text = NORTH + BATCH.replace("Arbor ficta", "Corylus avellana")
    code = (
        "import sys, tomli; from engine.farm.reading import read_document; text = sys.stdin.read(); "
        "found = read_document(tomli.loads(text), text, 'f'); steps = found.farm.batches[0].protocol.steps; "
        "assert any(step.room for step in steps); "
        "print([m for m in sys.modules if m.endswith('.room')])"
    )
    told = subprocess.run([sys.executable, "-c", code], input=text, capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
