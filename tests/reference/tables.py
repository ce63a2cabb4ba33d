"""Read the published figures that stand beside this file as CSV; lines that begin with # name the source."""

import csv
from pathlib import Path


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table by its columns."""
    lines = (Path(__file__).parent / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))
