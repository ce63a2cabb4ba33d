"""The demo farm: there is work on its board all year round, nothing is wrong with it, and it shows every method."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from engine.acts.demo_history import rehearse
from engine.farm.model import Batch
from engine.farm.reading import read_farm
from engine.journal.entry import to_line
from engine.journal.store import journal_folder
from engine.needs.allotment import allot
from engine.needs.dispatch import parcels
from engine.protocols.model import Protocol
from engine.views.needs import overdue
from engine.views.week import week_view
from tests.sampled import sampled
from tests.tui.conftest import Call
from tests.tui.farms import open_house
from tui.demo import HISTORY, demo_file, fresh_copy
from tui.farmhouse import Farmhouse, refresh

WEEKS = [date(2026, 9, 7) + timedelta(7 * n) for n in range(51)]
"""The Mondays from September 2026 to August 2027."""


def batches() -> tuple[Batch, ...]:
    farm = read_farm(demo_file()).farm
    assert farm is not None
    return farm.batches


def month_of(protocol: Protocol, step: str) -> str:
    return " ".join(phrase.text for phrase in protocol.steps[protocol.index(step)].windows[0].opens)


def does(batch: Batch, *steps: str) -> bool:
    """Whether the batch goes through these steps in this order."""
    names = [step.do for step in batch.protocol.steps]
    places = [names.index(step) for step in steps if step in names]
    return len(places) == len(steps) and places == sorted(places)


def test_the_weeks_are_a_year_of_mondays():
    assert (WEEKS[0].weekday(), WEEKS[-1]) == (0, date(2027, 8, 23))


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Farmhouse:
    """The demo of the season of these weeks, on the disk; its file is the same on every day of them."""
    return open_house(fresh_copy(WEEKS[0], tmp_path_factory.mktemp("season")).path)


@pytest.mark.parametrize("day", sampled(WEEKS, 9), ids=str)
def test_every_week_of_the_year_has_work_on_its_board_and_no_problems(season: Farmhouse, day: date):
    history = b"".join(map(to_line, rehearse(season.reading.farm, day)))
    (journal_folder(season.path) / HISTORY).write_bytes(history)
    house = refresh(season)
    week = week_view(house.day(day))
    assert len([task for task in week.tasks if task.state != "done"]) >= 5
    assert (*house.problems(day), *house.troubles, *week.troubles, *week.lapses) == ()
    # a well-run farm: few things are late, and an order is late only where it is short
    assert sum(task.state in ("overdue", "missed") for task in week.tasks) <= 3
    allotted = allot(house.day(day))
    late = [line for line in allotted.needs if overdue(line, day)]
    assert all(line.short and line.met for line in late), late
    assert not [parcel for parcel in parcels(house.nursery, allotted, day) if parcel.blocked]


def test_what_was_promised_of_the_stock_has_gone_in_time(season: Farmhouse):
    """Each order leaves before it must, and what one is short of is owed for two weeks and then bought elsewhere."""
    sent = {}
    for day in (date(2027, 3, 21), date(2027, 4, 20), date(2027, 5, 8)):
        history = b"".join(map(to_line, rehearse(season.reading.farm, day)))
        (journal_folder(season.path) / HISTORY).write_bytes(history)
        lines = {line.need.id: line for line in allot(refresh(season).day(day)).needs}
        sent[day] = {name: (line.met, line.short) for name, line in lines.items() if line.met}
    assert sent == {
        date(2027, 3, 21): {"ORCHARD": (24, 0), "HEDGE": (85, 35)},
        date(2027, 4, 20): {"ORCHARD": (24, 0), "HEDGE": (85, 0)},
        date(2027, 5, 8): {"ORCHARD": (24, 0), "HEDGE": (85, 0), "MARKET": (40, 0)},
    }


@pytest.mark.parametrize("day", [date(2028, 2, 29), date(2027, 12, 31), date(2030, 9, 1), date(2025, 8, 31)], ids=str)
def test_the_demo_moves_to_the_season_of_any_day(tmp_path: Path, day: date):
    house = open_house(fresh_copy(day, tmp_path).path)
    assert house.problems(day) == ()
    assert house.troubles == ()
    assert all(entry.on <= day for entry in house.entries)
    week = week_view(house.day(day))
    assert len([task for task in week.tasks if task.state != "done"]) >= 5


def test_the_demo_on_a_day_is_the_same_every_time(tmp_path: Path):
    day = date(2027, 3, 1)
    one, two = (fresh_copy(day, tmp_path / name).path for name in ("one", "two"))
    assert one.read_bytes() == two.read_bytes()
    journals = [(path.parent / "quillmere.records" / "demo.jsonl").read_bytes() for path in (one, two)]
    assert journals[0] == journals[1]
    assert journals[0].count(b"\n") > 50


def test_nothing_is_written_to_the_demo_itself(call: Call, tmp_path: Path):
    before, beside = demo_file().read_bytes(), sorted(demo_file().parent.iterdir())
    path = Path(call("demo", "--write-only", "--folder", tmp_path / "d", "--on", "2027-03-01")[1].strip())
    assert call("note", path, "H26", "mine", "--on", "2027-03-01")[0] == 0
    assert demo_file().read_bytes() == before
    assert sorted(demo_file().parent.iterdir()) == beside


def test_a_demo_that_does_not_fit_on_the_disk_leaves_nothing_in_the_way(
    call: Call, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    folder, real = tmp_path / "d", Path.write_bytes
    demo = ("demo", "--write-only", "--folder", folder, "--on", "2027-03-01")

    def full(self: Path, data: bytes) -> int:
        real(self, data[:9])
        raise OSError(28, "No space left on device", str(self))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", full)
        status, _, err = call(*demo)
    assert (status, "No space left" in err) == (2, True)
    assert list(folder.iterdir()) == []
    assert call(*demo)[0] == 0


@pytest.mark.parametrize(
    "touch", ["farm", "history", "own entries", "own file", "old journal", "linked farm", "cut short"]
)
def test_a_demo_farm_that_was_touched_is_never_written_over(call: Call, tmp_path: Path, touch: str):
    folder = tmp_path / "d"
    demo = ("demo", "--write-only", "--folder", folder, "--on", "2027-03-01")
    path = Path(call(*demo)[1].strip())
    assert call(*demo)[0] == 0  # as nobody has touched it
    records = path.with_suffix(".records")
    match touch:
        case "farm":
            path.write_text(path.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
        case "history":
            (records / "demo.jsonl").write_bytes(b"")
        case "own entries":
            assert call("note", path, "H26", "mine", "--on", "2027-03-01")[0] == 0
        case "own file":
            path.unlink()
            (records / "untouched").unlink()
        case "old journal":
            path.unlink()
            records.rename(path.with_suffix(".journal"))
        case "linked farm":
            path.rename(tmp_path / "real.toml")
            path.symlink_to(tmp_path / "real.toml")
        case "cut short":
            (records / "untouched").unlink()
    before = {each: each.read_bytes() for each in folder.rglob("*") if each.is_file()}
    status, out, err = call(*demo)
    assert (status, out) == (2, "")
    assert "is not as the demo left it" in err
    assert {each: each.read_bytes() for each in folder.rglob("*") if each.is_file()} == before


@pytest.mark.parametrize(
    "method",
    ["hardwood cutting", "semi-hardwood cutting", "softwood cutting", "root cutting", "bench graft", "mound layer"],
)
def test_the_demo_has_a_batch_by(method: str):
    assert any(batch.method == method for batch in batches())


def test_the_demo_has_a_summer_bud():
    budded = [batch for batch in batches() if batch.method in ("chip bud", "T-bud")]
    assert budded
    assert any("summer" in month_of(b.protocol, "bud") for b in budded)


def test_the_demo_has_rhubarb_or_another_divided_in_spring_and_in_autumn():
    assert {batch.protocol.route for batch in batches() if batch.method == "division"} >= {"spring", "autumn"}


@pytest.mark.parametrize(
    ("what", "steps", "never"),
    [
        ("cold", ("stratify cold", "sow"), {"stratify warm"}),
        ("warm, then cold", ("stratify warm", "stratify cold", "sow"), set()),
        ("a soak", ("soak", "sow"), set()),
        ("scarification", ("scarify", "sow"), set()),
    ],
)
def test_the_demo_has_seed_that_needs(what: str, steps: tuple[str, ...], never: set[str]):
    seed = [batch for batch in batches() if batch.method == "seed"]
    assert any(does(b, *steps) and not never & {s.do for s in b.protocol.steps} for b in seed), what


def test_the_demo_has_seed_sown_outdoors_in_autumn():
    sown = [b for b in batches() if b.method == "seed" and "autumn" in b.protocol.route and does(b, "sow")]
    assert sown
    assert all("stratify cold" not in [s.do for s in b.protocol.steps] for b in sown)
    assert all(b.protocol.steps[b.protocol.index("sow")].place == "seed beds" for b in sown)
