"""What the journal says of plantings that stand: what was planted where, and what each walk found.

The kinds of entries and their data:

    walked     planting, position (the id of a plant), state, one of STATES; cause of a death, one of CAUSES; note
    took_over  planting, position: an understudy has taken the place of its first choice

A plant is planted when a lot goes out to the need that asks for it (`plant_out`, in the order of the design), when the
farm file says so, or when a walk finds it. A `need` that names a planting and a position asks for a new plant there:
what goes out to it begins that plant anew. Of one day's walks the latest holds; a plant found alive after it was found
dead had not died.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from functools import lru_cache

from engine.farm.layout import Plant, plants_of
from engine.farm.model import Farm
from engine.farm.planting import Planting
from engine.journal.entry import Entry
from engine.reading.frozen import dataclass, replace
from engine.records.strays import stray
from engine.records.values import text_in

ONE_WALK = 60
"""Days within which what was seen belongs to the same walk."""
FOUND = ("alive", "bearing", "dead")
STATES = (*FOUND, "planted", "guard off", "guard on", "note")
"""What a walk may say of a plant."""
THINNED = "thinned"
CAUSES = ("browsed", "girdled", "mown", "drought", "frost", "disease", "shaded", "unknown", THINNED)
"""Of a death; what was thinned was taken out for the sake of its neighbour, and says nothing of survival."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What a walk found of a plant on a day: alive, bearing or dead."""

    day: date
    state: str
    cause: str = ""


@dataclass(frozen=True, slots=True)
class Life:
    """A plant at its spot: when it was planted, as what, from which lot, and what the walks found since."""

    planted: date | None = None
    form: str = ""
    lot: str = ""
    seen: tuple[Seen, ...] = ()
    guard: bool | None = None
    """Whether its guard was last found on; None: nobody has said."""
    notes: tuple[tuple[date, str], ...] = ()
    leads: bool = False
    """Whether it is an understudy that has taken the place of its first choice."""
    earlier: tuple[Life, ...] = ()
    """The plants that stood there before it."""
    out: bool = False
    """Whether its need asks for it no more: it went out of the stock, or the farm file says that it stands."""

    @property
    def state(self) -> str:
        """wanted, alive, bearing (it has borne) or dead."""
        if self.planted is None:
            return "wanted"
        if self.seen and self.seen[-1].state == "dead":
            return "dead"
        return "bearing" if any(each.state == "bearing" for each in self.seen) else "alive"

    def seen_lately(self, today: date) -> bool:
        """Whether a walk has seen it of late; one that was dead before it is not looked at again."""
        if not self.seen:
            return False
        return self.seen[-1].state == "dead" or self.seen[-1].day > today - timedelta(ONE_WALK)

    @property
    def last(self) -> date | None:
        """When it was last known how it stands."""
        return self.seen[-1].day if self.seen else self.planted

    @property
    def cause(self) -> str:
        """What it died of; nothing where it lives."""
        return self.seen[-1].cause if self.state == "dead" else ""

    @property
    def bore(self) -> date | None:
        """When it was first found bearing."""
        return next((each.day for each in self.seen if each.state == "bearing"), None)


def lives_of(farm: Farm, entries: Iterable[Entry], strays: list[str]) -> dict[str, dict[str, Life]]:
    """By planting and plant, those that were planted or walked; what fits nothing is told in `strays`.

    Entries are needs for a position, what went out to a need, walks and places taken over, in any order of their days.
    """
    entries = sorted(entries, key=lambda entry: entry.on)
    designs = {planting.name: planting for planting in farm.plantings}
    named = {text_in(e.data, "planting") for e in entries} & designs.keys()
    asking = {need.id: p.name for p in farm.plantings for need in p.needs()} if entries else {}
    named |= {asking[need] for e in entries if (need := str(e.data.get("need"))) in asking}
    written = [p.name for p in farm.plantings if any(here.planted for here in p.positions)]
    layouts = {name: {plant.id: plant for plant in plants_of(designs[name])} for name in named}
    told = {name for name in named if name not in written}
    lives = {name: dict(_as_written(designs[name])) for name in (*told, *written)}
    wanted: dict[str, tuple[str, str]] = {}  # the needs for one position each
    for entry in entries:
        data, name = entry.data, text_in(entry.data, "planting")
        if entry.kind == "plant_out":
            need = str(data.get("need"))
            if need in wanted:
                of, plant = wanted[need]
                lives[of][plant] = _anew(lives[of].get(plant), entry)
            elif need in asking:
                _fill(layouts[asking[need]], lives[asking[need]], need, entry)
            continue
        if name not in layouts:
            strays.append(stray(entry, name, f'no planting is called "{name}"'))
        elif (plant := text_in(data, "position")) not in layouts[name]:
            strays.append(stray(entry, name, f'no position is called "{plant}"'))
        elif entry.kind == "need":
            wanted[text_in(data, "need")] = name, plant
        elif entry.kind == "took_over":
            mine = lives[name]
            mine[plant] = replace(mine.get(plant, Life()), leads=True)
        elif fault := _walk(designs[name], layouts[name][plant], lives[name], entry):
            strays.append(stray(entry, f"{name} {plant}", fault))
    return lives


@lru_cache(maxsize=256)
def _as_written(planting: Planting) -> Mapping[str, Life]:
    """What the farm file says is planted."""
    alike = {plant.planted: Life(plant.planted, out=True) for plant in plants_of(planting)}
    return {plant.id: alike[plant.planted] for plant in plants_of(planting) if plant.planted is not None}


def _anew(before: Life | None, entry: Entry) -> Life:
    """A plant set out where another stood or was wanted."""
    earlier = (*before.earlier, replace(before, earlier=())) if before is not None and before.planted else ()
    form, lot = text_in(entry.data, "form"), text_in(entry.data, "lot")
    return Life(entry.on, form, lot, earlier=earlier, out=bool(lot), leads=before.leads if before else False)


def _fill(layout: Mapping[str, Plant], lives: dict[str, Life], need: str, entry: Entry) -> None:
    """What went out to a planting's need stands in the places that ask for it: the empty ones first, in order."""
    count = entry.data.get("count")
    mine = [plant.id for plant in layout.values() if plant.need == need]
    empty = [name for name in mine if name not in lives or lives[name].planted is None]
    found = [name for name in mine if name in lives and lives[name].planted is not None and not lives[name].out]
    left = count if isinstance(count, int) else 0
    for name in empty[:left]:
        lives[name] = _anew(lives.get(name), entry)
    for name in found[: max(0, left - len(empty))]:  # it was walked before its going out was recorded
        lives[name] = replace(lives[name], form=text_in(entry.data, "form"), lot=text_in(entry.data, "lot"), out=True)


def _walk(planting: Planting, plant: Plant, lives: dict[str, Life], entry: Entry) -> str:
    """Take up what a walk says of a plant; why that does not fit, or nothing."""
    state, cause, note = (text_in(entry.data, key) for key in ("state", "cause", "note"))
    if state not in STATES:
        return f'its state "{state}" is none of {", ".join(STATES)}'
    if cause and cause not in CAUSES:
        return f'its cause "{cause}" is none of {", ".join(CAUSES)}'
    life = lives.get(plant.id, Life())
    if note:
        life = replace(life, notes=(*life.notes, (entry.on, note)))
    if state == "planted":
        life = replace(_anew(life, entry), notes=life.notes)
    elif state in FOUND:
        if life.planted is None:
            due = planting.by if planting.by is not None and planting.by <= entry.on else entry.on
            life = replace(life, planted=due)
        seen = [each for each in life.seen if each.day != entry.on]
        if state != "dead":  # had it died before, it could not live now
            seen = [each for each in seen if each.state != "dead"]
        life = replace(life, seen=(*seen, Seen(entry.on, state, (cause or "unknown") if state == "dead" else "")))
    elif state != "note":
        life = replace(life, guard=state == "guard on")
    lives[plant.id] = life
    return ""


def asked_less(farm: Farm, lives: Mapping[str, Mapping[str, Life]]) -> Farm:
    """The farm whose plantings ask no more for what walks have found planted."""
    stands: dict[str, int] = {}
    for planting in farm.plantings:
        mine = lives.get(planting.name, {})
        if all(life.out for life in mine.values()):
            continue
        for plant in plants_of(planting):
            life = mine.get(plant.id)
            if life is not None and life.planted is not None and not life.out and plant.planted is None:
                stands[plant.need] = stands.get(plant.need, 0) + 1
    if not stands:
        return farm
    needs = tuple(
        left
        for need in farm.needs
        if (left := replace(need, count=need.count - stands.get(need.id, 0)) if need.id in stands else need).count > 0
    )
    return replace(farm, needs=needs, base=farm.written)
