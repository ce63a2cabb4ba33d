"""The one door through which the clock, the machine's name and chance come in."""

from __future__ import annotations

import os
import sys
import uuid
from contextlib import suppress
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path

from engine.journal.device_names import device_key, mark

if sys.platform == "win32":
    import winreg


_BUMP, _FAR_BUMP = timedelta(microseconds=1), timedelta(milliseconds=1)
_COARSE = 2250
"""From about this year on the instants of entries tell no microseconds apart (`engine.journal.entry.instant`)."""


def today() -> date:
    return date.today()


def instant() -> datetime:
    """The instant, with its offset from UTC."""
    return datetime.now().astimezone()


def now(after: str = "") -> str:
    """The instant, ISO 8601 with the offset from UTC; never before the entry that was written `after`.

    A clock that is behind, or a day that stands for today, must not put what is told now before what is known.
    """
    here = instant()
    if after:
        last = datetime.fromisoformat(after)
        with suppress(OverflowError):  # at the end of time no instant is left
            here = max(here, last + (_BUMP if last.year < _COARSE else _FAR_BUMP))
    return here.isoformat()


def device() -> str:
    """The name of this device in the journal: WIDGER_DEVICE, else the machine's own name."""
    own = os.uname().nodename if hasattr(os, "uname") else os.environ.get("COMPUTERNAME", "")
    return device_key(os.environ.get("WIDGER_DEVICE", "").strip() or own.split(".")[0])


@cache
def machine() -> str:
    """What tells this machine from any other that bears its name; "" where the system does not say."""
    told = ""
    if sys.platform == "win32":
        with suppress(OSError), winreg.OpenKey(winreg.HKEY_LOCAL_MACHINE, r"SOFTWARE\Microsoft\Cryptography") as key:
            told = str(winreg.QueryValueEx(key, "MachineGuid")[0])
    elif sys.platform == "darwin":
        told = f"{uuid.getnode():x}"
    else:
        with suppress(OSError):
            told = Path("/etc/machine-id").read_text(encoding="utf-8", errors="replace").strip()
    return mark(f"widger {told}") if told else ""  # the system's own is nobody's to be handed on


PROCESS = os.urandom(4).hex()
"""What tells this process from any other."""


def new_id(device_name: str) -> str:
    """An id that no other entry has; it begins with the device's name."""
    return f"{device_name}-{os.urandom(6).hex()}"
