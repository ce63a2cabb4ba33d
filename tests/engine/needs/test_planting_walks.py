"""What the walks teach: survival against scipy's beta-binomial, and the odds that start from what is alive now."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import betabinom

from engine.farm.model import Farm
from engine.journal.entry import Entry
from engine.needs.planting_outlook import grown_of, outlook_of, post_odds, posts_of
from engine.records.records import Records, apply
from tests.engine.needs.homes import farm, position_odds
from tests.engine.schedule.farms import day

NUT = '[[species]]\nlatin = "Nux ficta"\nbearing_years = {seed = [4, 6]}\n'


def belt(name: str, count: int, planted: int = 2016, more: str = "") -> str:
    return (
        f'[[planting]]\nname = "{name}"\nplanted = {planted}-03-01\n{more}\n'
        f'[[planting.position]]\nid = "A"\nspecies = "Nux ficta"\ncount = {count}\n'
    )


def walk(name: str, year: int, k: int, state: str, cause: str = "") -> Entry:
    data = {"planting": name, "position": f"A.{k}", "state": state, **({"cause": cause} if cause else {})}
    on = day(f"{year}-06-01")
    return Entry(f"w-{name}-{year}-{k}", f"{year}-06-01T12:00:00+00:00", on, "walked", data)


def walked(home: Farm, *entries: Entry) -> Records:
    found = apply(home, entries)
    assert not found.strays
    return found


def test_first_years_of_many_plantings_are_learned_as_scipy_draws_them():
    """60 plantings of 30 whose first year is a beta-binomial of mean 0.7 and weight 20: the book's 0.9 gives way."""
    rng = np.random.default_rng(3)
    lived = betabinom.rvs(30, 0.7 * 20, 0.3 * 20, size=60, random_state=rng)
    home = farm(NUT, *(belt(f"b{n}", 30) for n in range(60)))
    entries = [
        walk(f"b{n}", 2017, k + 1, "alive" if k < alive else "dead") for n, alive in enumerate(lived) for k in range(30)
    ]
    learned = grown_of(home, walked(home, *entries)).survival("Nux ficta", "", 0.9, True)
    assert (learned.batches, learned.kindred) == (60, 0)
    assert learned.rate.mean == pytest.approx(0.7, abs=0.03)
    assert learned.rate.weight == pytest.approx(20, rel=0.5)
    a, b = learned.rate.mean * (learned.rate.weight or 0), (1 - learned.rate.mean) * (learned.rate.weight or 0)
    low, high = betabinom.ppf([0.05, 0.95], 30, a, b)
    assert 0.8 <= np.mean((low <= lived) & (lived <= high)) <= 1


def test_years_lived_through_are_counted_and_what_was_thinned_in_none():
    home = farm(NUT, belt("b", 5))
    found = grown_of(
        home,
        walked(
            home, walk("b", 2017, 1, "alive"), walk("b", 2020, 1, "dead", "girdled"), walk("b", 2016, 2, "dead"),
            walk("b", 2021, 3, "bearing"), walk("b", 2019, 4, "alive"), walk("b", 2020, 4, "dead", "thinned"),
        ),
    )  # fmt: skip
    [first], [later] = found.first["Nux ficta", ""], found.later["Nux ficta", ""]
    assert (first.through, first.into) == (3, 4)  # of four that were seen one died in its first year
    # The first lived through 2018 and 2019 and died in 2020; the third through 2018 to 2021, the fourth 2018 and 2019.
    assert (later.through, later.into) == (2 + 4 + 2, 2 + 4 + 2 + 1)


def test_a_form_planted_leans_on_its_species_and_that_on_its_genus():
    bare, pot = belt("b", 20, more='form = "bare root"'), belt("p", 20, more='form = "pot"')
    home = farm(NUT, bare, pot)
    found = grown_of(home, walked(home, *(walk("b", 2017, k, "dead") for k in range(1, 21))))
    own, other = (found.survival("Nux ficta", form, 0.9, True) for form in ("bare root", "pot"))
    assert (own.batches, own.kindred, other.batches, other.kindred) == (1, 0, 0, 1)
    assert own.rate.mean == pytest.approx(other.rate.mean)
    assert own.rate.mean < 0.9
    assert found.survival("Nux altera", "pot", 0.9, True).kindred == 1
    assert found.survival("Arbor ficta", "pot", 0.9, True).rate.mean == 0.9


def test_odds_start_from_what_is_alive_now():
    home = farm(NUT, belt("b", 3))
    records = walked(home, walk("b", 2020, 1, "bearing"), walk("b", 2020, 2, "alive"), walk("b", 2020, 3, "dead"))
    planting, grown = home.plantings[0], grown_of(home, records)
    posts = posts_of(home, planting, records.plantings["b"], grown, day("2020-12-31"))
    odds = [post_odds(post, 2021) for post in posts]
    later = grown.survival("Nux ficta", "", 0.97, False).rate.over(1.5)
    assert odds[0] is not None
    assert odds[0].alone == pytest.approx(later)  # it bears already: it need only live from June to the next year's end
    assert odds[1] is not None
    assert 0 < odds[1].alone <= odds[0].alone
    assert odds[2] is not None
    assert (odds[2].alone, odds[2].covered) == (0, 0)
    [year] = outlook_of(posts, [2021])
    assert year.covered == pytest.approx(sum(each.covered for each in odds if each is not None))
    designed = position_odds(home, 2021)
    assert designed is not None
    assert designed.alone == pytest.approx(0.875 * 0.9 * 0.97**4.75)  # 5 years and 9 months old, of 4 to 6
