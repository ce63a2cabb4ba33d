"""Read a farm file: all that can be understood, and everything that is wrong with it at once."""

from __future__ import annotations

import errno
from codecs import BOM_UTF8
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

import tomli

from engine.almanac.almanac import Site
from engine.almanac.marks import DEFAULTS, Definition, Definitions, circle, mark_name, unknown_marks
from engine.almanac.phrases import Phrase
from engine.almanac.windows import Window
from engine.farm.batches import called_by, check_drafts, latin_of, read_batches
from engine.farm.model import Farm, Standing
from engine.farm.places import read_hours, read_place
from engine.farm.planting import Planting, read_planting
from engine.farm.protocols import (
    FIGURES,
)
from engine.farm.site import read_site
from engine.farm.stock import Need, Opening, StockPlant, check_kinds, read_need, read_opening, read_stock_plant
from engine.farm.stock_plant_work import year_of
from engine.farm.unique_ids import asked_by_plantings, given_ids, had_twice, named
from engine.protocols.library import read_library
from engine.protocols.reading import forms_of, read_draft, read_marks, read_species
from engine.reading.files import read_whole
from engine.reading.frozen import dataclass, replace
from engine.reading.limits import LARGEST_FILE, MOST_MINUTES, SELDOMEST
from engine.reading.problems import Findings, Problem, located
from engine.reading.table import Table

if TYPE_CHECKING:
    from engine.farm.customers import Customer
    from engine.farm.prices import Price

_AS_UTF_8 = "save the file as UTF-8 in your editor"
_LONG = 100_000
"""Characters of a file."""
_SHORTER = "a number is too long, or lists are nested too deeply"


@dataclass(frozen=True, slots=True)
class Reading:
    """What a farm file gave: the farm, unless its site could not be understood, and its problems."""

    farm: Farm | None
    problems: tuple[Problem, ...]
    usable: bool = True
    """False where the file itself could not be read (missing, not text, not TOML)."""
    text: str = ""


def parsed(text: str) -> dict[str, Any]:
    """The tables of a file. One that is long is read by the standard library's own reader: tomli, which is compiled,
    would hold everything else in the program until it is through. Raises as tomli does."""
    if len(text) > _LONG:
        import tomllib

        with suppress(ValueError, RecursionError):  # what is wrong, and where, tomli tells
            return tomllib.loads(text)
    return tomli.loads(text)


def read_farm(path: Path) -> Reading:
    """Read and check a farm file. Never raises on what the file holds."""
    file = str(path)
    try:
        data = read_whole(path, LARGEST_FILE)
    except IsADirectoryError:
        return _unusable(file, 0, "this is a folder, not a farm file", "name the .toml file in it")
    except FileNotFoundError:
        return _unusable(file, 0, "there is no such file", "`widger new FILE` writes a first one")
    except PermissionError:
        return _unusable(file, 0, "no permission to read this file", "ask its owner, or change its permissions")
    except OSError as fault:
        if fault.errno == errno.ENODEV:
            return _unusable(file, 0, "this is a device, not a farm file", "name a .toml file")
        if fault.errno == errno.EFBIG:
            remedy = "keep in it what describes the farm; what happens there is recorded beside it"
            return _unusable(file, 0, f"the file is larger than {LARGEST_FILE // 1_000_000} MB", remedy)
        return _unusable(
            file,
            0,
            f"the file cannot be read: {fault.strerror}",
            "check that it is complete and its disk works",
        )
    try:
        text = data.removeprefix(BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        return _unusable(file, line, "this line is not UTF-8 text", _AS_UTF_8)
    if "\0" in text:  # most often UTF-16
        line = text.count("\n", 0, text.index("\0")) + 1
        return _unusable(file, line, "this line holds a NUL (U+0000): it is not UTF-8 text", _AS_UTF_8)
    try:
        document = parsed(text)
    except tomli.TOMLDecodeError as fault:
        from engine.farm.not_toml import not_toml

        return _unusable(file, *not_toml(text, str(fault)))
    except ValueError as fault:  # a whole number of thousands of digits
        return _unusable(file, 0, f"cannot be read as TOML: {fault}", _SHORTER)
    except RecursionError:
        return _unusable(file, 1, "cannot be read as TOML: nested too deeply", _SHORTER)
    return read_document(document, text, file)


def read_document(document: Mapping[str, Any], text: str, file: str) -> Reading:
    """Read a farm from a parsed document; `text` is where lines are looked up."""
    findings = Findings()
    root = Table(document, (), findings)
    farm = _read(root, file)
    problems = located(findings, file, text)
    return Reading(farm, problems, text=text)


def _read(root: Table, file: str) -> Farm | None:
    head = root.table("farm")
    name, units, week_starts = "", "metric", "monday"
    currency = registration = country = ""
    hours: tuple[float | None, ...] = (None,) * 12
    if head is not None:
        name = head.text("name") or ""
        units = head.choice("units", ("metric", "us")) or "metric"
        week_starts = head.choice("week_starts", ("monday", "sunday")) or "monday"
        hours = read_hours(head)
        currency, registration, country = (head.text(key) or "" for key in ("currency", "registration", "country"))
        head.finish()
    site_table = root.table("site")
    if site_table is None:
        root.fault(None, "the [site] table is missing", "add [site] with latitude, longitude and timezone")
    site = read_site(site_table, units) if site_table is not None else None

    place_tables, batch_tables = root.tables("place"), root.tables("batch")
    stock_tables, need_tables = root.tables("stock"), root.tables("need")
    twice = had_twice((("batches", "id", batch_tables), ("lots in stock", "lot", stock_tables)))
    twice |= had_twice((("places", "name", place_tables),)) | had_twice((("needs", "id", need_tables),))
    places = tuple(p for t in place_tables if (p := read_place(t)) is not None and id(t) not in twice)
    own_species = [(s, t) for t in root.tables("species") if (s := read_species(t)) is not None]
    drafts = [d for t in root.tables("protocol") if (d := read_draft(t, "farm")) is not None]
    standing = [(w, t) for n, t in enumerate(root.tables("standing")) if (w := _read_standing(t, n)) is not None]
    lots = given_ids(stock_tables, "lot", "S", (named(t, "id") for t in batch_tables))
    openings = [(o, t) for lot, t in zip(lots, stock_tables, strict=True) if (o := read_opening(t, lot)) is not None]
    ids = given_ids(need_tables, "id", "N")
    needs = [(n, t) for name, t in zip(ids, need_tables, strict=True) if (n := read_need(t, name)) is not None]
    check_kinds(needs, (held for held, _ in openings), forms_of(drafts))
    mothers = [(mother, t) for t in root.tables("stock_plant") if (mother := read_stock_plant(t)) is not None]
    designs = [(planting, t) for t in root.tables("planting") if (planting := read_planting(t, site)) is not None]
    priced: list[tuple[Price, Table]] = []
    if root.has("price"):
        from engine.farm.prices import read_prices  # few farms give them

        priced = read_prices(root.tables("price"))
    customers: tuple[Customer, ...] = ()
    if root.has("customer"):
        from engine.farm.customers import read_customers  # few farms name them

        customers = read_customers(root.tables("customer"), site)
    root.finish()

    wanted: dict[str, set[str]] = {}  # the methods by which each is raised; none for what is only held or needed
    raised = [(str(t.values.get("species", "")), str(t.values.get("method", ""))) for t in batch_tables]
    for latin, method in (*raised, *((d.species, d.method) for d in drafts)):
        wanted.setdefault(latin, set()).add(method)
    others = {o.species for o, _ in openings} | {n.species for n, _ in needs} | {m.species for m, _ in mothers}
    others |= {price.species for price, _ in priced if price.species}
    others = others.union(*(planting.species() for planting, _ in designs))
    wanted |= {latin: set() for latin in others if latin not in wanted}
    own_names = {name for s, _ in own_species for name in (s.latin, *s.common)}
    library = read_library(wanted, sources=FIGURES, own=own_names)
    species = {**library.species, **{s.latin: s for s, _ in own_species}}
    refinements: list[str] = []
    twice |= had_twice((("plantings", "name", [t for _, t in designs]),))
    twice |= had_twice((("stock plants", "id", [t for _, t in mothers]),))
    twice |= asked_by_plantings(need_tables, (planting for planting, t in designs if id(t) not in twice))
    batches = read_batches(batch_tables, drafts, library, species, refinements)
    batches = [batch for batch in batches if id(batch_tables[batch.index]) not in twice]
    check_drafts(drafts, batch_tables, library, species)
    slips: dict[str, str] = {}

    def settled(planting: Planting, table: Table) -> Planting:
        return planting.named(lambda name: latin_of(name, table, library, species, slips))

    def known_by(item: Opening | Need | StockPlant | Price, table: Table) -> str:
        return latin_of(item.species, table, library, species, slips)

    opening = tuple(replace(item, species=known_by(item, t)) for item, t in openings if id(t) not in twice)
    needed = tuple(replace(item, species=known_by(item, t)) for item, t in needs if id(t) not in twice)
    stock_plants = tuple(replace(item, species=known_by(item, t)) for item, t in mothers if id(t) not in twice)
    plantings = tuple(settled(planting, t) for planting, t in designs if id(t) not in twice)
    prices = tuple(replace(price, species=known_by(price, t)) if price.species else price for price, t in priced)
    needed = (*needed, *(need for planting in plantings for need in planting.needs()))
    marks: Mapping[str, Definition] = site.marks if site else {}
    defaults = site.defaults if site else DEFAULTS
    if site is None and site_table is not None:  # its marks are checked all the same
        marks = read_marks(site_table.table("marks"))
    if site_table is not None:
        _check_marks(site_table.table("marks"), (defaults, marks))
    for one, table in own_species:
        _check_marks(table.table("marks"), (defaults, marks, one.marks))
    for draft in drafts:
        own = species.get(draft.species)
        known = {**DEFAULTS, **marks, **(own.marks if own else {})}
        for fields, table in zip(draft.steps, draft.tables, strict=True):
            for key in ("opens", "closes", "best_until"):
                _check_phrases(fields.get(key, ()), known, table, key)
            for window in fields.get("windows", ()):
                _check_phrases((*window.opens, *window.closes), known, table, "windows")
    for work, table in standing:
        for key, phrases in (("opens", work.window.opens), ("closes", work.window.closes)):
            _check_phrases(phrases, {**DEFAULTS, **marks}, table, key)
    if site is None:
        return None
    all_standing = (*(work for work, _ in standing), *year_of(stock_plants))
    written = dict.fromkeys([*(name for name, _ in raised), *(draft.species for draft in drafts), *sorted(others)])
    called = called_by(written, library, species)
    species = {latin: one.called(called.get(latin, "")) for latin, one in species.items()}
    farm = Farm(
        file, name, site, units, week_starts, hours, places, all_standing, tuple(batches),
        species, opening, needed, stock_plants, tuple(refinements), tuple(drafts), plantings=plantings, prices=prices,
        currency=currency, customers=customers, registration=registration, country=country,
    )  # fmt: skip
    if site.coldest is not None:
        from engine.farm.hardiness import REMEDY, too_tender  # few farms say it

        for batch in batches:
            if tender := too_tender(farm, batch):
                batch_tables[batch.index].fault("species", f"batch {batch.id}: {tender}", REMEDY)
    return farm


def _read_standing(table: Table, index: int) -> Standing | None:
    do = table.text("do", required=True)
    place = table.text("place", required=True)
    opens, closes = table.phrases("opens") or (), table.phrases("closes") or ()
    every = table.whole("every_days", 1, SELDOMEST)
    minutes = table.number("minutes", 0, MOST_MINUTES)
    when_empty = table.flag("when_empty")
    table.finish()
    if not do or not place:
        return None
    always = when_empty is not False
    return Standing(do, place, Window(opens, closes), every or 7, minutes or 0.0, index=index, when_empty=always)


def _check_phrases(phrases: tuple[Phrase, ...], known: Mapping[str, Definition], table: Table, key: str) -> None:
    for phrase in phrases:
        if fault := unknown_marks(phrase, known):
            table.fault(key, f"{key}: {fault}", fault.hint)


def _check_marks(table: Table | None, layers: tuple[Definitions, ...]) -> None:
    """Check the marks of the uppermost layer, which the table gives."""
    if table is None:
        return
    known = {name: definition for layer in layers for name, definition in layer.items()}
    for key in table.values:
        definition = layers[-1].get(mark_name(key))
        if definition is None:
            continue
        where = tuple(p for p in (definition.where_comes, definition.where_never) if p is not None)
        _check_phrases((*definition.phrases, *where), known, table, key)
        if found := circle(layers, mark_name(key)):
            table.fault(
                key, f'mark "{key}" depends on itself: {" → ".join(found)}', "base it on frost, light or a date"
            )


def _unusable(file: str, line: int, message: str, hint: str = "") -> Reading:
    return Reading(None, (Problem(file, line, message, hint),), usable=False)


__all__ = ["Reading", "Site", "read_document", "read_farm"]
