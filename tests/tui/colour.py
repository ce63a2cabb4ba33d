"""How colours are measured: their contrast, and how far apart they lie for one who sees red and green alike."""

from __future__ import annotations

from math import dist

from rich.color import Color
from rich.palette import Palette

TEXT = 7.0
"""The least contrast of text on its ground (W3C, 2018, Web Content Accessibility Guidelines 2.1, criterion 1.4.6)."""
REST = 4.5
"""The least contrast of what is no text; stricter than the 3:1 of the same guidelines' criterion 1.4.11."""
SEEN = {
    "all colours": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "no red cone": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "no green cone": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
}
"""What linear RGB becomes in an eye (Machado, Oliveira & Fernandes, 2009, A physiologically-based model for simulation
of color vision deficiency, IEEE Trans. Vis. Comput. Graph. 15(6): 1291-1298, matrices of severity 1.0 of its
supplement; read in several published programs that give the same figures, not in the supplement itself)."""


def linear(colour: Color, palette: Palette | None = None) -> tuple[float, float, float]:
    """Its parts as amounts of light, 0 to 1; of one of sixteen colours as a palette has it."""
    triplet = colour.triplet if palette is None or colour.number is None else palette[colour.number]
    assert triplet is not None, colour
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in triplet.normalized)
    return red, green, blue


def luminance(light: tuple[float, float, float]) -> float:
    """Relative luminance, 0 to 1 (W3C, 2018, WCAG 2.1, definition of relative luminance)."""
    red, green, blue = light
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Color, other: Color, palette: Palette | None = None) -> float:
    """1 to 21 (WCAG 2.1, definition of contrast ratio)."""
    light, dark = sorted((luminance(linear(one, palette)), luminance(linear(other, palette))), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def apart(one: Color, other: Color, eye: str, palette: Palette | None = None) -> float:
    """The CIE 1976 difference, in which about 2.3 is just seen (formulas and figure from memory)."""
    return dist(_lab(linear(one, palette), eye), _lab(linear(other, palette), eye))


def _lab(light: tuple[float, float, float], eye: str) -> tuple[float, float, float]:
    """CIE L*a*b* under daylight D65, sRGB primaries."""
    seen = [min(1.0, max(0.0, sum(m * part for m, part in zip(row, light, strict=True)))) for row in SEEN[eye]]
    rows = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
    xyz = (sum(m * part for m, part in zip(row, seen, strict=True)) for row in rows)
    x, y, z = (part / white for part, white in zip(xyz, (0.9505, 1.0, 1.089), strict=True))
    fx, fy, fz = (part ** (1 / 3) if part > 216 / 24389 else part * 841 / 108 + 4 / 29 for part in (x, y, z))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)
