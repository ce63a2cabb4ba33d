"""What a batch is made of: the rootstock that it is grafted on, and where its seed or wood came from and when."""

from __future__ import annotations

from engine.almanac.almanac import say_day
from engine.farm.model import Batch
from engine.protocols.model import Protocol

NO_GRAFT = "leave rootstock out, or graft it"


def graftless(protocol: Protocol, rootstock: str) -> str:
    """Why a batch has no such rootstock, where its method grafts onto nothing; nothing where it may have it."""
    return f"{protocol.method} takes no rootstock" if rootstock and not protocol.onto else ""


def said_material(batch: Batch) -> str:
    """`on Quince A; from Hale Orchards, 5 Sep 26`; nothing where neither is known. The day bears its year."""
    came = say_day(batch.came.toordinal(), True) if batch.came else ""
    whence = ", ".join(filter(None, (f"from {batch.source}", came))) if batch.source else f"came {came}" if came else ""
    return "; ".join(filter(None, (f"on {batch.rootstock}" if batch.rootstock else "", whence)))
