"""Which entries stand: what was undone is left out, and each is as its corrections say it.

What stood before is gone on from: a new entry costs no more than itself, an undo as much as lies behind what it undoes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain

from engine.journal.corrections import CORRECT, corrected
from engine.journal.entry import Entry
from engine.reading.frozen import dataclass, field
from engine.reading.log import begins, lasting, onward


@dataclass(frozen=True, slots=True)
class Stand:
    """The entries of a journal, and those of them that stand."""

    entries: Sequence[Entry] = ()
    standing: Sequence[Entry] = ()
    undos: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """What each undo takes back, by the undo's id."""
    corrections: tuple[Entry, ...] = ()
    """Of the entries, whether they stand or not."""
    fallen: frozenset[str] = frozenset()
    """The ids that undos take back, and of the undos that do not stand."""
    onto: Sequence[Entry] = field(default=(), compare=False, repr=False)
    """What stood before, where these were found from it: so many of them, from the first, are the same here."""
    kept: int = field(default=0, compare=False, repr=False)


def standing(entries: Sequence[Entry]) -> Sequence[Entry]:
    """The entries less those undone, as their corrections say them, in the order given.

    The undos and the corrections that stand are among them.

    An entry of kind "undo" undoes the entries that `taken_back` names, as long as it is not itself undone. The
    order does not matter, for a clock that is wrong may date an undo before what it undoes. Undos that undo one
    another in a ring, which no sequence of acts makes, do not stand.
    """
    return stand(entries).standing


def stand(entries: Sequence[Entry], before: Stand | None = None, onto: Sequence[Entry] | None = None) -> Stand:
    """The entries with those that stand. With `before`, of entries that began alike: the same, and sooner.

    `onto` are those that the entries are known to go on from: where they are the ones of `before`, nothing is compared.
    """
    entries = lasting(entries)
    if before is not None and (onto is before.entries or begins(entries, before.entries)):
        return before if len(entries) == len(before.entries) else _further(entries, before)
    marks = [entry for entry in entries if entry.kind == "undo" or entry.kind == CORRECT]
    undos = {entry.id: taken_back(entry) for entry in marks if entry.kind == "undo"}
    corrections = tuple(entry for entry in marks if entry.kind == CORRECT)
    fallen = _fallen(undos)
    left = [entry for entry in entries if entry.id not in fallen] if fallen else entries
    now = [entry for entry in corrections if entry.id not in fallen]
    return Stand(entries, tuple(corrected(left, now)) if now else tuple(left), undos, corrections, fallen)


def _further(entries: Sequence[Entry], before: Stand) -> Stand:
    """As `stand`, where the entries go on from those before."""
    known = len(before.entries)
    new = entries[known:]
    undos = {**before.undos, **{entry.id: taken_back(entry) for entry in new if entry.kind == "undo"}}
    corrections = (*before.corrections, *(entry for entry in new if entry.kind == CORRECT))
    fallen = _fallen_further(before, undos) if len(undos) > len(before.undos) else before.fallen
    then = {entry.id for entry in before.corrections} - before.fallen
    changed = {entry.id for entry in corrections if (entry.id in then) == (entry.id in fallen)}
    touched = {str(entry.data.get("of")) for entry in corrections if entry.id in changed} | (fallen ^ before.fallen)
    touched -= {entry.id for entry in new}
    start, kept = known, len(before.standing)  # from where on anything is another than it was
    while touched and start:
        start -= 1
        touched.discard(entries[start].id)
        kept -= entries[start].id not in before.fallen
    left = [entry for entry in entries[start:] if entry.id not in fallen]
    ids = {entry.id for entry in left}
    now = [entry for entry in corrections if entry.id not in fallen and str(entry.data.get("of")) in ids]
    return Stand(
        entries,
        onward(before.standing, corrected(left, now) if now else left, kept),
        undos,
        corrections,
        fallen,
        before.standing,
        kept,
    )


def _fallen_further(before: Stand, undos: Mapping[str, tuple[str, ...]]) -> frozenset[str]:
    """As `_fallen` of these undos, which go on from those before."""
    new = undos.keys() - before.undos.keys()
    taken = {target for undo in new for target in undos[undo]}
    if taken.isdisjoint(undos) and before.fallen.isdisjoint(new):  # no undo is undone by another
        return before.fallen | taken
    near = _near(new, undos)
    return (before.fallen - {*near, *chain.from_iterable(near.values())}) | _fallen(near)


def _near(new: Iterable[str], undos: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    """Of the undos those on which it may rest what these do: which they take back, or which take back the same."""
    by: dict[str, list[str]] = {}
    for undo, taken in undos.items():
        for each in taken:
            by.setdefault(each, []).append(undo)
    found: dict[str, tuple[str, ...]] = {}
    left = [*new]
    while left:
        each = left.pop()
        if each in undos and each not in found:
            found[each] = undos[each]
            left += undos[each]
        left += [undo for undo in by.get(each, ()) if undo not in found]
    return found


def _fallen(undoes: Mapping[str, tuple[str, ...]]) -> frozenset[str]:
    """The ids that these undos take back, and of those of them that do not stand themselves."""
    undecided = Counter(chain.from_iterable(undoes.values()))  # undos of each, not yet known to stand or not
    fallen = {*undoes, *undecided}  # until an entry is known to stand
    undone: set[str] = set()
    ready = [key for key in undoes if not undecided[key]]
    while ready:
        key = ready.pop()
        if key not in undone:
            fallen.discard(key)
        for target in undoes.get(key, ()):
            was_open = undecided[target] > 0 and target not in undone
            undecided[target] -= 1
            if key not in undone:
                undone.add(target)
            if was_open and (target in undone or undecided[target] == 0):
                ready.append(target)
    return frozenset(fallen)


def taken_back(entry: Entry) -> tuple[str, ...]:
    """The ids of the entries that an undo takes back: its data name one under "of", or a list of those written at once.

    Nothing for any other entry.
    """
    if entry.kind != "undo":
        return ()
    of = entry.data.get("of")
    named = of if isinstance(of, list) else [of]
    return tuple(dict.fromkeys(each for each in named if isinstance(each, str)))
