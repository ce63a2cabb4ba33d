"""Names made shorter by rule: no word is ever cut."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tests.tui.paper.labels.paper import words
from tui.paper.labels.label import Label, ways_to_say
from tui.paper.labels.names import short_common, short_latin
from tui.paper.labels.pdf import make_pdf
from tui.paper.labels.sheets import SHEETS
from tui.paper.labels.text import text_label

QUINCE = Label(
    "Q26", "Chaenomeles speciosa", "flowering quince", "Long Lane Late Scarlet", "simple layer", "peg down",
    date(2027, 4, 6), "mill hedge",
)  # fmt: skip


@pytest.mark.parametrize(
    ("whole", "short"),
    [
        # a genus is abbreviated to its first letter once it is clear which is meant: common practice in botany
        ("Corylus avellana", "C. avellana"),
        ("Prunus domestica subsp. insititia", "P. domestica subsp. insititia"),
        ("Fragaria × ananassa", "F. × ananassa"),
        ("×Sorbaronia mitschurinii", "×S. mitschurinii"),
        ("× Sorbaronia mitschurinii", "× S. mitschurinii"),
        ("Rosa", "Rosa"),
        ("Salix sp.", "Salix sp."),
        ("", ""),
    ],
)
def test_the_genus_is_abbreviated_where_an_epithet_says_which_species(whole: str, short: str):
    assert short_latin(whole) == short


@pytest.mark.parametrize(
    ("whole", "short"),
    [
        ("American elder", "elder"),
        ("hazel", "hazel"),
        ("strawberry tree", "strawberry tree"),
        ("lily of the valley", "lily of the valley"),
        ("good King Henry", "good King Henry"),
        ("", ""),
    ],
)
def test_a_common_name_loses_its_qualifier_where_the_rest_is_a_name(whole: str, short: str):
    assert short_common(whole) == short


def test_a_label_is_said_whole_first_then_shorter_and_shorter():
    heads = [[text.replace("\u00a0", "_") for _, text in way[:2]] for way in ways_to_say(QUINCE)]
    assert heads == [
        ["flowering quince 'Long_Lane_Late_Scarlet'", "Chaenomeles speciosa"],
        ["flowering quince 'Long Lane Late Scarlet'", "Chaenomeles speciosa"],
        ["flowering quince 'Long Lane Late Scarlet'", "C. speciosa"],
        ["quince 'Long Lane Late Scarlet'", "C. speciosa"],
    ]


def test_the_only_name_stays_whole():
    ways = ways_to_say(replace(QUINCE, common="", cultivar=""))
    assert {way[0][1] for way in ways} == {"Chaenomeles speciosa"}


def test_as_text_a_cultivars_name_goes_to_a_line_of_its_own():
    assert text_label(replace(QUINCE, lot="Q27"))[:3] == [
        "flowering quince",
        "'Long Lane Late Scarlet'",
        "Chaenomeles speciosa",
    ]


@pytest.mark.parametrize("sheet", ["a4-3x8", "a4-5x13"])
def test_no_word_of_a_long_name_is_cut_on_a_label(sheet: str):
    said = words(make_pdf([QUINCE], SHEETS[sheet]).data)
    assert "…" not in said
    known = {word for way in ways_to_say(QUINCE) for _, text in way for word in text.replace("\u00a0", " ").split()}
    assert set(said.split()) <= known
    for word in ("quince", "'Long", "Lane", "Late", "Scarlet'", "speciosa", "Q26"):
        assert word in said.split()
