"""What a device is called in the journal: one name, one file, in any script and on any file system.

A name in plain letters stands as it is, case aside. Any other is written in plain letters with a mark of its own, so
that no two names share a file, and no file system has letters to fold or to refuse. The first machine that writes
under a name claims it in a file beside; another that bears the name is noticed, and writes under a mark of its own.
"""

import re
import unicodedata
from _blake2 import blake2b  # hashlib's own, without the OpenSSL that it loads besides
from contextlib import suppress
from pathlib import Path
from typing import Final

DEVICE: Final = re.compile(r"[A-Za-z0-9_~-]+")
LONGEST: Final = 40
_PLAIN: Final = re.compile(rf"[a-z0-9_-]{{1,{LONGEST}}}")
_OTHER: Final = re.compile(r"[^a-z0-9_-]+")


def device_key(name: str) -> str:
    """The name of a device as its file and the ids of its entries bear it: `shed`, `saray~1f0c3b2a` for any other."""
    folded = unicodedata.normalize("NFC", " ".join(name.split())).casefold()
    if _PLAIN.fullmatch(folded):
        return folded
    bare = unicodedata.normalize("NFKD", folded).encode("ascii", "ignore").decode()
    return f"{_OTHER.sub('-', bare).strip('-')[:LONGEST] or 'device'}~{mark(folded)}"


def mark(text: str) -> str:
    """Eight letters that stand for a text, and for hardly another."""
    return blake2b(text.encode("utf-8", "surrogatepass"), digest_size=4).hexdigest()


def claimed_by_another(folder: Path, device: str, machine: str) -> bool:
    """Whether another machine than this has claimed the device's name; unknown machines claim none."""
    try:
        holder = _claim(folder, device).read_text(encoding="utf-8").strip()
    except (OSError, ValueError):
        return False
    return bool(machine and holder) and holder != machine


def writer(folder: Path, device: str, machine: str) -> str:
    """The key under which a machine writes: the device's own, or one of its own where another machine bears it."""
    return f"{device}~{machine}" if claimed_by_another(folder, device, machine) else device


def claim(folder: Path, device: str, machine: str) -> None:
    """Claim a device's name for a machine, where none has; a folder that takes no claim goes without."""
    if machine:
        with suppress(OSError), open(_claim(folder, device), "x", encoding="ascii") as file:
            file.write(f"{machine}\n")


_ID: Final = re.compile(r"(.+?)-[0-9a-f]+(?:-\d{6})?")
"""An entry's id: the device's name, what was drawn for it, and, of those written at once, its number among them."""
_OWN: Final = re.compile(r"[0-9a-f]+(-\d{6})?")


def is_of(entry_id: str, device: str) -> bool:
    """Whether a device of that name, case aside, wrote the entry: of "shed", none that "shed-laptop" wrote."""
    begins = entry_id[: len(device) + 1].casefold() == f"{device.casefold()}-"
    return begins and _OWN.fullmatch(entry_id, len(device) + 1) is not None


def of_device(entry_id: str) -> str:
    """The key of the device that wrote an entry, as its id bears it; "" for an id that bears none."""
    found = _ID.fullmatch(entry_id)
    return found[1].casefold() if found else ""


def _claim(folder: Path, device: str) -> Path:
    return folder / f"{device}.machine"
