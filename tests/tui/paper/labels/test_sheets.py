"""The label grids: they fit their pages, and their labels neither overlap nor repeat."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tui.paper.labels.sheets import A4, LETTER, SHEETS, Sheet, find_sheet, places, sheet_list


def test_the_pages_are_those_of_the_standards():
    # ISO 216:2007, table 1: A4 is 210 x 297 mm. ANSI/ASME Y14.1, size A (letter): 8.5 x 11 in.
    assert A4 == (210, 297)
    assert pytest.approx((8.5 * 25.4, 11 * 25.4)) == LETTER


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=lambda s: s.name)
def test_a_grid_fits_its_page_and_its_labels_do_not_overlap(sheet: Sheet):
    cells = [sheet.cell(n) for n in range(sheet.holds)]
    assert len(set(cells)) == sheet.columns * sheet.rows
    for left, top in cells:
        assert left >= -1e-9
        assert top >= -1e-9
        assert left + sheet.label[0] <= sheet.page[0] + 1e-9
        assert top + sheet.label[1] <= sheet.page[1] + 1e-9
    for axis in (0, 1):
        edges = sorted({round(cell[axis], 6) for cell in cells})
        assert all(b - a >= sheet.label[axis] - 1e-6 for a, b in pairwise(edges))


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=lambda s: s.name)
def test_a_grid_lies_in_the_middle_and_leaves_room_to_print(sheet: Sheet):
    left, top = sheet.cell(0)
    last_left, last_top = sheet.cell(sheet.holds - 1)
    assert left == pytest.approx(sheet.page[0] - last_left - sheet.label[0])
    assert top == pytest.approx(sheet.page[1] - last_top - sheet.label[1])
    assert sheet.label[0] - 2 * sheet.pad[0] - sheet.blank >= 20
    assert sheet.label[1] - 2 * sheet.pad[1] >= 9
    if sheet.holds > 1:
        assert min(left + sheet.pad[0], top + sheet.pad[1]) >= 5 - 1e-9


def test_a_sheets_name_says_its_grid():
    for name, sheet in SHEETS.items():
        kind, _, grid = name.partition("-")
        numbers = tuple(float(n) for n in grid.split("x"))
        if kind == "strip":
            assert (numbers, sheet.holds) == (sheet.label, 1)
        else:
            assert (numbers, sheet.page) == ((sheet.columns, sheet.rows), {"a4": A4, "letter": LETTER}[kind])
        assert name in sheet_list()


def test_labels_run_along_the_rows_and_on_to_the_next_page():
    sheet = SHEETS["a4-3x8"]
    assert places(sheet, 3, 1) == [(0, 0), (0, 1), (0, 2)]
    assert places(sheet, 3, 23) == [(0, 22), (0, 23), (1, 0)]
    assert sheet.cell(1)[0] == sheet.cell(0)[0] + 70
    assert sheet.cell(3) == (sheet.cell(0)[0], sheet.cell(0)[1] + 37)
    assert places(SHEETS["strip-100x20"], 2, 1) == [(0, 0), (1, 0)]


def test_a_strip_of_ones_own_measures():
    own = find_sheet("80x15")
    assert (own.page, own.label, own.holds, own.blank) == ((80, 15), (80, 15), 1, 0)
    stuck = find_sheet("STRIP-90.5x18")
    assert stuck.label == (90.5, 18)
    assert 0.2 * 90.5 <= stuck.blank <= 0.25 * 90.5


@pytest.mark.parametrize(
    "name", ["", "a4", "a4-3x9", "0x20", "100x0", "9999x20", "24x20", "100x9", "100x20x5", "nanxinf", "١٠٠x٢٠"]
)
def test_what_is_no_sheet_is_refused_in_words(name: str):
    with pytest.raises(ValueError, match=r"is not a sheet|mm long"):
        find_sheet(name)
