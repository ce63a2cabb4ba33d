"""What a device is called: one name, one file, in any script; a machine that bears another's name is noticed."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.journal.device_names import DEVICE, claim, claimed_by_another, device_key, is_of, of_device, writer

NAMES = [
    "shed", "shed laptop", "shed-laptop", "shed_laptop", "сарай", "офис", "büro", "bäro", "b-ro", "buro", "納屋",
    "事務所", "💻", "", ".", "..", "a/b", "a\\b", "con:", "x" * 40, "x" * 41, "x" * 400, "desktop.home", "сарай 2",
]  # fmt: skip


def test_no_two_names_share_a_file():
    for one, other in combinations(NAMES, 2):
        assert device_key(one) != device_key(other), (one, other)


def test_a_plain_name_stands_as_it_is_and_case_makes_no_other():
    assert device_key("shed-laptop") == "shed-laptop"
    assert device_key(" Shed-Laptop ") == "shed-laptop"  # where a file system folds case they were one file
    assert device_key("DESKTOP-A1B2") == "desktop-a1b2"
    assert device_key("Büro") == device_key("bu\u0308ro")  # composed or not, as another system hands it on
    assert device_key("büro").startswith("buro~")


@given(st.text(st.characters(codec=None), max_size=60), st.text(st.characters(codec=None), max_size=60))
def test_a_name_in_any_script_makes_a_file_name_for_any_system(one: str, other: str):
    key = device_key(one)
    assert DEVICE.fullmatch(key)
    assert len(key) <= 50
    assert key == key.lower()
    if key == device_key(other) and len(one) < 40:
        assert "~" in key or one.split() == other.split() or one.casefold().split() == other.casefold().split()


@pytest.mark.parametrize("name", NAMES)
def test_the_entries_of_a_device_are_known_by_its_name(name: str):
    key = device_key(name)
    for entry in (f"{key}-0a1b2c", f"{key}-0a1b2c-000003"):
        assert is_of(entry, key)
        assert of_device(entry) == key
        assert not any(is_of(entry, device_key(other)) for other in NAMES if other != name)


def test_entries_from_before_are_known_case_aside():
    assert is_of("DESKTOP-A1-0a1b2c", "desktop-a1")
    assert not is_of("shed-laptop-0a1b2c", "shed")


def test_the_first_machine_has_the_name_and_another_is_noticed(tmp_path: Path):
    assert writer(tmp_path, "shed", "aaaa1111") == "shed"
    claim(tmp_path, "shed", "aaaa1111")
    claim(tmp_path, "shed", "bbbb2222")
    assert not claimed_by_another(tmp_path, "shed", "aaaa1111")
    assert claimed_by_another(tmp_path, "shed", "bbbb2222")
    assert writer(tmp_path, "shed", "aaaa1111") == "shed"
    assert writer(tmp_path, "shed", "bbbb2222") == "shed~bbbb2222"
    assert writer(tmp_path, "shed", "") == "shed"  # a machine that cannot be told from others is taken at its word
    assert not is_of("shed~bbbb2222-0a1b2c", "shed")


def test_a_claim_that_cannot_be_read_or_written_hinders_nothing(tmp_path: Path):
    (tmp_path / "shed.machine").mkdir()
    claim(tmp_path, "shed", "aaaa1111")
    claim(tmp_path / "gone", "shed", "aaaa1111")
    assert writer(tmp_path, "shed", "aaaa1111") == "shed"
