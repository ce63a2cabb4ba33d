"""Needs, promises, ways, orders and the review as plain text for the wall: within 80 columns, no colour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from textwrap import wrap

from engine.farm.model import Farm
from engine.needs.allotment import NeedLine
from engine.needs.coverage import Coverage, Fallback, PlantingLine, PositionLine
from engine.needs.orders import OrderLine
from engine.needs.promising import Offer
from engine.needs.review import KindReview, StepReview
from engine.needs.sizing import Sizing
from engine.needs.ways import Split, Way, say_start
from engine.schedule.room import say_room
from tui.paper.sheets import WIDTH, day, hours_cell


def needs_sheet(farm: Farm, covered: Coverage, troubled: Sequence[str]) -> str:
    """Every need with what covers it, the plantings with their odds, and lots in trouble."""
    lines = [f"{farm.name or 'Farm'} · needs on {day(covered.on, True)}", ""]
    if not covered.needs:
        lines.append("Nothing is needed: the farm has no [[need]] and no [[planting]].")
    else:
        lines.append(f"{'by':>11}  {'wanted':>6} {'gone':>5} {'on hand':>7} {'coming':>6} {'short':>6}  need, plant")
    for line in covered.needs:
        lines += _need_lines(line)
    for planting in covered.plantings:
        lines += _planting_lines(planting)
    if troubled:
        lines += ["", *wrap(f"! missed their window, or no year fits: {', '.join(troubled)}", WIDTH)]
    if covered.short():
        lines += ["", *wrap("widger ways SPECIES COUNT --by DATE shows how what is short can still be had.", WIDTH)]
    return "\n".join(line.rstrip() for line in lines)


def _need_lines(line: NeedLine) -> list[str]:
    need = line.need
    by = day(need.by, True) if need.by else "whenever"
    who = f" for {need.who}" if need.who and need.who not in need.id else ""
    what = f"{need.id}: {plant_of(line)}{who}"
    counts = f"{need.count:>6} {line.met or '-':>5} {line.from_hand or '-':>7} {line.to_come or '-':>6}"
    head = f"{by:>11}  {counts} {line.short or '-':>6}  "
    first, *rest = wrap(what, WIDTH - len(head)) or [""]
    told = [head + first, *(" " * len(head) + more for more in rest)]
    if line.to_come or (line.short and line.chance > 0):
        told += _more(f"met whole with {line.chance:.0%}, {need.sure:.0%} asked")
    if lots := ", ".join(f"{count} of {lot}" for lot, count in line.taken):
        told += _more(lots)
    return told


def plant_of(line: NeedLine) -> str:
    """The plant of a need with its cultivar and form."""
    plant = f"{line.plant} {line.need.cultivar}".rstrip()
    return f"{plant}, {line.need.form}" if line.need.form else plant


def _planting_lines(line: PlantingLine) -> list[str]:
    planting = line.planting
    count = sum(here.position.count for here in line.positions)
    when = f", by {day(planting.by, True)}" if planting.by else ""
    short = sum(each.short for each in line.needs)
    lack = f"; {short} plants short" if short else "; all its plants are covered"
    title = f"{planting.name.upper()}{when}: {count} position{'s' if count != 1 else ''}{lack}"
    told = ["", *wrap(title, WIDTH)]
    years = [year for year, _ in next((here.odds for here in line.positions if here.odds), ())]
    if years:
        told.append(f"  {'bears by':<31}" + "".join(f"{year:>9}" for year in years))
    for here in line.positions:
        told += _position_lines(here)
    if years:
        alone = "".join(f"{line.bearing(year)[0]:>9.1f}" for year in years)
        covered = "".join(f"{line.bearing(year)[1]:>9.1f}" for year in years)
        told += [f"  {'positions bearing, alone':<31}{alone}", f"  {'with their understudies':<31}{covered}"]
    return told


def _position_lines(line: PositionLine) -> list[str]:
    here = line.position
    told = []
    first, *rest = wrap(f"{here.count} {line.plant}", 30)
    odds = line.odds or ()
    told.append(f"  {first:<31}" + "".join(f"{found.alone:>9.0%}" for _, found in odds))
    told += [f"  {more}" for more in rest]
    if not odds:
        told[0] += "years to bearing are not known"
    if here.understudies:
        names = ", ".join(
            f"{u.count if u.count > 1 else ''} {u.species} {u.cultivar}".strip() for u in here.understudies
        )
        first, *rest = wrap(f"with {names}", 28)
        told.append(f"    {first:<29}" + "".join(f"{found.covered:>9.0%}" for _, found in odds))
        told += [f"    {more}" for more in rest]
    if line.told:
        told += wrap(f"! {line.told}", WIDTH, initial_indent="    ", subsequent_indent="      ")
    return told


def fallback_sheet(farm: Farm, lot: str, found: Sequence[Fallback], width: int = WIDTH) -> str:
    """What falls short without a lot, and which ways still meet it."""
    lines = [f"{farm.name or 'Farm'} · should {lot} be lost", ""]
    if not found:
        lines.append("No need falls short by it.")
    for each in found:
        need = each.line.need
        by = f" by {day(need.by, True)}" if need.by else ""
        title = f"{need.id}: {plant_of(each.line)}{by}: {each.line.short} short, {each.more} more than with it"
        lines += wrap(title, width, subsequent_indent="  ")
        can = [way for way in each.ways if not way.reason]
        for way in can:
            lines += _way_lines(way, width)
        if not can:
            lines.append("  no way meets it by then; buy in, or tell the customer")
        lines.append("")
    return "\n".join(lines).rstrip()


def offer_sheet(farm: Farm, found: Offer) -> str:
    """How many can be promised, and what that rests on."""
    need, said = found.need, found.promise
    plant = farm.plant(need.species, need.cultivar) + (f", {need.form}" if need.form else "")
    by = f" by {day(need.by, True)}" if need.by else ""
    lines = wrap(f"{said.free} {plant} can be promised{by} with {need.sure * 100:.4g}% sureness.", WIDTH)
    lines.append(f"{said.expected:,.1f} are expected to be there; {said.promised} are promised already.")
    if said.promised:
        lines.append(f"What is promised already can be kept with {said.kept:.0%}.")
    if found.shares:
        lines += ["", f"{'lot':<14} {'now':>6}  there"]
    for share in found.shares:
        when = "on hand" if share.ready is None else f"ready {day(share.ready, True)}"
        lines.append(f"{share.line.lot[:14]:<14} {share.count:>6}  {when}")
    if found.needs:
        lines += ["", *wrap(f"promised to: {', '.join(line.need.id for line in found.needs)}", WIDTH)]
    return "\n".join(lines)


SPREAD_LEAN = "spread over two, as few as are as sure"
SPREAD_HALF = "spread over two, half by each"


def ways_sheet(
    title: str, by: date | None, sure: float, found: Sequence[Way], pairs: Sequence[Split], width: int = WIDTH
) -> str:
    """Every way side by side, then those that cannot be, then a need spread over two."""
    when = f" by {day(by, True)}" if by else ""
    lines = wrap(f"{title}{when}, {sure * 100:.4g}% sure", width)
    can = [way for way in found if not way.reason]
    if not found:
        lines.append("No way to raise it is known; write a [[protocol]] of your own.")
    elif not can:
        lines.append("No way has them by then.")
    for way in can:
        lines += ["", *_way_lines(way, width)]
    for lean, title in ((True, SPREAD_LEAN), (False, SPREAD_HALF)):
        if mine := [pair for pair in pairs if pair.lean == lean]:
            lines += ["", title.upper()]
        for pair in mine:
            lines += wrap(say_split(pair), width, initial_indent="  ", subsequent_indent="    ")
    if cannot := [way for way in found if way.reason]:
        lines += ["", "NOT SO"]
    for way in cannot:
        lines += wrap(f"{way.title}: {way.reason}", width, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)


def sizing_sheet(plant: str, found: Sizing) -> str:
    """How many to start by one way, what stands behind each share, and what other surenesses take."""
    way, start = found.way, found.way.starts
    assert start is not None
    sure = f"{found.sure * 100:.4g}%"
    lines = wrap(f"Start {start.count:,} to have {found.want:,} {plant} with {sure} sureness.", WIDTH)
    lines += wrap(f"{start.expected:,.1f} are expected, {start.surplus:,.1f} more than wanted.", WIDTH)
    lines += ["", *_way_lines(way), ""]
    for do, learned in found.steps:
        lines += wrap(learned.says(do), WIDTH, initial_indent="  ", subsequent_indent="    ")
    lines += [""] if found.steps else []
    for level, count in found.others:
        more = count - start.count
        lines.append(f"  {level:.0%} sure: {count:,}" + (f" ({more:+,})" if more else ""))
    return "\n".join(lines).rstrip()


def _way_lines(way: Way, width: int = WIDTH) -> list[str]:
    told = [f"  {way.title}"]
    ready = f"; ready {day(way.ready, True)} as {way.form}" if way.ready else ""
    told += wrap(f"{say_start(way)}{ready}", width, initial_indent="    ", subsequent_indent="    ")
    for text in say_way(way):
        told += wrap(text, width, initial_indent="    ", subsequent_indent="    ")
    return told


def say_way(way: Way, whole: bool = True) -> tuple[str, ...]:
    """What a way takes, in words: `start 318 cuttings, 9 h 12; enough come through with 90%`, and its notes.

    `whole`: done in one lot, whose room is known; in a part of it the room is not told.
    """
    if way.starts is None:
        return (way.reason,)
    expected = f"{way.starts.expected:,.0f} expected"
    seed = f" (about {_weight(way.seed_kg)})" if way.seed_kg is not None else ""
    told = [
        f"start {way.takes:,} {way.material}{seed}, {hours_cell(way.hours)}; {expected}, enough with {way.chance:.0%}"
    ]
    if way.cost is not None:
        told[0] += f"; {way.cost.says()}"
    if way.gives is not None:
        enough = "" if way.gives >= way.takes else ": too few"
        told.append(f"stock plants have {way.gives:,} {way.material} left that year{enough}")
    if whole and (room := say_room(way.room)):
        told.append(room)
    return (*told, *way.notes, *(way.overfull if whole else ()))


def say_split(pair: Split) -> str:
    """`hardwood cutting 159 + root cutting 190: falls short with 4.5%, in one 10%`."""
    one, two = pair.spread.two.lots
    names = f"{pair.one.title}, {one.count} + {pair.other.title}, {two.count}"
    costs = f"; costs {pair.cost.sum_only()}" if pair.cost is not None else ""
    if pair.lean:
        return f"{names}: {one.count + two.count:,} in all, as sure as {pair.one.takes:,} in one{costs}"
    return f"{names}: short with {pair.spread.two.short:.1%}; in one {pair.spread.one.short:.1%}{costs}"


def _weight(kg: float) -> str:
    return f"{kg:.2g} kg" if kg >= 1 else f"{kg * 1000:.2g} g" if kg < 0.1 else f"{round(kg * 1000)} g"


def orders_sheet(farm: Farm, lines: Sequence[OrderLine], today: date, width: int = WIDTH) -> str:
    """What to buy, by when, and what has come."""
    told = [f"{farm.name or 'Farm'} · to buy, on {day(today, True)}"]
    if not lines:
        return "\n".join((*told, "", "Nothing is to be bought."))
    for line in lines:
        by = f", first by {day(line.order_by, True)}" if line.order_by else ""
        plant = f" for {line.plant}" if line.plant else ""
        how = f"{line.to_order} to order{by}" if line.to_order else line.state
        told += ["", *wrap(f"{line.item.upper()}{plant}: {line.count}, {how}", width)]
        for part in line.parts:
            best = f" (best by {day(part.best_by, True)})" if part.best_by else ""
            when = f"by {day(part.order_by, True)}{best}" if part.state == "to order" and part.order_by else part.state
            came = f", {part.said_came}" if part.said_came else ""
            wanted = f", wanted {day(part.wanted, True)}" if part.wanted and not part.came else ""
            note = f"; {part.note}" if part.note else ""
            text = f"{part.count:>6} {part.lot} {part.plant}".rstrip() + f": {when}{came}{wanted}{note}"
            told += wrap(text, width, initial_indent="  ", subsequent_indent=" " * 9)
    return "\n".join(told)


def review_sheet(farm: Farm, year: int, kinds: Iterable[KindReview]) -> str:
    """The year by species and method: each step planned against actual, then what to change."""
    told = [f"{farm.name or 'Farm'} · {year} looked back on: planned against actual"]
    for kind in kinds:
        route = f", {kind.route}" if kind.route else ""
        title = f"{kind.plant.upper()} · {kind.method}{route} · {', '.join(kind.batches) or 'nothing done'}"
        told += ["", *wrap(title, WIDTH)]
        told.append(f"  hours planned {kind.hours_planned:.1f}, by what was done {kind.hours:.1f}")
        if kind.steps:
            told.append(f"  {'':<20} {'in':>7} {'through':>8} {'planned':>8} {'actual':>7} {'next':>6}  days after aim")
        told += [_step_line(step) for step in kind.steps]
        for change in kind.change:
            told += wrap(f"> {change}", WIDTH, initial_indent="  ", subsequent_indent="    ")
    if len(told) == 1:
        told += ["", "Nothing was done in it."]
    return "\n".join(line.rstrip() for line in told)


def _step_line(step: StepReview) -> str:
    late = "" if step.late is None else f"{step.late:+.0f}".replace("+0", "0").replace("-0", "0")
    planned, actual, following = (
        "" if share is None else f"{share:.0%}" for share in (step.planned, step.actual, step.learned)
    )
    counts = f"{step.into:>7} {step.through:>8} {planned:>8} {actual:>7} {following:>6}"
    return f"  {step.do[:20]:<20} {counts}  {late}"


def _more(text: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent=" " * 13, subsequent_indent=" " * 13)
