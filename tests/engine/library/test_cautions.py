"""No plant lacks a caution that is published for it, and no step one of the danger that is in it.

The table of plants is tests/reference/cautions_published.csv. Dangers at a step: acids (Woody Plant Seed Manual 2008,
Rubus p.993, Robinia p.971, Tilia p.1116), rooting hormone (specimen label, EPA registration 59807-3: a pesticide,
gloves), peat and sphagnum (CDC 1988, MMWR, sporotrichosis in 14 states), potting mix (WorkSafe Queensland n.d.,
Legionella longbeachae), knives (common practice).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from engine.protocols.laws import Law, holds, lawful, laws_on_sending, read_laws
from engine.protocols.library import read_library
from engine.protocols.model import Species, Step
from tests.engine.library.built import Built, built, library
from tests.reference.tables import rows

PUBLISHED = rows("cautions_published")
BLADES = re.compile(r"knife|blade|secateurs|loppers|\bsaw\b|spade|shears", re.I)
ALWAYS_CUT = frozenset(
    {"graft", "bud", "divide", "collect scions", "collect budwood", "clip leaf blades", "cut ties", "cut back"}
    | {"sever", "undercut"}
)
CUTS = re.compile(
    r"(?<!were )\bcut (free|rooted|back|off|square|2\d)|\bslit (the|on|it)|\bwound\b|\bslice|\bslanted", re.I
)


def words(species: Species) -> str:
    return " ".join(lawful(species, "").cautions).lower()


def steps() -> Iterator[tuple[str, Built, Step]]:
    for one in built():
        yield from ((where, one, step) for where, step in one.steps())


def told(step: Step) -> str:
    return " ".join(step.cautions).lower()


def described(step: Step) -> str:
    return f"{step.note} {step.medium}".lower()


def test_every_species_has_the_cautions_published_for_it_or_its_genus() -> None:
    missing, met = [], 0
    for row in PUBLISHED:
        for latin, species in library().species.items():
            if row["plant"] not in (latin, latin.split()[0]):
                continue
            met += 1
            for word in row["words"].split(";"):
                if not any(either.lower() in words(species) for either in word.split("|")):
                    missing.append(f"{latin}: {word} ({row['source']})")
    assert missing == []
    assert met > 100


def test_the_published_table_names_its_sources() -> None:
    assert all(row["source"] and row["words"] for row in PUBLISHED)


def test_every_species_says_something_to_be_careful_of() -> None:
    """Patents, poisons, spread or quarantine: there is hardly a nursery plant without one of them."""
    silent = [latin for latin, species in library().species.items() if not species.cautions]
    assert len(silent) <= len(library().species) // 10, silent


def test_every_caution_is_one_or_two_short_sentences() -> None:
    texts = {c for _, _, step in steps() for c in step.cautions}
    texts |= {c for species in library().species.values() for c in species.cautions}
    assert [t for t in texts if len(t) > 240 or t != t.strip() or not t.endswith(".")] == []


def test_every_quarantine_sends_the_grower_to_the_authority() -> None:
    bare = [
        f"{species.latin}: {caution}"
        for species in library().species.values()
        for caution in species.cautions
        if re.search(r"quarantin|listed as invasive", caution, re.I) and not re.search(r"plant-health", words(species))
    ]
    assert bare == []


def cuts(one: Built, step: Step) -> bool:
    """Whether the grower has a blade in hand at this step."""
    if step.do in ALWAYS_CUT or CUTS.search(step.note):
        return True
    takes_shoots = step.do == "collect" and one.draft.method.endswith("cutting")
    makes_cuttings = step.do == "prepare" and one.draft.method.endswith("cutting")
    lifts_layers = step.do == "lift" and one.draft.method in ("mound layer", "trench layer", "tip layer")
    return takes_shoots or makes_cuttings or lifts_layers


def test_every_step_with_a_blade_in_hand_says_so() -> None:
    cutting = [(where, step) for where, one, step in steps() if cuts(one, step)]
    assert len(cutting) > 500
    assert [where for where, step in cutting if not BLADES.search(told(step))] == []


def test_every_graft_and_bud_warns_of_the_holding_hand() -> None:
    at_bench = [(where, step) for where, _, step in steps() if step.do in ("graft", "bud")]
    assert len(at_bench) > 70
    assert [where for where, step in at_bench if "knife" not in told(step) or "away" not in told(step)] == []


def uses_hormone(step: Step) -> bool:
    text = re.sub(r"(no|needs? no|without) hormone|most need no hormone", "", described(step))
    return re.search(r"hormone|\biba\b|\bnaa\b|rooting powder|\bdip\b", text) is not None


def test_every_hormone_is_told_as_a_pesticide_with_label_and_gloves() -> None:
    using = [(where, step) for where, _, step in steps() if uses_hormone(step)]
    assert len(using) > 60
    short = [w for w, s in using if not all(word in told(s) for word in ("hormone", "pesticide", "label", "gloves"))]
    assert short == []


def test_acid_is_named_only_with_its_danger_and_after_a_safer_way() -> None:
    """Water on acid makes a lethal heat, and nicking does as well as acid: Woody Plant Seed Manual pp.993, 971."""
    named = [(w, s) for w, _, s in steps() if s.do in ("scarify", "soak", "clean") and "acid" in described(s) + told(s)]
    assert len(named) >= 5
    for where, step in named:
        assert "acid" not in step.note.lower(), f"{where}: the note tells the grower to use it"
        assert re.search(r"nick|file|hot water|off the boil|sandpaper|rub|crack", step.note.lower()), where
        assert "burns" in told(step), where
        assert "prefer" in told(step), where
        assert "trained" in told(step), where


def test_every_seed_that_is_scarified_with_hot_water_warns_of_scalds() -> None:
    hot = [(w, s) for w, _, s in steps() if re.search(r"boil|hot water", s.note.lower())]
    assert hot
    assert [where for where, step in hot if not re.search("scald|burn", told(step))] == []


def test_every_peat_sphagnum_and_potting_mix_warns_of_its_dust() -> None:
    def dusty(step: Step) -> bool:
        mixed = step.medium.lower().replace("peat-free", "")
        return re.search(r"\bpeat\b|sphagnum|potting mix|\bbark\b|sawdust over", mixed) is not None

    using = [(where, step) for where, _, step in steps() if dusty(step)]
    assert len(using) > 200
    assert [where for where, step in using if not re.search("wet |wet it|sporotrichosis", told(step))] == []
    moss = [(w, s) for w, _, s in steps() if "sphagnum" in s.medium.lower()]
    assert moss
    assert [where for where, step in moss if "sporotrichosis" not in told(step)] == []
    pots = [(w, s) for w, _, s in steps() if s.do == "pot up"]
    assert pots
    assert [where for where, step in pots if "legionella" not in told(step)] == []


def test_seed_held_warm_or_cold_warns_of_mould_in_peat() -> None:
    held = [(w, s) for w, _, s in steps() if s.do.startswith("stratify") and re.search(r"\bpeat\b", s.medium)]
    assert held
    assert [where for where, step in held if "dust" not in told(step)] == []


METHOD = (
    '[[protocol]]\nmethod = "hardwood cutting"\n[[protocol.step]]\ndo = "stick"\ncautions = ["Knife.", "Hormone."]\n'
)
SPECIES = """
[[species]]
latin = "Sambucus nigra"
common = ["elder"]
[[protocol]]
species = "Sambucus nigra"
method = "hardwood cutting"
{extra}[[protocol.step]]
do = "stick"
cautions = ["Elder is poisonous.", "Knife."]
"""


@pytest.mark.parametrize(
    ("extra", "expected"),
    [
        ("", ("Knife.", "Hormone.", "Elder is poisonous.")),
        ("whole = true\n", ("Elder is poisonous.", "Knife.")),
        ('omit = ["stick"]\n', ("Elder is poisonous.", "Knife.")),
    ],
    ids=["laid over the general method", "whole", "the general step left out"],
)
def test_a_species_cautions_come_after_those_of_the_general_method(
    tmp_path: Path, extra: str, expected: tuple[str, ...]
) -> None:
    for name, text in (("methods", METHOD), ("species", SPECIES.format(extra=extra))):
        (tmp_path / name).mkdir()
        (tmp_path / name / "one.toml").write_text(text, encoding="utf-8")
    lib = read_library(folder=tmp_path)
    [draft] = lib.drafts
    assert lib.protocol(draft).steps[0].cautions == expected


def test_a_law_is_told_where_it_holds_and_nowhere_else() -> None:
    osier = library().species["Salix viminalis"]
    here, away = lawful(osier, "AU-VIC").cautions, lawful(osier, "FR").cautions
    assert any("Weeds of National Significance" in caution for caution in here)
    assert not any("National Significance" in caution for caution in away)
    assert away == osier.cautions
    assert not any("plant passport" in caution for caution in away)  # of any plant: told where plants are sent
    assert any("plant passport" in law for law in laws_on_sending("FR"))
    assert laws_on_sending("") == ()


REGIONS = re.compile(
    r"\bstates?\b|America|Australia|New Zealand|Europe|Brit(ain|ish)|Ireland|United States|California|Oregon|Illinois"
    r"|Wisconsin|Pacific|Canada|South Africa|Hawaii|Ontario|New England|\bCFR\b"
)
NAMES = re.compile(r"(American|European) (stock|stocks|elder|persimmon|cranberry|plum)")


def test_no_plant_warns_a_grower_of_a_region_that_is_not_theirs() -> None:
    """What is law, or listed, in some regions is a law of those, so that it is told there alone."""
    told = {c for species in library().species.values() for c in species.cautions}
    assert [c for c in told if REGIONS.search(NAMES.sub("", c))] == []
    for region, other in (("AU-VIC", "some states"), ("GB", "some states"), ("GB", "North America")):
        here = [c for species in library().species.values() for c in lawful(species, region).cautions]
        assert not any(other in c and "Europe" not in c for c in here), (region, other)
    blackcurrant = library().species["Ribes nigrum"]
    assert any("restricted in some states" in c for c in lawful(blackcurrant, "US").cautions)
    assert any("restricted in some states" in c for c in lawful(blackcurrant, "US-NY").cautions)


@pytest.mark.parametrize(
    ("law", "region", "expected"),
    [("US-CA", "US-CA", True), ("US-CA", "US", True), ("US-CA", "US-OR", False), ("US", "US-OR", True),
     ("EU", "DE", True), ("EU", "GB", False), ("GB", "GB-SCT", True), ("GB", "", False)],
)  # fmt: skip
def test_a_country_is_in_each_of_its_parts_until_the_part_is_said(law: str, region: str, expected: bool) -> None:
    assert holds(Law((law,), (), "", ""), region, read_laws().members) is expected


def test_every_law_names_plants_of_the_library_and_regions_that_have_a_name() -> None:
    known = read_laws()
    plants = {"any", *(name for latin in library().species for name in (latin, latin.split()[0]))}
    assert [p for law in known.laws for p in law.plants if p not in plants] == []
    assert [r for law in known.laws for r in law.regions if r not in known.names] == []
    assert [law.says for law in known.laws if len(law.says) > 240 or not law.says.endswith(".") or not law.source] == []


def test_every_method_that_multiplies_a_cultivar_speaks_of_the_rights_in_it() -> None:
    bare = [
        method
        for method, draft in library().methods.items()
        if draft.nature.get("takes") != "seed"
        and not any("atented or protected" in caution for step in draft.steps for caution in step.get("cautions", ()))
    ]
    assert bare == []


def test_layering_names_the_clonal_rootstocks_that_are_protected() -> None:
    for method in ("mound layer", "trench layer", "layer graft"):
        text = " ".join(c for step in library().methods[method].steps for c in step.get("cautions", ()))
        assert "Geneva" in text, method
