"""How hard the property tests try: a little in the suite, and as hard as `WIDGER_FUZZ=10000` asks."""

from __future__ import annotations

import os
from typing import Final

from tests.sampled import share

BUDGET: Final = int(os.environ.get("WIDGER_FUZZ", "0"))
FULL: Final = 10_000
"""The budget for which the large numbers are meant; a smaller one takes its share of them."""


def budget(small: int, large: int) -> int:
    """How many examples: `small` in the suite (of which plain pytest tries a share), `large` with the full budget."""
    return max(share(small), large * BUDGET // FULL)
