"""Label PDFs, read back by parsers and code readers that had no part in writing them."""

from __future__ import annotations

from datetime import date

import pytest

from tests.sampled import sampled
from tests.tui.paper.labels.paper import cell_of, codes, ink, pages, strays, words
from tui.paper.labels import pdf
from tui.paper.labels.label import Label
from tui.paper.labels.pdf import make_pdf, stand_in
from tui.paper.labels.sheets import SHEETS, Sheet, find_sheet

DAY = date(2026, 11, 12)
ELDER = Label("elder-27", "Sambucus canadensis", "American elder", "Adams", "hardwood cutting", "stick", DAY, "hedge")
LONG = Label(
    "Wärwick-PL25/1/2", "Prunus domestica subsp. insititia var. syriaca", "Shropshire damson of the old hill orchards",
    "Großherzogin-Luise-Wilhelmine-von-Hohenzollern-Sigmaringen", "semi-hardwood cutting", "stratify cold", DAY,
    "from the third tree behind the lower gate, given by a neighbour in exchange for a tray of quince",
)  # fmt: skip
GRIDS = [*SHEETS.values(), find_sheet("25x10"), find_sheet("60x12")]


def named(n: int, lot: str = "") -> Label:
    return Label(lot or f"L{n}", "Fictus ripensis", "bankside fig", "", "seed", "sow", DAY, "")


@pytest.mark.parametrize("sheet", sampled(GRIDS, 4), ids=lambda s: s.name)
@pytest.mark.parametrize("code", ["qr", "code128"])
def test_every_letter_lies_within_its_own_label(sheet: Sheet, code: str):
    labels = [ELDER, LONG] * ((sheet.holds + 1) // 2)
    printed = make_pdf(labels[: sheet.holds], sheet, code)
    letters = ink(printed.data)
    assert strays(sheet, letters) == []
    used = {cell_of(sheet, letter.left, letter.top) for letter in letters}
    assert used == set(range(sheet.holds))


def test_the_search_for_strays_finds_them():
    sheet = SHEETS["a4-3x8"]
    letters = ink(make_pdf([ELDER], sheet).data)
    assert len(strays(SHEETS["a4-5x13"], letters)) > 0
    narrow = SHEETS["strip-100x20"]
    assert len(strays(narrow, ink(make_pdf([ELDER], find_sheet("100x20"), "none").data))) == 0
    assert len(strays(narrow, ink(make_pdf([LONG], find_sheet("100x20"), "none").data))) > 0


def test_a_label_says_names_lot_method_day_and_source():
    said = words(make_pdf([ELDER], SHEETS["a4-3x8"]).data)
    for text in (
        "American elder 'Adams'",
        "Sambucus canadensis",
        "elder-27",
        "hardwood cutting",
        "12 Nov 26",
        "hedge",
    ):
        assert text in said


def test_the_whole_of_a_long_label_is_there_on_a_roomy_one():
    said = words(make_pdf([LONG], find_sheet("99x38"), "none").data).replace(" ", "")
    for text in (LONG.lot, LONG.latin, LONG.common, LONG.cultivar, LONG.source):
        assert text.replace(" ", "") in said
    assert "…" not in said


@pytest.mark.parametrize("sheet", sampled(SHEETS.values(), 3), ids=lambda s: s.name)
def test_pages_have_the_sheets_size_and_are_as_many_as_needed(sheet: Sheet):
    for count, start in ((1, 1), (sheet.holds, 1), (sheet.holds + 1, 1), (1, sheet.holds), (2, sheet.holds)):
        printed = make_pdf([named(n) for n in range(count)], sheet, "none", start)
        expected = -(-(start - 1 + count) // sheet.holds)
        assert printed.pages == expected
        assert pages(printed.data) == [pytest.approx(sheet.page)] * expected


def test_labels_begin_where_the_sheet_is_not_used_up():
    sheet = SHEETS["letter-3x10"]
    printed = make_pdf([named(n) for n in range(4)], sheet, "none", 29)
    first, second = ({cell_of(sheet, i.left, i.top) for i in ink(printed.data, page)} for page in (0, 1))
    assert first == {28, 29}
    assert second == {0, 1}


@pytest.mark.parametrize(
    "lot", ["PT25", "elder-27/1", "kopřiva č. 7/2", "梅-3", "Мята", "x" * 60, "5", '50 % \\ "a" (b)']
)
def test_a_qr_code_holds_the_lots_id(lot: str):
    printed = make_pdf([named(0, lot)], find_sheet("60x28"))
    assert [(kind, text) for kind, text, _, _ in codes(printed.data)] == [("QRCode", lot)]


@pytest.mark.parametrize("lot", ["PT25", "elder-27/1", "H26A", "123456", "a b~!", "0-0"])
@pytest.mark.parametrize("sheet", sampled(["70x37", "38.1x21.2", "66.6x25.4", "strip-100x20"], 4))
def test_a_code_128_holds_the_lots_id(lot: str, sheet: str):
    printed = make_pdf([named(0, lot)], find_sheet(sheet), "code128")
    assert [(kind, text) for kind, text, _, _ in codes(printed.data)] == [("Code128", lot)]
    assert printed.told == ()


@pytest.mark.parametrize("lot", ["kopřiva-7", "a-lot-id-that-is-far-too-long-for-bars"])
def test_where_bars_cannot_hold_an_id_a_qr_code_does_and_it_is_told(lot: str):
    printed = make_pdf([named(0, lot)], find_sheet("38.1x21.2"), "code128")
    assert [(kind, text) for kind, text, _, _ in codes(printed.data)] == [("QRCode", lot)]
    assert any(lot in line and "QR" in line for line in printed.told)


@pytest.mark.parametrize("code", ["qr", "code128"])
def test_an_id_too_long_for_any_code_is_told_and_the_words_still_stand(code: str):
    printed = make_pdf([named(0, "y" * 300), named(1)], find_sheet("38.1x21.2"), code)
    assert codes(printed.data, 0) == []
    assert [text for _, text, _, _ in codes(printed.data, 1)] == ["L1"]
    assert any("too long" in line for line in printed.told)
    assert "bankside fig" in words(printed.data)


def test_every_label_of_a_full_sheet_carries_its_own_code():
    sheet = SHEETS["a4-5x13"]
    printed = make_pdf([named(n) for n in range(65)], sheet)
    read = {cell_of(sheet, x, y): text for _, text, x, y in codes(printed.data)}
    assert read == {n: f"L{n}" for n in range(65)}


def test_no_code_is_drawn_where_none_is_wanted():
    assert codes(make_pdf([ELDER], find_sheet("70x37"), "none").data) == []


def test_letters_that_no_font_has_are_put_plainly_and_told(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(pdf, "FAMILIES", pdf.FAMILIES[:1])
    printed = make_pdf([named(0, "kopřiva 梅")], find_sheet("70x37"))
    assert "kopriva Mei" in words(printed.data)
    assert any("ř" in line and "梅" in line for line in printed.told)
    assert codes(printed.data)[0][1] == "kopřiva 梅"
    assert stand_in("ő", "ő") == "o"


def test_copies_are_equal_and_the_same_call_gives_the_same_bytes():
    sheet = SHEETS["a4-3x8"]
    printed = make_pdf([ELDER] * 3, sheet)
    assert printed == make_pdf([ELDER] * 3, sheet)
    lines = [
        sorted(
            (i.letter, round(i.left - x, 2), round(i.top - y, 2))
            for i in ink(printed.data)
            if cell_of(sheet, i.left, i.top) == n
        )
        for n, (x, y) in enumerate(map(sheet.cell, range(3)))
    ]
    assert lines[0] == lines[1] == lines[2]
    assert len(lines[0]) > 30
