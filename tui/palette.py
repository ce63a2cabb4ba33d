"""The colours: bark, lichen, clay and sky on a ground, dark and light, and the nearest that sixteen colours have.

Text has at least 7:1 on every ground, the rest 4.5:1, and no two are alike to one who sees red and green alike
(tests/tui/screens/test_palette.py measures both).
"""

from __future__ import annotations

from textual.theme import Theme

from engine.reading.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Palette:
    """The colours of one look, as Textual writes them."""

    ground: str
    raised: str
    """The ground of heads, headings and forms."""
    field: str
    """The ground of what is typed into."""
    tint: str
    """The ground of the line under the cursor."""
    text: str
    sky: str
    """What can be done now; frost."""
    clay: str
    """What closes or was missed; too many hours."""
    lichen: str
    """Headings; light."""
    bark: str
    """What waits, is over, or only explains."""
    rule: str
    """Lines between the parts."""


DARK = Palette(
    ground="#1d1716", raised="#2a2220", field="#342b28", tint="#1d303b", text="#f0ece6",
    sky="#a9d5f8", clay="#fbb289", lichen="#d6edb4", bark="#cdbaaf", rule="#a39389",
)  # fmt: skip
LIGHT = Palette(
    ground="#fbf9f7", raised="#f2ede8", field="#eee7e1", tint="#d3e8f4", text="#1f1815",
    sky="#0d3b72", clay="#792b00", lichen="#00424a", bark="#54473c", rule="#6f6055",
)  # fmt: skip
# Of sixteen colours too few are light (or dark) enough for a tint: the cursor's line is drawn in reverse.
DARK_16 = Palette(
    ground="ansi_black", raised="ansi_black", field="ansi_black", tint="ansi_black", text="ansi_bright_white",
    sky="ansi_bright_cyan", clay="ansi_bright_yellow", lichen="ansi_bright_white", bark="ansi_white",
    rule="ansi_white",
)  # fmt: skip
LIGHT_16 = Palette(
    ground="ansi_bright_white", raised="ansi_bright_white", field="ansi_bright_white", tint="ansi_bright_white",
    text="ansi_black", sky="ansi_blue", clay="ansi_red", lichen="ansi_black", bark="ansi_bright_black",
    rule="ansi_bright_black",
)  # fmt: skip


def _theme(name: str, of: Palette, dark: bool, sixteen: bool = False) -> Theme:
    few = {  # what Textual's own styles ask of a theme that names the terminal's colours
        "ansi-background": of.ground, "ansi-foreground": of.text, "border-blurred": of.bark,
        "block-cursor-foreground": of.ground, "block-cursor-background": of.text,
        "input-cursor-foreground": of.ground, "input-cursor-background": of.text, "input-cursor-text-style": "none",
        "input-selection-foreground": of.ground, "input-selection-background": of.sky,
        "screen-selection-foreground": of.ground, "screen-selection-background": of.sky,
    }  # fmt: skip
    return Theme(
        name=name, dark=dark, ansi=sixteen, foreground=of.text, background=of.ground, surface=of.raised, panel=of.field,
        primary=of.lichen, secondary=of.bark, accent=of.sky, warning=of.clay, error=of.clay, success=of.lichen,
        variables={"tint": of.tint, "rule": of.rule, **(few if sixteen else {})},
    )  # fmt: skip


THEMES = (
    _theme("widger-dark", DARK, True),
    _theme("widger-light", LIGHT, False),
    _theme("widger-dark-16", DARK_16, True, True),
    _theme("widger-light-16", LIGHT_16, False, True),
)


def other(name: str) -> str:
    """The light look for the dark one, the dark for the light, with as many colours."""
    swapped = name.replace("dark", "light") if "dark" in name else name.replace("light", "dark")
    return swapped if swapped in {theme.name for theme in THEMES} else "widger-dark"
