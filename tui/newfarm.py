"""Write a first farm file: enough to start from, every line to be changed by the grower."""

from __future__ import annotations

import os
from argparse import Namespace
from pathlib import Path

import tomli_w

from engine.farm.reading import read_document

HEAD = """# A farm file of Widger. It is yours: Widger reads it and never rewrites it.
# 1. Set latitude, longitude and timezone. 2. Set the frost dates of your place: a weather service's
# freeze-probability table has them. 3. Write a [[batch]] for each lot. Then: widger THIS-FILE
# `widger check` says what is wrong with it; `widger demo` shows a farm at work.

"""

# Frost dates to begin with, spring and autumn, to be replaced by those of the place.
NORTH = (("04-24", "05-08", "05-22"), ("09-19", "10-03", "10-17"))
SOUTH = (("09-24", "10-08", "10-22"), ("04-05", "04-20", "05-05"))

# What a nursery does whatever it propagates, in the places that the file makes (common practice; the minutes are
# those of a small one): to be changed, moved and struck out.
STANDING = [
    {"do": "read the cold store's thermometer, look for mice", "place": "cold store", "every_days": 7, "minutes": 10},
    {"do": "wash benches, pots and blades", "place": "potting shed", "every_days": 14, "minutes": 20},
    {"do": "water what is dry", "place": "nursery beds", "opens": ["last frost"], "closes": ["leaf drop - 4 weeks"],
     "every_days": 4, "minutes": 30},
    {"do": "weed", "place": "nursery beds", "opens": ["soil workable + 3 weeks"], "closes": ["leaf drop - 2 weeks"],
     "every_days": 14, "minutes": 60},
    {"do": "feed the rows", "place": "nursery beds", "opens": ["bud swell + 4 weeks"],
     "closes": ["longest day + 4 weeks"], "every_days": 28, "minutes": 30},
    {"do": "firm what frost has lifted, mend mesh and guards", "place": "nursery beds",
     "opens": ["leaf drop + 2 weeks"], "closes": ["bud swell"], "every_days": 28, "minutes": 20},
    {"do": "shut frames before frost, air them on mild days, look for mice and dry pots", "place": "cold frame",
     "opens": ["first frost - 1 week"], "closes": ["last frost"], "every_days": 7, "minutes": 10},
    {"do": "set pots close out of the wind, plunge them or pack them round, fleece over", "place": "standing ground",
     "opens": ["first frost + 1 week"], "closes": ["first frost + 5 weeks"], "every_days": 28, "minutes": 60},
]  # fmt: skip


def write_new(path: Path, call: Namespace) -> None:
    """Write the file whole or not at all.

    Raises ValueError for a place that cannot be, FileExistsError where a file is there, OSError where it cannot be.
    """
    spring, autumn = NORTH if call.latitude >= 0 else SOUTH
    document = {
        "farm": {"name": call.name, "units": "metric", "week_starts": "monday", "hours_per_week": 14},
        "site": {
            "latitude": call.latitude,
            "longitude": call.longitude,
            "elevation_m": 0,
            "timezone": call.timezone,
            "last_frost": dict(zip(("90%", "50%", "10%"), spring, strict=True)),
            "first_frost": dict(zip(("10%", "50%", "90%"), autumn, strict=True)),
        },
        "place": [
            {"name": "cold store", "under_cover": True},
            {"name": "potting shed", "under_cover": True},
            {"name": "nursery beds", "under_cover": False},
            {"name": "cold frame", "under_cover": True},
            {"name": "standing ground", "under_cover": False},
        ],
        "standing": STANDING,
        "batch": [
            {
                "id": "elder-1",
                "species": "Sambucus canadensis",
                "method": "hardwood cutting",
                "count": 60,
                "start": call.on,
            }
        ],
    }
    if problems := read_document(document, "", str(path)).problems:
        raise ValueError("; ".join(f"{p.message} ({p.hint})" if p.hint else p.message for p in problems))
    data = (HEAD + tomli_w.dumps(document)).encode()
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:  # half a file would stand in the way of the next try
        path.unlink(missing_ok=True)
        raise
