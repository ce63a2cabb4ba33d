"""The ids that are offered: free here and, where another device writes too, there: they carry this one's name."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from engine.journal.device_names import is_of, of_device
from engine.journal.entry import Entry
from engine.protocols.names import plain
from engine.records.stock import Stock

REHEARSED = "demo"
"""The device of the demo farm's history: nobody writes on it."""


def mark_of(entries: Iterable[Entry], device: str) -> str:
    """What the ids that this device gives end with: "" while it is alone, else its name, for another gives ids too."""
    return next((device for e in entries if not is_of(e.id, device) and of_device(e.id) != REHEARSED), "")


def marked(name: str, mark: str) -> str:
    """An id with the device that gives it, `AE27-shed`, where it is to carry it."""
    return f"{name}-{mark}" if mark else name


def first_free(first: str, taken: Collection[str], mark: str = "") -> str:
    """`first`, or the first of `firstb`, `firstc`, … that is not among the plain ids `taken`, with its mark."""
    letters = ("", *"bcdefghijklmnopqrstuvwxyz", *(str(n) for n in range(100, 100 + len(taken) + 1)))
    ids = (marked(f"{first}{more}", mark) for more in letters)
    return next(each for each in ids if plain(each) not in taken)


def new_lot(stock: Stock, taken: Iterable[str] = (), mark: str = "") -> str:
    """The next free name for a lot that comes in: L1, then L2; L1-shed where another device writes too."""
    names = {*stock.names, *taken}
    number = 1
    while marked(f"L{number}", mark) in names:
        number += 1
    return marked(f"L{number}", mark)
