"""A table of stock to be taken in: every row is checked before the first is written, and all faults are told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from engine.acts.action import Action, Refused
from engine.acts.find_in_stock import Ledger, find_form, find_place, find_species
from engine.reading.frozen import dataclass, replace
from engine.reading.limits import MOST_HELD
from engine.reading.problems import nearest, with_hint
from engine.reading.written import read_whole
from engine.records.stock import ORIGINS

NEEDED = ("lot", "species", "form", "place", "on_hand")
COLUMNS = (
    "lot", "species", "cultivar", "form", "grade", "place", "on_hand", "going", "promised", "free", "doubtful", "unit",
    "origin", "from",
)  # fmt: skip
"""As the table of the stock is printed. Going, promised and free are worked out anew, and not read."""


@dataclass(frozen=True, slots=True)
class TableFault:
    """What is wrong: the row (the header is row 1), the column (empty: the whole row), the reason and a remedy."""

    row: int
    column: str
    message: str
    hint: str = ""

    def __str__(self) -> str:
        where = f"row {self.row}" + (f", {self.column}" if self.column else "")
        return with_hint(f"{where}: {self.message}", self.hint)


def by_columns(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    columns: Sequence[str],
    needed: Sequence[str],
    faults: list[TableFault],
) -> Iterator[tuple[int, dict[str, str]]]:
    """The rows that hold anything, by their numbers (the header is row 1); what is wrong with one goes to the faults.

    Raises Faulty where the header is wrong: a column that is not known, stands twice or is missing.
    """
    names = [name.strip().lower() for name in header]
    wrong = [TableFault(1, name, "unknown column", nearest(name, columns)) for name in names if name not in columns]
    wrong += [TableFault(1, name, "this column is missing") for name in needed if name not in names]
    wrong += [TableFault(1, name, "this column appears twice") for name in columns if names.count(name) > 1]
    if wrong:
        raise Faulty(wrong)
    for number, cells in enumerate(rows, 2):
        if len(cells) > len(names):
            faults.append(TableFault(number, "", f"it has {len(cells)} cells, the header {len(names)}"))
        elif any(cell.strip() for cell in cells):
            yield number, {name: cell.strip() for name, cell in zip(names, cells, strict=False)}


def take_in(ledger: Ledger, header: Sequence[str], rows: Sequence[Sequence[str]]) -> list[Action]:
    """The entries that take in a table, or Faulty with all that is wrong. A lot that is there already is a fault."""
    faults: list[TableFault] = []
    actions: list[Action] = []
    doubts: dict[str, Action] = {}
    plants: dict[str, tuple[str, str]] = {}
    found: dict[tuple[str, str], str | TableFault] = {}
    for number, row in by_columns(header, rows, COLUMNS, NEEDED, faults):
        before = len(faults)
        told = _checked(ledger, row, number, faults, found)
        lot, plant = row["lot"], (told["species"], row.get("cultivar", ""))
        if lot in ledger.now.names:
            faults.append(
                TableFault(number, "lot", f"there is already a lot {lot}", "count it, or give this one another name")
            )
        elif lot and plants.setdefault(lot, plant) != plant:
            faults.append(TableFault(number, "lot", f"lot {lot} is a different plant in a row above"))
        if len(faults) > before:
            continue
        data = {
            "lot": lot, "species": told["species"], "cultivar": plant[1], "form": told["form"],
            "grade": row.get("grade", ""), "place": told["place"], "count": int(row["on_hand"]),
            "origin": row.get("origin") or "bought",
        }  # fmt: skip
        data |= {name: row[name] for name in ("from", "unit") if row.get(name)}
        actions.append(Action("receive", ledger.on, data))
        if row.get("doubtful", "").lower() in ("yes", "y"):
            doubts[lot] = Action("doubt", ledger.on, {"lot": lot})
    if not actions and not faults:
        faults.append(TableFault(2, "", "the table has no rows"))
    if faults:
        raise Faulty(faults)
    return [*actions, *doubts.values()]


class Faulty(ValueError):
    """A table that cannot be taken in, with all its faults."""

    def __init__(self, faults: Sequence[TableFault]) -> None:
        super().__init__("\n".join(map(str, faults)))
        self.faults = tuple(faults)


def _checked(
    ledger: Ledger,
    row: Mapping[str, str],
    number: int,
    faults: list[TableFault],
    found: dict[tuple[str, str], str | TableFault],
) -> dict[str, str]:
    """The row's species, form and place by their own names; what is wrong goes to the faults."""
    told = {}
    for column, find in (("species", find_species), ("form", find_form), ("place", find_place)):
        text = row.get(column, "")
        if (column, text) not in found:
            try:
                found[column, text] = find(ledger, text)
            except Refused as refusal:
                found[column, text] = TableFault(number, column, str(refusal), refusal.hint)
        name = found[column, text]
        if isinstance(name, TableFault):
            faults.append(replace(name, row=number))
        told[column] = name if isinstance(name, str) else ""
    if not row.get("lot"):
        faults.append(TableFault(number, "lot", "a lot needs a name"))
    count = row.get("on_hand", "")
    if not 1 <= (read_whole(count) or 0) <= MOST_HELD:
        faults.append(TableFault(number, "on_hand", f'"{count}" is not a whole number, 1 or more'))
    if (origin := row.get("origin", "")) and origin not in ORIGINS:
        faults.append(TableFault(number, "origin", f'origin "{origin}" is not known', nearest(origin, ORIGINS)))
    if (doubtful := row.get("doubtful", "").lower()) not in ("", "yes", "no", "y", "n"):
        faults.append(TableFault(number, "doubtful", f'"{doubtful}" is neither yes nor no'))
    return told
