"""A page over the screen breaks its lines beneath their first words, at any width."""

from io import StringIO

import pytest
from rich.console import Console
from rich.text import Text

from tui.forms.page import Hung

TOLD = "  ! radicles seen 26 Feb, open from 30 Mar\n\n      opens 30 Mar: soil workable\nSafe from mice."
NARROW = """  ! radicles seen 26
    Feb, open from 30
    Mar

      opens 30 Mar: soil
      workable
Safe from mice."""


@pytest.mark.parametrize(("width", "shown"), [(80, TOLD), (24, NARROW)])
def test_a_line_that_is_broken_goes_on_beneath_its_first_word(width: int, shown: str) -> None:
    told = StringIO()
    Console(file=told, width=width, color_system=None).print(Hung(Text(TOLD)), end="")
    assert [line.rstrip() for line in told.getvalue().rstrip().split("\n")] == shown.split("\n")
