"""Every sheet keeps within 80 columns, on the demo farm and on a farm as `widger new` writes it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.tui.conftest import Call

COLUMNS = 80
ON = date(2027, 4, 6)
SHEETS = (
    "week", "week --spare 40 --wet", "check", "dates", "year", "room", "orders", "entries", "stock", "needs", "cold",
    "review", "plan", "devices", "dispatch", "planting", "planting --works", "season", "labels", "rows", "stock-plants",
    "inspection", "level", "tonight --low -12", "tonight --high 38", "tonight --wind", "tonight --power-cut",
    "starts medlar seed --want 60", "ways elder 60",
)  # fmt: skip


def wide(call: Call, *words: object) -> list[str]:
    """The lines of a sheet that are wider than a page; a call that cannot be used is at fault itself."""
    status, out, err = call(*words, "--on", ON)
    assert (status < 2, bool(out.strip())) == (True, True), err
    return [line for line in out.splitlines() if len(line) > COLUMNS]


@pytest.fixture(params=["demo", "new"])
def farm(
    request: pytest.FixtureRequest,
    call: Call,
    demo_of: Callable[[date], Path],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> str:
    """The farm whose sheets are measured, in this folder; the new one has a long note on record."""
    if request.param == "demo":
        monkeypatch.chdir(demo_of(ON).parent)
        return demo_of(ON).name
    monkeypatch.chdir(tmp_path)
    assert call("new", "new.toml")[0] == 0
    note = "cut from the row along the lane, where the wood was ripe down to the base and free of any mildew"
    assert call("note", "new.toml", "elder-1", note, "--on", ON)[0] == 0
    return "new.toml"


def test_every_sheet_keeps_within_a_page(call: Call, farm: str):
    found = {}
    for sheet in SHEETS:
        name, *options = sheet.split()
        if lines := wide(call, name, farm, *options):
            found[sheet] = lines
    assert found == {}


def test_the_pages_of_species_keep_within_a_page(call: Call, demo_of: Callable[[date], Path]):
    pages = [("species", name, demo_of(ON)) for name in ("hazel", "gooseberry", "walnut")]
    assert [line for words in (*pages, ("species", "hazel")) for line in wide(call, *words)] == []
    assert [line for line in call("species")[1].splitlines() if len(line) > COLUMNS] == []


def test_a_page_of_a_species_says_what_its_figures_rest_on_and_after_what_it_bears(call: Call):
    out = call("species", "gooseberry", "--on", ON)[1]
    assert "bears 2 to 4 years after a cutting or layer" in " ".join(out.split())
    assert "90 to 100 % between batches" in " ".join(out.split())
    assert out.count("from memory: the authors' own estimate") == 1


def test_the_week_names_the_plants_that_each_caution_is_of(call: Call, demo_of: Callable[[date], Path]):
    told: list[str] = []
    for on in (ON, date(2027, 2, 9), date(2027, 10, 5)):
        out = call("week", demo_of(ON), "--on", on)[1]
        told += [line for line in out.partition("OF THESE PLANTS")[2].splitlines() if line.startswith("  ! ")]
    assert told
    assert [line for line in told if ": " not in line] == []
    cautions = [line.partition(": ")[2] for line in told]
    assert "" not in cautions
