"""Choose one option for each of many wants, as many wants as can be at the least weight, within limits that they share.

An exact programme in whole numbers, solved by HiGHS as scipy brings it (Huangfu & Hall 2018, Parallelizing the dual
revised simplex method, Mathematical Programming Computation 10).
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from math import isinf

from engine.reading.frozen import dataclass

TIE = 1e-6


@dataclass(frozen=True, slots=True)
class Option:
    """One way to serve a want: what it weighs (hours, or money; 0 or more), and what it takes of each limit."""

    want: int
    weight: float
    takes: Mapping[Hashable, float]


def choose(options: Sequence[Option], limits: Mapping[Hashable, float]) -> tuple[int, ...]:
    """The options chosen, by their number: at most one a want, as many wants as can be served, at the least weight.

    `limits` give how much may be taken of each; what has none is free. Raises ArithmeticError where the solver
    gives no answer; there always is one, for nothing may be chosen.
    """
    if not options:
        return ()
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    worth = 1.0 + sum(option.weight for option in options)
    rows: list[dict[int, float]] = []
    most: list[float] = []
    for want in dict.fromkeys(option.want for option in options):
        rows.append({n: 1.0 for n, option in enumerate(options) if option.want == want})
        most.append(1.0)
    for name, limit in limits.items():
        parts = {n: option.takes[name] for n, option in enumerate(options) if option.takes.get(name)}
        if parts and not isinf(limit):
            rows.append(parts)
            most.append(max(0.0, limit) + TIE)
    table = np.zeros((len(rows), len(options)))
    for row, parts in enumerate(rows):
        table[row, list(parts)] = list(parts.values())
    found = milp(
        np.array([option.weight - worth for option in options]),
        integrality=np.ones(len(options)),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(table, ub=np.array(most)),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None or found.status != 0:
        raise ArithmeticError(f"the programme has no answer: {found.message}")
    return tuple(n for n in range(len(options)) if found.x[n] > 0.5)


def over(option: Option, chosen: Sequence[Option], limits: Mapping[Hashable, float]) -> tuple[Hashable, ...]:
    """The limits that an option would pass beside those that are chosen."""
    return tuple(
        name
        for name, amount in option.takes.items()
        if name in limits
        and amount > 0
        and amount + sum(other.takes.get(name, 0.0) for other in chosen) > max(0.0, limits[name]) + TIE
    )
