"""The farm as it lies on the disk: its file read, its journal applied, and entries written to it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from datetime import date
from functools import partial
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from engine.farm.model import Farm
from engine.farm.reading import Reading, read_farm
from engine.journal.device_names import claimed_by_another, writer
from engine.journal.entry import Entry
from engine.journal.merging import Journal, lines_of, read
from engine.journal.store import JOURNAL, RECORDS, append, journal_files, journal_folder
from engine.journal.undone import stand, standing
from engine.reading.frozen import dataclass, field, replace
from engine.reading.problems import Problem
from engine.records.makers import refer
from engine.records.records import Records, apply, entries_on
from engine.records.strays import Stray
from engine.schedule.nursery import Nursery, faults, idle, open_nursery
from engine.schedule.plan import Day, Plan, day_of
from tui import door

if TYPE_CHECKING:
    from engine.acts.action import Action

READ, TAKEN, PLANNED = "read", "taken", "planned"
Told: TypeAlias = Callable[..., None]
"""What takes how far the opening has come: in which of its parts, so many, and of how many where that is known."""
Stamp: TypeAlias = tuple[tuple[str, int, int], ...]
"""The state of a farm on the disk: its files' names, times and sizes."""


LARGE_FARM, LARGE_JOURNAL = 150_000, 2_000_000
"""From so many bytes of either on a farm is not read in the blink of an eye: some 1,500 batches, 10,000 entries."""


@dataclass(frozen=True, slots=True)
class Farmhouse:
    """A farm file and its journal, as they were when read; the batches that the journal adds are the farm's too."""

    path: Path
    reading: Reading
    farm: Farm
    entries: Sequence[Entry]
    nursery: Nursery
    journal: Journal = field(default_factory=Journal)
    until: date | None = None
    """Only what had happened by this day is heeded; None: all of it. `entries` are all of them in any case."""

    @property
    def records(self) -> Records:
        return self.nursery.records

    @property
    def troubles(self) -> tuple[Problem, ...]:
        """What is wrong with the journal: lines set aside, entries that fit nothing; looked up when it is asked."""
        return (*self.journal.faults, *_amiss(self.path), *_unfit(self.path, self.journal, self.records.strays))

    @property
    def standing(self) -> Sequence[Entry]:
        """The entries that stand, as they are corrected; of those after `until`, none that moves a count."""
        stood = self.records.stood
        found = stood.standing if stood is not None else standing(self.entries)
        return found if self.until is None else tuple(entries_on(found, self.until))

    def as_of(self, on: date) -> Farmhouse:
        """The farm with only what had happened by a day; this one where nothing was recorded of a later day."""
        known = self.records.fold
        if known.end.latest <= on if known is not None else all(entry.on <= on for entry in self.entries):
            return self
        records = apply(self.farm, entries_on(self.standing, on), before=self.records)
        return replace(self, nursery=open_nursery(self.farm, records, self.nursery), until=on)

    def watched(self) -> Records:
        """The records with the movements of every lot."""
        return apply(self.farm, self.standing, watch=None, before=self.records)

    def day(self, today: date, before: Day | None = None, tell: Told | None = None) -> Day:
        """The farm on a day; what stays as it was `before` is taken over."""
        return day_of(self.nursery, today, before, partial(tell, PLANNED) if tell else None)

    def plans(self, today: date) -> Sequence[Plan]:
        return self.day(today).plans

    def problems(self, today: date) -> tuple[Problem, ...]:
        """All that is wrong with the farm file, also what shows only when its batches are dated."""
        from engine.reading.toml_lines import line_finder

        found = list(self.reading.problems)
        dated, never = faults(self.nursery, today), idle(self.nursery, today)
        if not dated and not never:
            return tuple(found)
        line_of = line_finder(self.reading.text)
        for work, what in never:
            hint = "base it on a mark that comes here (`widger dates` lists them), or leave it out"
            line = line_of(("standing", work.index))
            found.append(Problem(str(self.path), line, f"{work.do} at {work.place} never falls due: {what}", hint))
        for batch, step, what in dated:
            at = line_of(("batch", batch.index)) if batch.index >= 0 else 0
            line = _line_of_step(self, batch.species, batch.method, step, what, line_of) or at
            hint = "change the step's opens or closes, or the farm's frost dates and marks"
            found.append(Problem(str(self.path), line, f"batch {batch.id}, {step}: {what}", hint))
        return tuple(dict.fromkeys(found))


def _line_of_step(
    house: Farmhouse, species: str, method: str, step: str, what: str, line_of: Callable[..., int]
) -> int:
    """The line of a step's window that the farm's own protocol writes, as far as the fault tells which; or 0."""
    for draft in house.farm.own:
        if draft.species == species and draft.method.lower() == method.lower():
            for values, table in zip(draft.steps, draft.tables, strict=True):
                if values["do"] == step and any(key in table.values for key in ("opens", "closes", "windows", "after")):
                    told = (
                        key
                        for key in ("opens", "closes", "windows", "after")
                        if any(text in what for text in _texts(table.values.get(key)))
                    )
                    return line_of((*table.path, *islice(told, 1)))
    return 0


def _texts(value: object) -> Iterator[str]:
    """Every text that a value of a farm file holds."""
    if isinstance(value, str) and value.strip():
        yield value.strip()
    for each in value if isinstance(value, list) else value.values() if isinstance(value, dict) else ():
        yield from _texts(each)


def enter(
    path: Path,
    on: date | None = None,
    keep: bool = False,
    known: tuple[Reading, Nursery] | None = None,
    tell: Told | None = None,
) -> Farmhouse | Reading:
    """Read a farm and its journal; the Reading alone, with its problems, where there is no farm to work with.

    Of a thermometer's record what came before the day `on` counts (None: today). With `keep`, what it takes to go on
    from these records is kept. A file that was just written is `known`: as it was read, and with what was found of it.
    How far it has come goes to `tell`.
    """
    reading, nursery = known or (read_farm(path), None)
    if reading.farm is None:
        return reading
    if reading.farm.site.record:
        from tui.thermometer import with_thermometer  # few farms keep one

        reading = with_thermometer(path, reading, reading.farm, on or door.today())
    assert reading.farm is not None
    journal = read(journal_folder(path), tell=partial(tell, READ) if tell else None)
    stood = stand(journal.entries)
    taken = partial(tell, TAKEN) if tell else None
    records = apply(reading.farm, stood.standing, None if keep else (), keep=keep, tell=taken, stood=stood)
    return _furnish(path, reading, journal, records, nursery)


def is_large(path: Path) -> bool:
    """Whether it takes long to read a farm and its journal, by their sizes."""
    try:
        journal = sum(file.stat().st_size for file in journal_files(journal_folder(path)))
        return path.stat().st_size > LARGE_FARM or journal > LARGE_JOURNAL
    except OSError:  # which reading it will tell
        return False


def again(house: Farmhouse, on: date | None = None) -> Farmhouse | Reading:
    """The farm as it lies on the disk now; where its file is as it was, the journal alone is read on."""
    if not house.farm.site.record:  # a thermometer's record may have grown
        with suppress(OSError, ValueError):
            if house.path.read_bytes().decode("utf-8-sig") == house.reading.text:
                return refresh(house)
    return enter(house.path, on, keep=True)


def refresh(house: Farmhouse, written: Journal | None = None) -> Farmhouse:
    """The same farm with its journal read again; what the almanac has found is kept where no new mark was seen.

    What is known to have been `written` since is not read again.
    """
    journal = read(journal_folder(house.path), written or house.journal)
    stood = stand(journal.entries, house.records.stood, journal.onto)
    records = apply(house.farm, stood.standing, None, house.records, keep=True, stood=stood)
    return _furnish(house.path, house.reading, journal, records, house.nursery)


def _furnish(path: Path, reading: Reading, journal: Journal, records: Records, before: Nursery | None) -> Farmhouse:
    farm = records.farm or reading.farm  # with the batches that were added at the screen
    assert farm is not None
    nursery = open_nursery(farm, records, before)
    return Farmhouse(path, reading, farm, journal.entries, nursery, journal)


def _unfit(path: Path, journal: Journal, strays: Iterable[str]) -> Iterator[Problem]:
    """What fits nothing, with the file and the line in which it stands."""
    about = [(stray, stray.entry if isinstance(stray, Stray) else "") for stray in strays]
    where = lines_of(journal, {entry for _, entry in about if entry})
    for stray, entry in about:
        file, line = where.get(entry, (path, 0))
        undo = f" (widger undo {path} {entry})" if entry else ""
        hint = f"correct the farm file; or, if it is right, undo this{undo} and record it again"
        yield Problem(str(file), line, str(stray), hint)


def record(
    path: Path,
    farm: Farm,
    make: Callable[[Nursery, Sequence[Entry]], Action],
    every: bool = False,
    tell: Callable[[str], None] | None = None,
) -> Entry:
    """Write one entry. `make` sees the journal as it stands under the lock, so that nothing is recorded twice.

    With `every`, it sees the entries that do not stand too, as undo and correction must. Raises what `make` raises
    (Refused), and JournalError where the entry cannot be written.
    """
    return record_all(path, farm, lambda nursery, entries: [make(nursery, entries)], every, tell)[0]


def record_all(
    path: Path,
    farm: Farm,
    make: Callable[[Nursery, Sequence[Entry]], Sequence[Action]],
    every: bool = False,
    tell: Callable[[str], None] | None = None,
    before: Farmhouse | None = None,
    then: Callable[[Journal], None] | None = None,
) -> tuple[Entry, ...]:
    """Write several entries in one append, all or none, as `record` writes one; one undo reverses them all.

    What the grower should know of how it was written goes to `tell`. What was read `before` makes it quick; the
    journal with what was written goes to `then`, for `refresh`.
    """
    from engine.acts.action import Refused
    from engine.acts.undoing import ids_at_once
    from engine.reading.texts import REMEDY, unfit_within

    folder = journal_folder(path)
    device = device_of(path)

    def written(entries: Sequence[Entry]) -> list[Entry]:
        known = before.records if before is not None else None
        stood = stand(entries, known.stood if known is not None else None)
        records = apply(farm, stood.standing, before=known, stood=stood)
        nursery = open_nursery(farm, records, before.nursery if before else None)
        actions = make(nursery, entries if every else stood.standing)
        first, at = door.new_id(device), door.now(entries[-1].at if entries else "")
        for action in actions:
            if wrong := unfit_within(dict(action.data)):
                raise Refused(f"a text that was given {wrong}", REMEDY)
        bears = nursery.records.bears
        told = zip(ids_at_once(first, len(actions)), actions, strict=True)
        return [Entry(each, at, a.on, a.kind, refer(a.kind, a.data, bears)) for each, a in told]

    known = before.journal if before else None
    machine = door.machine()
    return append(folder, device, written, machine=machine, process=door.PROCESS, tell=tell, before=known, then=then)


def device_of(path: Path) -> str:
    """The name under which this device writes to a farm's journal."""
    return writer(journal_folder(path), door.device(), door.machine())


def _amiss(path: Path) -> Iterator[Problem]:
    """What may go wrong with the journal that no entry shows: a name that two bear, a journal left beside a link."""
    folder = journal_folder(path)
    if claimed_by_another(folder, name := door.device(), door.machine()):
        told = f'another machine is also called "{name}"; this one writes to {device_of(path)}.jsonl'
        yield Problem(str(folder), 0, told, "give one of them a name of its own: set WIDGER_DEVICE")
    if path.is_symlink():
        for beside in (path.with_suffix(RECORDS), path.with_suffix(JOURNAL)):
            if beside.is_dir() and not (folder.is_dir() and beside.samefile(folder)):
                told = f"entries written through this link are not read: the farm's own are in {folder}"
                yield Problem(str(beside), 0, told, "move its files there, under other names where names clash")


def stamp(house: Farmhouse) -> Stamp:
    """The state of the farm file, its journal and its thermometer on the disk: names, times and sizes."""
    folder = journal_folder(house.path)
    files = [house.path]
    with suppress(OSError):
        files += journal_files(folder)
    if house.farm.site.record:
        files.append(house.path.parent / house.farm.site.record)
    found = []
    for file in files:
        try:
            told = file.stat()
            found.append((file.name, told.st_mtime_ns, told.st_size))
        except OSError:
            continue
    return tuple(found)
