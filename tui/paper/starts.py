"""How many to start by one way, as text and as JSON."""

from __future__ import annotations

from textwrap import wrap
from typing import Any

from engine.needs.sizing import Sizing
from engine.reading.said import percent, percent_given
from tui.paper.page import WIDTH
from tui.paper.ways import way_json, way_lines


def sizing_sheet(plant: str, found: Sizing) -> str:
    """How many to start by one way, what stands behind each share, and what other surenesses take."""
    way, start = found.way, found.way.starts
    assert start is not None
    sure = percent_given(found.sure)
    if not way.reaches(found.sure):
        sure = f"{percent_given(way.chance, 3)} certainty: one lot cannot reach {sure}"
    else:
        sure += " certainty"
    lines = wrap(f"Start {start.count:,} to have {found.want:,} {plant} with {sure}.", WIDTH)
    lines += wrap(f"{start.expected:,.1f} are expected, {start.surplus:,.1f} more than wanted.", WIDTH)
    lines += ["", *way_lines(way), ""]
    for do, learned in found.steps:
        lines += wrap(learned.says(do), WIDTH, initial_indent="  ", subsequent_indent="    ")
    lines += [""] if found.steps else []
    for level, count in found.others:
        more = count - start.count
        lines.append(f"  {percent(level)} sure: {count:,}" + (f" ({more:+,})" if more else ""))
    return "\n".join(lines).rstrip()


def sizing_json(found: Sizing) -> dict[str, Any]:
    start = found.way.starts
    assert start is not None
    return {
        "start": start.count,
        "sure": round(min(found.sure, found.way.chance), 6),
        "expected": round(start.expected, 6),
        "surplus": round(start.surplus, 6),
        "way": way_json(found.way),
        "steps": [
            {"step": do, "share": round(each.rate.mean, 4), "batches": each.batches, "kindred": each.kindred,
             "book": each.book}
            for do, each in found.steps
        ],
        "surenesses": [{"sure": level, "start": count} for level, count in found.others],
    }  # fmt: skip
