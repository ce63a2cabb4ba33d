"""Every protocol at two hundred sites, with and without temperatures: what cannot be done there, and what slips a year.

`python -m tests.benchmarks.two_hundred_sites [SITES]` prints a line for each protocol that anywhere has a step that can
never be done, a window that would close before it opens, or a chain that takes a year more than it usually does, with
counts and the commonest reason; SITES tries so many of the four hundred. It takes ten minutes.
"""

import sys
from collections import Counter, defaultdict
from statistics import median

from engine.almanac.almanac import Almanac
from tests.engine.library.built import Built, built
from tests.engine.library.sites import A_YEAR_LATE, Fare, fares, tried


def main() -> None:
    """Print the table."""
    sites = tried()[: int(sys.argv[1])] if len(sys.argv) > 1 else tried()
    found: dict[str, list[tuple[str, Fare]]] = defaultdict(list)
    for n, (name, site) in enumerate(sites, 1):
        almanac = Almanac(site)
        for one in built():
            found[one.title].append((name, fares(one, almanac)))
        print(f"{n} of {len(sites)}: {name}", file=sys.stderr)
    print(f"{len(built())} protocols at {len(sites)} sites: those with something amiss anywhere")
    print(f"{'never':>6}{'shut':>6}{'slips':>6}  protocol: the commonest reasons")
    sums: Counter[str] = Counter()
    for one in built():
        counts, reasons = _judged(found[one.title])
        sums.update(counts)
        sums.update({f"protocols {kind}": 1 for kind, n in counts.items() if n})
        if sum(counts.values()):
            line = f"{counts['never']:6}{counts['shut']:6}{counts['slips']:6}  {_named(one)}: {reasons}"
            print(line)
    total = len(built()) * len(sites)
    for kind in ("never", "shut", "slips"):
        print(f"{kind}: {sums[kind]} of {total} ({sums[kind] / total:.2%}), in {sums[f'protocols {kind}']} protocols")


def _judged(fared: list[tuple[str, Fare]]) -> tuple[Counter[str], str]:
    """How often each kind of fault came, and the commonest reason of each with a site of it."""
    usual = median([fare.days for _, fare in fared if not fare.fault] or [0])
    by_kind: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for name, fare in fared:
        kind = fare.fault or ("slips" if fare.days > usual + A_YEAR_LATE else "")
        if kind:
            by_kind[kind].append((name, fare.why))
    told = []
    for kind, cases in by_kind.items():
        name, why = cases[len(cases) // 2]
        told.append(f"{kind} at {len(cases)}, such as {name}: {why}")
    return Counter({kind: len(cases) for kind, cases in by_kind.items()}), " | ".join(told)


def _named(one: Built) -> str:
    return one.title if one.species else f"{one.title} (general)"


if __name__ == "__main__":
    main()
