"""The colours of all figures, for a light and for a dark page.

The hues are those of the eight-colour set by Okabe and Ito ("Color Universal Design", 2008), chosen
so that people who see fewer colours still tell them apart. Rules for who draws with them:

* Colour is never the only mark: a shape, a pattern or a word says the same.
* Words are written in `ink` or `quiet`, or in `paper` on a filled mark: contrast 4.5 to 1 or more
  (WCAG 2.2, success criterion 1.4.3).
* Outlines, bars and lines that carry meaning: 3 to 1 or more against the page (criterion 1.4.11).

Tests compute these contrasts from the numbers below, and how far apart the marks stay in
protanopia, deuteranopia and tritanopia.
"""

__all__ = ["DARK", "LIGHT", "OKABE_ITO", "Theme", "contrast"]

from typing import NamedTuple

OKABE_ITO = {
    "black": "#000000",
    "orange": "#e69f00",
    "sky blue": "#56b4e9",
    "bluish green": "#009e73",
    "yellow": "#f0e442",
    "blue": "#0072b2",
    "vermilion": "#d55e00",
    "reddish purple": "#cc79a7",
}


class Theme(NamedTuple):
    """One set of colours, each named for its use, as "#rrggbb"."""

    paper: str  # what the figure stands on
    tint: str  # the inside of a box, hardly darker or lighter than the paper
    ink: str  # words and numbers
    quiet: str  # words of less weight
    line: str  # outlines, axes, and bars for what is neither one nor the other
    calm: str  # the mark for what is as it should be, or is pointed at
    alert: str  # the mark for what has changed or went wrong


LIGHT = Theme(
    paper="#ffffff",
    tint="#f2f5f9",
    ink="#1a1d21",
    quiet="#50575f",
    line="#6b737c",
    calm=OKABE_ITO["blue"],
    alert="#b84c00",  # vermilion, darker: white words on it keep 4.5 to 1
)
DARK = Theme(
    paper="#16191d",
    tint="#22272e",
    ink="#eceff2",
    quiet="#b4bcc5",
    line="#8a939d",
    calm=OKABE_ITO["sky blue"],
    alert=OKABE_ITO["orange"],
)


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.2, "contrast ratio").

    >>> round(contrast("#ffffff", "#000000"), 1)
    21.0
    """
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Return the relative luminance of a colour, 0 to 1 (WCAG 2.2, "relative luminance")."""
    red, green, blue = (_linear(int(colour[place : place + 2], 16) / 255) for place in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4
