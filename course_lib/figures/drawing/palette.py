"""The colours of all figures, for a light and for a dark page.

The hues, all but one, are those of the eight-colour set by Okabe and Ito ("Color Universal Design",
2008), chosen so that people who see fewer colours still tell them apart. Rules for who draws with
them:

* Colour is never the only mark: a shape, a pattern or a word says the same.
* Words are written in `ink` or `quiet`, or in `paper` on a filled mark: contrast 4.5 to 1 or more
  (WCAG 2.2, success criterion 1.4.3).
* Outlines, bars and lines that carry meaning: 3 to 1 or more against the page (criterion 1.4.11).

Tests compute these contrasts from the numbers below, and how far apart the marks stay in
protanopia, deuteranopia and tritanopia.
"""

__all__ = ["DARK", "LIGHT", "Theme"]

from typing import NamedTuple


class Theme(NamedTuple):
    """One set of colours, each named for its use, as "#rrggbb"."""

    paper: str  # what the figure stands on
    tint: str  # the inside of a box, hardly darker or lighter than the paper
    ink: str  # words and numbers
    quiet: str  # words of less weight
    line: str  # outlines, axes, and bars for what is neither one nor the other
    calm: str  # the mark for what is as it should be, or is pointed at
    alert: str  # the mark for what has changed or went wrong
    guess: str  # the mark for what the reader has guessed, and for nothing else


LIGHT = Theme(
    paper="#ffffff",
    tint="#f2f5f9",
    ink="#1a1d21",
    quiet="#50575f",
    line="#6b737c",
    calm="#0072b2",  # blue
    alert="#b84c00",  # vermilion, darker: white words on it keep 4.5 to 1
    guess="#7d2ad6",  # violet: the eight have no hue left that stays apart from all of these
)
DARK = Theme(
    paper="#16191d",
    tint="#22272e",
    ink="#eceff2",
    quiet="#b4bcc5",
    line="#8a939d",
    calm="#56b4e9",  # sky blue
    alert="#e69f00",  # orange
    guess="#b86bff",  # violet
)
