"""Read one TOML table field by field: every fault is noted, and what cannot be used is left out."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from datetime import date, datetime
from typing import Any, cast

from engine.almanac.phrases import Phrase, PhraseFault, parse_phrase
from engine.reading.limits import LARGEST, LONGEST_DAYS, outside
from engine.reading.paths import Path
from engine.reading.problems import Findings, nearest
from engine.reading.texts import REMEDY, on_one_line, plain, unfit, unfit_within


class Table:
    """One table of a document and where it stands. `finish` reports the keys that nobody asked for."""

    def __init__(self, values: Mapping[str, Any], path: Path, findings: Findings) -> None:
        self.values = values
        self.path = path
        self.findings = findings
        self._known: dict[str, None] = {}
        if not all(map(str.isprintable, values)):
            for key in values:
                if not key.isprintable():
                    self.fault(key, f"the name of this key {unfit(key) or 'runs over a line'}", REMEDY)

    def fault(self, key: str | None, message: str, hint: str = "") -> None:
        """Note a fault of a key (None: of the table as a whole), with its remedy."""
        self.findings.add(self.path if key is None else (*self.path, key), message, hint)

    def has(self, key: str) -> bool:
        """Whether the key stands in the table."""
        self._known[key] = None
        return key in self.values

    def raw(self, key: str) -> Any:
        """The value of a key as TOML gives it; None where it is missing."""
        self._known[key] = None
        return self.values.get(key)

    def text(self, key: str, required: bool = False) -> str | None:
        """A text that is not blank, without spaces at its ends; None where it is missing, or a fault."""
        value = self.raw(key)
        if plain(value):  # nearly all
            return cast(str, value)
        if value is None:
            if required:
                self.fault(None, f'"{key}" is missing', f'add {key} = "…"')
            return None
        if not isinstance(value, str) or not value.strip():
            self.fault(key, f"{key} is a text in quotes, not {_say(value)}", f'write {key} = "…"')
            return None
        if wrong := unfit(value):
            self.fault(key, f"{key} {wrong}", REMEDY)
            return None
        return on_one_line(value)

    def flag(self, key: str) -> bool | None:
        """True or false; None where it is missing, or a fault."""
        value = self.raw(key)
        if value is not None and not isinstance(value, bool):
            self.fault(key, f"{key} is true or false, not {_say(value)}", f"write {key} = true or {key} = false")
            return None
        return value

    def number(self, key: str, low: float, high: float, required: bool = False) -> float | None:
        """A number from `low` to `high`; None where it is missing, or a fault."""
        value = self.raw(key)
        if value is None:
            if required:
                self.fault(None, f'"{key}" is missing', f"add {key} = a number from {low:.10g} to {high:.10g}")
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            remedy = f"write {key} = a number from {low:.10g} to {high:.10g}"
            self.fault(key, f"{key} is a number, not {_say(value)}", remedy)
            return None
        if not low <= value <= high:
            self.fault(key, f"{key} = {_say(value)} is out of range", f"it runs from {low:.10g} to {high:.10g}")
            return None
        return float(value)

    def whole(self, key: str, low: int, high: int, required: bool = False) -> int | None:
        """A whole number from `low` to `high`; None where it is missing, or a fault."""
        value = self.number(key, low, high, required)
        if value is not None and value != int(value):
            self.fault(key, f"{key} is a whole number, not {value:g}", "write it without a fraction")
            return None
        return None if value is None else int(value)

    def day(self, key: str) -> date | None:
        """A date, also as a text, in a year that can be meant; None where it is missing, or a fault."""
        value = self.raw(key)
        if value is None:
            return None
        remedy = f"write {key} = 2027-03-01 (year-month-day)"
        if isinstance(value, str):
            with suppress(ValueError):
                value = date.fromisoformat(value)
        if isinstance(value, datetime):
            value = value.date()
        if not isinstance(value, date):
            self.fault(key, f"{key} is a date, not {_say(value)}", remedy)
            return None
        if told := outside(value):
            self.fault(key, f"{key} = {told}", remedy)
            return None
        return value

    def texts(self, key: str) -> tuple[str, ...] | None:
        """A list of texts; a lone text counts as a list of one."""
        value = self.raw(key)
        if value is None:
            return None
        texts = [value] if isinstance(value, str) else value
        if isinstance(texts, list) and all(map(plain, texts)):
            return tuple(texts)
        if isinstance(texts, list) and all(isinstance(v, str) for v in texts):
            if wrong := unfit_within(texts):
                self.fault(key, f"a text of {key} {wrong}", REMEDY)
                return None
            return tuple(map(on_one_line, texts))
        self.fault(key, f"{key} is a list of texts, not {_say(value)}", f'write {key} = ["…", "…"]')
        return None

    def phrases(self, key: str) -> tuple[Phrase, ...] | None:
        """One phrase or a list of them; those that cannot be read are noted and left out. None where it is missing."""
        texts = self.texts(key)
        if texts is None:
            return None
        phrases = []
        for text in texts:
            try:
                phrases.append(parse_phrase(text))
            except PhraseFault as fault:
                self.fault(key, f"{key}: {fault}", fault.hint)
        return tuple(phrases)

    def choice(self, key: str, options: Iterable[str]) -> str | None:
        """One of the texts that may stand here; None where it is missing, or a fault."""
        value = self.text(key)
        options = tuple(options)
        if value is not None and value not in options:
            self.fault(
                key, f'{key} "{value}" is not known', nearest(value, options) or f"known here: {', '.join(options)}"
            )
            return None
        return value

    def days(self, key: str) -> tuple[int, int | None] | None:
        """`[least, most]`, or a number: at least so many and no most."""
        return self.days_of(self.raw(key), key)

    def days_of(self, value: Any, key: str) -> tuple[int, int | None] | None:
        """The value of a key as `days` reads it; None where there is none, or a fault."""
        if value is None:
            return None
        remedy = f"write {key} = [90, 120] (least, most) or {key} = 90 (at least)"
        if isinstance(value, int) and not isinstance(value, bool):
            pair: list[Any] = [value]
        elif isinstance(value, list) and len(value) == 2:
            pair = value
        else:
            self.fault(key, f"{key} is a number of days or a pair of them, not {_say(value)}", remedy)
            return None
        if not all(isinstance(v, int) and not isinstance(v, bool) and 0 <= v <= LONGEST_DAYS for v in pair):
            self.fault(key, f"{key}: days are whole numbers from 0 to {LONGEST_DAYS}, not {_say(value)}", remedy)
            return None
        if len(pair) == 2 and pair[0] > pair[1]:
            self.fault(key, f"{key} = {value} is the wrong way round", f"write {key} = [{pair[1]}, {pair[0]}]")
            return None
        return pair[0], (pair[1] if len(pair) == 2 else None)

    def tables(self, key: str) -> list[Table]:
        """The repeated tables of this name, each with its own place in the file."""
        value = self.raw(key)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            self.fault(key, f"{key} is a repeated table", f"write [[{self._named(key)}]]")
            return []
        return [Table(v, (*self.path, key, k), self.findings) for k, v in enumerate(value)]

    def table(self, key: str) -> Table | None:
        """The table of that name in this one; None where it is missing, or a fault."""
        value = self.raw(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.fault(key, f"{key} is a table, not {_say(value)}", f"write [{self._named(key)}]")
            return None
        return Table(value, (*self.path, key), self.findings)

    def _named(self, key: str) -> str:
        """A table in this one by the name that its header bears."""
        return ".".join(part for part in (*self.path, key) if isinstance(part, str))

    def finish(self, known: Collection[str] = ()) -> None:
        """Report the keys that nobody asked for and that are not known besides."""
        unasked = [key for key in self.values if key not in self._known and key not in known]
        if unasked:
            self._known.update(dict.fromkeys(known))
        for key in unasked:
            self.fault(key, f'"{key}" is not a key of this table', self._near(key))

    def _near(self, key: str) -> str:
        """The remedy for a key that is not known."""
        return nearest(key, self._known) or "take it out, or correct its name"


_SAID = 60
"""Characters of a wrong text that are told again."""


def _say(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        plain = len(value) <= 3 and not any(isinstance(item, list | dict) for item in value)
        return f"[{', '.join(map(_say, value))}]" if plain else f"a list of {len(value)}"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, int) and abs(value) > LARGEST:
        return f"a number above {LARGEST:,.0f}" if value > 0 else f"a number below -{LARGEST:,.0f}"
    if isinstance(value, str):
        told = on_one_line(value)
        return f'"{told}"' if len(told) <= _SAID else f'"{told[:_SAID]}…"'
    return str(value)
