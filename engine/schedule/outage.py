"""What a place that stood too warm, or froze, means for seed under treatment there: the one rule. Degrees Celsius."""

from __future__ import annotations

from engine.protocols.model import Step
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass
from engine.reading.units import say_warmth

# Sources: The Woody Plant Seed Manual (Bonner & Karrfalt, eds., 2008, USDA Agriculture Handbook 727), named AH 727.
CHILLS_UP_TO = 8.0
"""°C: 2 to 5 °C does better than below 1.7 or above 8 °C (AH 727, Prunus, p. 884). A step that names more has that."""
FREEZES = 0.0
"""°C: below it nothing ripens, so such days do not count (common practice)."""
KILLS = -5.0
"""°C: acorns are usually dead below it (AH 727, Quercus, pp. 934-935)."""
SHORT_DAYS, SHORT_UP_TO = 2, 15.0
"""Days and °C: the middle of a bag of damp sand stays cool so long (common practice)."""
TURNS_AT = 20.0
"""°C: from about here cold that is broken off before shells split or radicles show brings secondary dormancy (AH 727,
Prunus, p. 886; Sorbus, p. 1062). Below it what cold was had still counts (AH 727, Rosa, p. 977)."""
TURNS_AFTER = 7
"""Days of it that turn a lot back (common practice: the books' warm spells last a fortnight)."""
WARM_FROM = 15.0
"""°C: cooler days do not count towards warm treatment, which is given at about 20 °C (common practice)."""

COUNT_ON, ADD, RESTART, SOW = "keep counting", "add the days", "restart", "sow now"
"""What to do with a lot after an outage."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What to do, and why, in words."""

    do: str
    why: str


def meaning(
    step: Step, days: int, celsius: float, gone: int, least: int, radicles: bool, units: str = "metric"
) -> Meaning:
    """What `days` at `celsius` mean for seed in a warm or cold treatment.

    `gone` days of the treatment had counted before, of the `least` that it takes; `radicles` were seen by then.
    `units` are those that the words are in.
    """
    told = step.temperature_c
    if step.role is Role.STRATIFY_WARM:
        if celsius >= min(WARM_FROM, told[0] if told else WARM_FROM):
            return Meaning(COUNT_ON, "warm enough to count")
        return Meaning(ADD, "too cool for the warm treatment: these days do not count")
    if celsius < FREEZES:
        dead = f"; below {say_warmth(KILLS, units)} look for dead seed: cut a few open" if celsius < KILLS else ""
        if radicles:
            return Meaning(SOW, f"frost kills radicles: pick out what is sound and sow it{dead}")
        return Meaning(ADD, f"frozen seed does not ripen: these days do not count{dead}")
    if celsius <= max(CHILLS_UP_TO, told[1] if told else CHILLS_UP_TO):
        return Meaning(COUNT_ON, "cool enough to count")
    if days <= SHORT_DAYS and celsius <= SHORT_UP_TO and gone < least:
        return Meaning(COUNT_ON, "short and mild: the middle of the bag stays cool")
    if radicles:
        return Meaning(SOW, "radicles grow fast in the warm: sow or pot it now")
    if gone >= least:
        return Meaning(COUNT_ON, "minimum reached, and warmth starts growth: look now, sow or pot at the first radicle")
    if days > TURNS_AFTER and celsius >= TURNS_AT:
        return Meaning(
            RESTART, "that long in the warm, before any radicles, puts it back to sleep: start the cold count again"
        )
    return Meaning(ADD, "too warm to count: these days are added to the minimum")
