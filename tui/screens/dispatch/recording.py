"""What the keys of the orders record: packed, sent or fetched, and another kind in the stead of what is short."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from engine.acts.undoing import take_back
from engine.needs.allotment import Allotment, StockLine
from engine.needs.dispatch import Parcel, ParcelLine
from engine.needs.packed_and_sent import pack, send, stand_ins, substitute
from tui.forms.choice import ChoiceScreen
from tui.forms.form import Field, FormScreen
from tui.forms.refused_field import Values
from tui.typed_numbers import whole_of
from tui.writing import Recorder, attempt, attempt_all, write_all

if TYPE_CHECKING:
    from engine.acts.action import Action
    from engine.journal.entry import Entry
    from engine.schedule.nursery import Nursery


def packed(screen: Recorder, parcel: Parcel) -> None:
    """What is ready of a parcel is packed; where it was already, that is taken back."""
    today = screen.app.today
    if not parcel.packed:
        if attempt_all(screen, lambda n, _: pack(n, parcel.who, today)):
            screen.tell(f"{parcel.who}: {parcel.ready} packed")
        return
    needs = {line.need for line in parcel.lines}
    latest: dict[str, Entry] = {}
    for entry in screen.app.house.entries:
        if entry.kind == "packed" and entry.data.get("need") in needs:
            latest[str(entry.data["need"])] = entry

    def make(nursery: Nursery, entries: Sequence[Entry]) -> Action:
        return take_back(nursery, entries, tuple(latest.values()))

    if attempt(screen, make, every=True):
        screen.tell(f"{parcel.who}: not packed after all")


def sent(screen: Recorder, parcel: Parcel, fetched: bool = False) -> None:
    today = screen.app.today
    if attempt_all(screen, lambda n, e: send(n, e, parcel.who, today, fetched)):
        short = f"; {parcel.short} still to go" if parcel.short else ""
        screen.tell(f"{parcel.who}: {parcel.ready} {'fetched' if fetched else 'sent'}{short}")


def instead(screen: Recorder, allotted: Allotment, line: ParcelLine) -> None:
    """Choose of what is free, then how many and the customer's word."""
    if not line.short:
        screen.tell(f"{line.need} is not short: nothing needs to go instead")
        return
    found = stand_ins(allotted, line)
    if not found:
        screen.tell("nothing that is free could go instead; r raises it")
        return
    keys = {f"c{n}": other for n, other in enumerate(found)}

    def chosen(key: str | None) -> None:
        if key in keys:
            _ask_word(screen, line, keys[key])

    options = [(key, f"{other.free} free: {other.name}, {_kind(other)}, {other.lot}") for key, other in keys.items()]
    screen.app.push_screen(
        ChoiceScreen(f"Substitute for {line.short} {line.plant} {line.cultivar}".rstrip(), options), chosen
    )  # fmt: skip


def _kind(line: StockLine) -> str:
    return ", ".join(part for part in (line.form, line.grade) if part)


def _ask_word(screen: Recorder, line: ParcelLine, other: StockLine) -> None:
    today = screen.app.today

    def save(values: Values) -> None:
        count = whole_of(values["count"], "how many")
        write_all(screen, lambda n, e: substitute(n, e, line.need, other, count, values["word"], today))

    fields: Sequence[Field] = (
        Field("count", "how many", str(min(line.short, other.free))),
        Field("word", "the customer's word: who agreed, and how", asked=True),
    )
    screen.app.push_screen(FormScreen(f"{other.name} instead, for {line.need}", fields, save))
