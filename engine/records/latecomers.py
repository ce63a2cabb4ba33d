"""A state with other batches and settings, as if they had been there from the start, without taking the journal anew.

A batch is there before whatever is told of it, wherever in the journal it stands: else a clock that runs slow would
lose what was told. But where nothing named it yet, it has touched nothing, and is put in, or taken out, as it is. So
with what is set: of all of it only what a place is called by was asked on the way.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from engine.farm.model import Batch, Farm
from engine.journal.entry import Entry
from engine.records.batches import added_batches, grown
from engine.records.entry_by_entry import State
from engine.records.known_names import Known
from engine.records.lots import Lot
from engine.records.makers import Makers
from engine.records.settings import as_set
from engine.records.stock import LotName
from engine.records.values import text_in


def with_ahead(state: State, farm: Farm, entries: Sequence[Entry]) -> State | None:
    """The state as it would be had these entries been heeded from the start, to go on from; the same comes of it.

    None where what was taken since may rest on those that are others now. The state must not be changed any more.
    """
    entries = tuple(entries)
    if entries == state.ahead:
        return state.copied()
    before, now = (_by_name(some) for some in (state.ahead, entries))
    others = {name for name in before.keys() | now.keys() if before.get(name) != now.get(name)}
    if any(_may_count(state, name) for name in others if name is not None):
        return None
    strays: list[str] = []
    makers = Makers()
    ground = as_set(farm.of_file, entries, strays)
    if any(ground.place_for(word) != place for word, place in state.placed.items()):
        return None
    stay = {e.id for name, some in now.items() if name not in others for e in some}
    added = (b for b in state.farm.batches if b.index < 0)
    known = {entry: b for b in added if (entry := state.makers.bears.get(("lot", b.id), "")) in stay}
    grown_now = grown(ground, added_batches(ground, entries, strays, makers, known))
    if state.outages and Known(grown_now).places != state.known.places:
        return None
    new = state.copied()
    new.ahead, new.farm, new.known = entries, grown_now, Known(grown_now)
    new.strays = [*strays, *state.strays[state.told_ahead :]]
    new.told_ahead = len(strays)
    names = {name for name in others if name}
    gone, come = ({entry.id for name in names for entry in some.get(name, ())} for some in (before, now))
    new.makers = new.makers.instead(gone, come, names, makers)
    _put_in(new, state, [b for b in grown_now.batches if b.index < 0 and b.id in names], names)
    return new


def _by_name(entries: Sequence[Entry]) -> dict[str | None, list[Entry]]:
    """The entries that add a batch, by its name; under None what is set besides."""
    found: dict[str | None, list[Entry]] = {}
    for entry in entries:
        found.setdefault(text_in(entry.data, "batch") if entry.kind == "batch" else None, []).append(entry)
    return found


def _may_count(state: State, name: str) -> bool:
    """Whether what was taken may be otherwise with a batch of that name, or without it: a part's name may be free."""
    return name in state.named or "/" in name


def _put_in(new: State, state: State, added: Sequence[Batch], names: Collection[str]) -> None:
    """Put new batches in among the others, and leave out those of these names that are none any more."""
    fresh = {batch.id: batch for batch in added}
    own = {batch.id for batch in new.farm.batches}
    gone = {b.id for b in state.farm.batches if b.id in names and b.id not in own}
    new.batches = {b.id: fresh.get(b.id) or state.batches[b.id] for b in new.farm.batches}
    lots: dict[str, Lot] = {}
    for batch in new.farm.batches:
        if batch.id in fresh:
            lots[batch.id] = Lot(batch.id, batch, batch.count)
            new.book.names[batch.id] = LotName(batch.species, batch.cultivar, "propagated")
        elif (lot := state.lots.get(batch.id)) is not None and lot.batch.id == lot.id:
            lots[batch.id] = lot
    new.lots = lots | {name: lot for name, lot in state.lots.items() if name not in lots and name not in gone}
    for name in gone & new.book.names.keys():
        del new.book.names[name]
