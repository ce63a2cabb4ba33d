"""The command called with anything: it ends with 0, 1 or 2, in words, and the farm file is as it was."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.tui.conftest import Call
from tests.tui.farms import write_tiny
from tests.tui.fuzz.every import EVERY
from tests.tui.fuzz.inputs import TEXTS, budget, call_is_good
from tui.command import command_of
from tui.commands import NAMES

LOTS = ("Z1", "Z2", "L1", "S2", "G1")
DAYS = ("2027-03-01", "2026-12-01", "2027-03-20", "2027-04-10", "2028-02-29")
COUNTS = ("1", "2", "10", "40", "all", "100")
PLANTS = ("bankside fig", "hazel", "Malus domestica", "Ribes nigrum", "elder")
PLACES = ("seed beds", "cold store", "lean-to", "stock beds", "potting shed")
FORMS = ("seed", "pot", "1 L pot", "bare root", "liner", "seedling")
SHARES = ("0.9", "90", "50%", "1", "0")
WORDS: dict[str, tuple[str, ...]] = {
    "LOT": LOTS, "BATCH": LOTS, "ID": (*LOTS, "N9", "O1", "the row"), "INTO": LOTS, "NEED": ("O1", "N1"),
    "COUNT": COUNTS, "N": COUNTS, "LEAST": COUNTS, "DAYS": ("1", "7", "60"), "MINUTES": ("10", "60", "600"),
    "SPECIES": PLANTS, "METHOD": ("seed", "bench graft", "T-bud", "mound layer"), "M": ("seed", "T-bud"),
    "STEP": ("soak", "stratify cold", "sow", "collect", "graft"), "PLACE": PLACES, "FORM": FORMS,
    "GRADE": ("first", "A"),
    "NAME": (*PLANTS, *PLACES, "the brook orchard", "Pale", "Grey"), "ENTRY": ("lamp-000001", "lamp", "0"),
    "FOR": ("Rowan House", "Sea Lodge", "O1"), "PLANTING": ("the brook orchard", "the wind belt"),
    "POSITION": ("A", "A.2", "AU", "H.1"), "FINDING": ("nothing", "radicles", "mould"),
    "STATE": ("alive", "dead", "bearing"),
    "DEGREES": ("-3", "12", "40 F"), "T": ("-3", "12", "33"), "MARK": ("leaf drop", "bud swell", "rooks nest"),
    "DATE": DAYS, "D": DAYS, "BY": DAYS, "GRADE=COUNT": ("first=3", "A=2"), "G=N": ("first=3",),
    "ROW": ("seed beds 1",),
    "LOT:LENGTH:COUNT": ("Z1:2:10", "L1:3 m:4"), "ITEM": ("rootstock", "hour", "seed"),
    "PRICE": ("1.2 each", "22 a hundred"),
    "HOURS": ("14", "Jan 6, Apr 20"), "P": SHARES, "Y": ("2027", "2035"), "YEAR": ("2022",), "WHO": ("Rowan House",),
    "OLD=NEW": ("cold store=lean-to", "potting shed=seed beds"), "UNIT": ("g", "seeds"), "yes|no": ("yes", "no"),
    "FILE": ("x.pdf", "y.svg", "t.csv"), "R": ("0.5", "held cold, sown in spring"), "R[:W]": ("0.5", "0.7:10"),
    "N|AGE=N,…": ("25", "1=4,3=18"), "WAY": ("seed",), "CODE": ("qr", "code128"), "PAPER": ("a4",), "LATITUDE": ("52",),
    "LONGITUDE": ("-2",), "TIMEZONE": ("Europe/London",), "FOLDER": ("copy",), "DIR": ("d",), "CAUSE": ("drought",),
}  # fmt: skip
"""What may be meant by the words of a call, by the names that its help gives them."""
ANY = tuple(word for words in WORDS.values() for word in words)
CALLED = tuple(name for name in NAMES if name not in ("open", "demo"))


def any_call(chance: random.Random, farm: Path) -> tuple[str, ...]:
    """A call that is mostly of the right words in the right places."""
    name = chance.choice(CALLED)
    command = command_of(name)

    def word(meant: str) -> str:
        if chance.random() < 0.04:
            return chance.choice(TEXTS)
        return chance.choice(WORDS.get(meant, ANY) if chance.random() < 0.95 else ANY)

    names = [each for each in command.words.replace("[", "").replace("]", "").split() if each != "FARM"]
    if chance.random() < 0.04:
        names = names[:-1] if chance.random() < 0.5 else [*names, "N"]
    words = [word(each) for each in names]
    if chance.random() < 0.95:
        words.insert(0, str(farm))
    options = command.every_option
    for option, how in chance.sample(options, min(len(options), chance.randrange(3))):
        words.append(option.split()[-1])
        if how.get("action") != "store_true" and chance.random() < 0.95:
            words.append(word(str(how.get("metavar", ""))))
    return (name, *words)


@pytest.mark.parametrize("part", range(8))
def test_no_call_breaks_the_command(part: int, tmp_path: Path, call: Call) -> None:
    farms = (write_tiny(tmp_path), tmp_path / "every.toml")
    farms[1].write_text(EVERY, encoding="utf-8")
    for n in range(part, budget(160), 8):
        chance = random.Random(n)
        path = chance.choice(farms)
        before = path.read_bytes()
        words = any_call(chance, path)
        try:
            call_is_good(call, words)
        except BaseException as fault:
            raise AssertionError(f"call {n} breaks it: {words}: {fault!r}") from fault
        assert path.read_bytes() == before
