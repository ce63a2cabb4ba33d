"""All checks in one go, as the README says: lint, format, types, tests. `python -m tests` ends with their status.

It runs every test, also those that are marked as slow and that plain `pytest` leaves out, on all the processors.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

CHECKS = (
    ("lint", [sys.executable, "-m", "ruff", "check", "."]),
    ("format", [sys.executable, "-m", "ruff", "format", "--check", "."]),
    ("types", [sys.executable, "-m", "mypy"]),
    ("tests", [sys.executable, "-m", "pytest", "-m", "", "-n", "logical", *sys.argv[1:]]),
)


def main() -> int:
    failed = []
    for name, command in CHECKS:
        print(f"-- {name}", flush=True)
        if subprocess.run(command, cwd=Path(__file__).parent.parent, check=False).returncode:
            failed.append(name)
    print(f"-- failed: {', '.join(failed)}" if failed else "-- all good")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
