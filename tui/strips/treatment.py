"""The bar of a lot under treatment: its warm part, its cold part, the day's place in them, its least and its most."""

from __future__ import annotations

from datetime import date, timedelta

from engine.views.cold import LOST, WARM, ColdLot

WARM_GONE, WARM_LEFT, COLD_GONE, COLD_LEFT, READY = ":", "≈", "·", "━", "╌"
HERE, LEAST, MOST, SEEN, DEAD, OUT = "●", "◇", "┤", "r", "x", "o"
LEGEND = (
    f"{WARM_GONE} {WARM_LEFT} warm, gone and left   {COLD_GONE} {COLD_LEFT} cold, gone and left   {OUT} outage\n"
    f"{HERE} today   {LEAST} minimum reached   {READY} ready   {MOST} too long   {SEEN} radicles   {DEAD} lost"
)


def bar(lot: ColdLot, today: date, cells: int) -> str:
    """The bar in so many cells, from the first warm or cold day to the last; blank where no date is known."""
    start, last = lot.phases[0].start, lot.phases[-1]
    least, most = last.after(last.lasts.least), last.after(last.lasts.most)
    if start is None or least is None or any(phase.start is None for phase in lot.phases):
        return " " * cells
    end = max(least, most or least, today if lot.begun else least)
    length = (end - start).days + 1

    def cell(day: date) -> int:
        return max(0, min(cells - 1, (day - start).days * cells // length))

    strip = []
    for n in range(cells):
        day = start + timedelta((2 * n + 1) * length // (2 * cells))
        phase = next(p for p in reversed(lot.phases) if p is lot.phases[0] or (p.start is not None and p.start <= day))
        gone = lot.begun and day < today
        if phase is last and day >= least and not gone:
            strip.append(READY)
        elif phase.name == WARM:
            strip.append(WARM_GONE if gone else WARM_LEFT)
        else:
            strip.append(COLD_GONE if gone else COLD_LEFT)
    for outage in lot.outages:
        strip[cell(outage.last)] = OUT
    if most is not None and most > least:
        strip[cell(most)] = MOST
    strip[cell(least)] = LEAST
    if lot.radicles is not None:
        strip[cell(lot.radicles)] = SEEN
    if lot.begun:
        strip[cell(lot.lot.given_up or today if lot.phase == LOST else today)] = DEAD if lot.phase == LOST else HERE
    return "".join(strip)
