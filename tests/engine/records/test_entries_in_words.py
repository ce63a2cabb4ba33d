"""What an entry says, as a grower would say it: so many in their pots, and nothing of what Widger notes for itself."""

from __future__ import annotations

from typing import Any

import pytest

from engine.records.words import said_undated
from tests.engine.records.farms import entry

POTS: dict[str, Any] = {"lot": "X1", "form": "1 L pot", "grade": "", "place": "yard"}


@pytest.mark.parametrize(
    ("kind", "data", "told"),
    [
        ("receive", {**POTS, "count": 24, "origin": "bought", "from": "Hale"}, "X1: 24 in 1 L pots came to yard, "),
        ("pot_up", {**POTS, "count": 12, "to_form": "2 L pot"}, "X1: 12 in 1 L pots potted up in 2 L pots at yard"),
        (
            "pot_up",
            {**POTS, "count": 12, "form": "liner", "to_form": "bare root"},
            "X1: 12 liners now bare-root plants at",
        ),
        ("sell", {**POTS, "count": 1, "form": "bare root", "grade": "first"}, "X1: 1 bare-root plant (first) sold"),
        ("grade", {**POTS, "form": "liner", "grades": {"first": 3}}, "X1: liners at yard graded: 3 first"),
        ("correct", {"of": "a", "lot": "X1", "now": {"count": 5}, "without": ["made"]}, "X1: corrected, count 5"),
        ("correct", {"of": "a", "lot": "X1", "without": ["made", "cause"]}, "X1: corrected, no cause"),
        ("correct", {"of": "a", "lot": "X1", "now": {"made": {}}}, "X1: corrected"),
    ],
)
def test_an_entry_is_said_in_words(kind: str, data: dict[str, Any], told: str):
    said = said_undated(entry(1, kind, **data))
    assert said.startswith(told)
    assert "made" not in said
