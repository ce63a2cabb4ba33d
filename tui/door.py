"""The one door through which the clock, the machine's name and chance come in."""

from __future__ import annotations

import os
import re
from datetime import date, datetime, timedelta


def today() -> date:
    return date.today()


def now(after: str = "") -> str:
    """The instant, ISO 8601 with the offset from UTC; never before the entry that was written `after`.

    A clock that is behind, or a day that stands for today, must not put what is told now before what is known.
    """
    here = datetime.now().astimezone()
    if after:
        here = max(here, datetime.fromisoformat(after) + timedelta(microseconds=1))
    return here.isoformat()


def device() -> str:
    """The name of this device in the journal: WIDGER_DEVICE, else the machine's own name."""
    own = os.uname().nodename if hasattr(os, "uname") else os.environ.get("COMPUTERNAME", "")
    name = os.environ.get("WIDGER_DEVICE") or own.split(".")[0]
    return re.sub(r"[^A-Za-z0-9_-]+", "-", name).strip("-")[:40] or "device"


def new_id(device_name: str) -> str:
    """An id that no other entry has; it begins with the device's name."""
    return f"{device_name}-{os.urandom(6).hex()}"
