"""Where something stands in a TOML document."""

from __future__ import annotations

Path = tuple[str | int, ...]
"""Table names, indices of repeated tables, and last the key."""
