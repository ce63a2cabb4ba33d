"""A species as a page to pin up: protocols side by side, dates, figures with sources, cautions; and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from textwrap import wrap
from typing import Any

from engine.almanac.windows import Window
from engine.protocols.model import Days, Step
from engine.reading.said import percent
from engine.reading.units import say_lengths, say_seeds, say_warmth, say_warmths
from engine.views.species import ProtocolLines, SpeciesPage, sources_used
from tui.cells import (
    clipped,
    date_cell,
    iso,
)
from tui.paper.page import ADVISES, WIDTH, indented

FIGURES = {
    "opens": "opens",
    "closes": "closes",
    "windows": "from",
    "best_until": "best until",
    "wait_days": "wait",
    "lasts_days": "lasts",
    "best_days": "best",
    "temperature_c": "warmth",
    "survive": "survival",
    "runs": "varies from",
    "per_hour": "rate",
}


FROM_MEMORY = "from memory: the authors' own estimate"


def names_sheet(pages: Sequence[SpeciesPage]) -> str:
    """Every species on a line: the Latin name, the common ones, how many protocols."""
    lines = [f"{len(pages)} species, {sum(len(p.protocols) for p in pages)} protocols", ""]
    for page in pages:
        line = f"{page.species.latin:<32} {', '.join(page.species.common)}"
        lines.append(f"{line[: WIDTH - 4]:<{WIDTH - 4}} {len(page.protocols):>3}")
    return "\n".join(lines)


def species_sheet(pages: Sequence[SpeciesPage], sources: Mapping[str, Mapping[str, Any]], units: str = "metric") -> str:
    """The pages one after another in the farm's units, and the works they cite."""
    lines: list[str] = []
    for page in pages:
        lines += _page(page, units)
    if works := [key for key in sources_used(pages) if key in sources]:
        lines += ["SOURCES", ""]
        for key in works:
            work = sources[key]
            parts = (work.get("author"), work.get("year"), work.get("title"), work.get("publisher"))
            lines += indented(f"{key}: {', '.join(str(part) for part in parts if part)}", "  ")
    if any("from memory" in line for line in lines):
        lines += ["", FROM_MEMORY]
    lines += ["", ADVISES]
    return "\n".join(lines)


def _page(page: SpeciesPage, units: str) -> list[str]:
    species = page.species
    lines = [species.latin.upper(), *wrap(", ".join(species.common), WIDTH)]
    facts = [species.form]
    if species.height_m:
        facts.append(f"grows {say_lengths(species.height_m, units)} high")
    if species.spread_m:
        facts.append(f"spreads {say_lengths(species.spread_m, units)}")
    if species.spacing_m:
        facts.append(f"set {say_lengths(species.spacing_m, units)} apart")
    facts += [f"bears {a:g} to {b:g} years {_since(way, page)}" for way, (a, b) in species.bearing_years.items()]
    if species.seeds_per_kg:
        facts.append(say_seeds(species.seeds_per_kg, units))
    if species.seed_keeps_days is not None:
        facts.append(f"seed keeps {species.seed_keeps_days} days")
    if species.drying_kills:
        facts.append("drying kills the seed")
    if species.hardy_c is not None:
        facts.append(f"hardy to {say_warmth(species.hardy_c, units)}")
    lines += wrap("; ".join(fact for fact in facts if fact), WIDTH)
    figures, published = page.figures
    lines.append(f"{published} of {figures} figures are published; the rest is common practice or from memory")
    for caution in species.cautions:
        lines += indented(f"! {caution}", "  ")
    dated = any(p.placed for p in page.protocols)
    own = any(_known(p) for p in page.protocols)
    room = 36 if own else 43
    head = f"  {'method':<{room}}" + (f" {'starts':>9} {'ready':>9}" if dated else "") + "  comes through"
    lines += ["", f"{head}, yours" if own else head]
    for protocol in page.protocols:
        cells = f" {date_cell(protocol.starts):>9} {date_cell(protocol.ready):>9}" if dated else ""
        yours = f" {percent(protocol.yours.share):>5}" if protocol.yours and _known(protocol) else ""
        lines.append(f"  {clipped(protocol.title, room):<{room}}{cells}  {percent(protocol.share):>6}{yours}")
    for protocol in page.protocols:
        lines += ["", *_protocol(protocol, units)]
    return [*lines, ""]


def _since(way: str, page: SpeciesPage) -> str:
    """`from seed`; of what is not seed `after a cutting or layer`, by the methods that the page tells."""
    if way == "seed":
        return "from seed"
    lasts = dict.fromkeys(lines.protocol.method.split()[-1] for lines in page.protocols)
    told = [last for last in lasts if last in ("cutting", "layer", "graft", "bud", "division")]
    return (
        f"after a {' or '.join((', '.join(told[:-1]), told[-1]) if len(told) > 1 else told)}"
        if told
        else "after planting"
    )


def _known(lines: ProtocolLines) -> bool:
    """Whether batches of the grower's own, or of kindred plants, stand behind its share."""
    return lines.yours is not None and any(lines.yours.behind)


def _protocol(lines: ProtocolLines, units: str) -> list[str]:
    protocol, placed = lines.protocol, lines.placed
    yours = dict(lines.yours.learned) if lines.yours else {}
    told = [f"{protocol.method.upper()}{f', {protocol.route}' if protocol.route else ''}"]
    if protocol.note:
        told += indented(protocol.note, "  ")
    if lines.yours and _known(lines):
        told += indented(lines.yours.says(), "  ")
    for k, step in enumerate(protocol.steps):
        when = ""
        if placed is not None:
            when = f"{_day(placed.earliest[k])} to {_day(placed.latest[k])}"
        told.append(f"  {f'{step.do}, {step.place}':<46} {when:>30}".rstrip())
        shut = placed is not None and placed.spans[k] is not None and placed.best_until[k] is None
        told += indented("; ".join(_figures(step, units, best=not shut)), "      ")
        if (learned := yours.get(k)) and (learned.batches or learned.kindred):
            told += indented(learned.says(step.do), "      ")
        for caution in step.cautions:
            told += indented(f"! {caution}", "      ")
    return told


def _figures(step: Step, units: str, best: bool = True) -> list[str]:
    """The figures of a step, each with where it comes from; no `best` time where it closes before that."""
    window = step.windows[0] if len(step.windows) == 1 else Window()
    values = {
        "opens": " and ".join(p.text for p in window.opens),
        "closes": " or ".join(p.text for p in window.closes),
        "windows": "; or ".join(map(_window, step.windows)) if len(step.windows) > 1 else "",
        "best_until": " or ".join(p.text for p in step.best_until) if best else "",
        "wait_days": str(step.wait) if step.wait else "",
        "lasts_days": str(step.lasts) if step.endures else "",
        "best_days": str(step.best or ""),
        "temperature_c": say_warmths(step.temperature_c, units) if step.temperature_c else "",
        "survive": "" if step.survive is None else percent(step.survive),
        "runs": "" if step.runs is None else f"{step.runs[0] * 100:.0f} to {percent(step.runs[1])} between batches",
        "per_hour": "" if step.per_hour is None else f"{step.per_hour:g} an hour",
    }
    told = []
    for key, value in values.items():
        if value:
            where = step.source.get(
                key if key != "runs" else "batches_run" if step.batches_run else "batches_within", ""
            )
            told.append(f"{FIGURES[key]} {value}" + (f" [{where}]" if where else ""))
    return told


def _window(window: Window) -> str:
    opens, closes = " and ".join(p.text for p in window.opens), " or ".join(p.text for p in window.closes)
    return f"{opens or 'when it last closed'} to {closes}" if closes else opens


def _day(ordinal: int | None) -> str:
    return "-" if ordinal is None else date_cell(date.fromordinal(ordinal))


def species_json(pages: Iterable[SpeciesPage]) -> dict[str, Any]:
    return {
        "species": [
            {
                "latin": page.species.latin,
                "common": list(page.species.common),
                "form": page.species.form,
                "cautions": list(page.species.cautions),
                "protocols": [_protocol_json(lines) for lines in page.protocols],
            }
            for page in pages
        ]
    }


def _protocol_json(lines: ProtocolLines) -> dict[str, Any]:
    protocol, placed = lines.protocol, lines.placed
    return {
        "method": protocol.method,
        "route": protocol.route or None,
        "starts": iso(lines.starts),
        "ready": iso(lines.ready),
        "share": round(lines.share, 4),
        "your_share": round(lines.yours.share, 4) if lines.yours else None,
        "your_batches": lines.yours.behind[0] if lines.yours else None,
        "steps": [
            {
                "step": step.do,
                "place": step.place,
                **_windows(step),
                "best_until": [p.text for p in step.best_until],
                "after": [a.do for a in protocol.after(k)],
                "wait_days": _pair(step.wait),
                "lasts_days": _pair(step.lasts),
                "best_days": _pair(step.best),
                "temperature_c": list(step.temperature_c) if step.temperature_c else None,
                "survive": step.survive,
                "batches_run": list(step.runs) if step.runs else None,
                "per_hour": step.per_hour,
                "earliest": _ordinal(placed.earliest[k] if placed else None),
                "latest": _ordinal(placed.latest[k] if placed else None),
                "sources": [f"{figure}: {where}" for figure, where in step.source.items()],
                "cautions": list(step.cautions),
            }
            for k, step in enumerate(protocol.steps)
        ],
    }


def _windows(step: Step) -> dict[str, Any]:
    """Every window; `opens` and `closes` are those of the first."""
    windows = [{"opens": [p.text for p in w.opens], "closes": [p.text for p in w.closes]} for w in step.windows]
    first = windows[0] if windows else {"opens": [], "closes": []}
    return {**first, "windows": windows}


def _pair(days: Days | None) -> list[int | None] | None:
    return None if days is None else [days.least, days.most]


def _ordinal(day: int | None) -> str | None:
    return None if day is None else date.fromordinal(day).isoformat()
