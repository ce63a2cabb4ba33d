"""How much of a need is there, comes, and is short, in a few cells."""

from __future__ import annotations

from engine.needs.need_lines import NeedLine

CELLS = 8

THERE, LIKELY, LACKING = "■", "□", "·"

LEGEND = f"{THERE} sent or there   {LIKELY} coming, at the certainty asked for   {LACKING} short"


def covered_strip(line: NeedLine, cells: int = CELLS) -> str:
    """How much of a need is there, comes, and is short, in so many cells; what there is any of has one at least."""
    parts = [line.met + line.from_hand, line.to_come, line.short]
    total = sum(parts)
    if not total:
        return THERE * cells
    exact = [part * cells / total for part in parts]
    shown = [max(1, round(part)) if part else 0 for part in exact]
    while (over := sum(shown) - cells) > 0:  # the longest give way
        shown[max(range(3), key=lambda k: (shown[k] > 1, shown[k] - exact[k]))] -= 1
    while over < 0:
        shown[max(range(3), key=lambda k: exact[k] - shown[k])] += 1
        over += 1
    return "".join(sign * count for sign, count in zip((THERE, LIKELY, LACKING), shown, strict=True))
