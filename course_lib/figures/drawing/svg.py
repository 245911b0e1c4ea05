"""Write SVG by hand: elements as text, one style sheet, and the `Figure` that a workbook shows.

An element is a string; a drawing is the join of its elements. Three rules hold everywhere:

* Every word passes through `escape`, so nothing that a reader typed can become markup.
* Looks are classes of the one style sheet below, written out once for the light page and once for
  the dark one of JupyterLab; paper is always light. No `var()`, which some converters do not read.
* A drawing is an image with a title and a description (SVG 2, section 5.6). Nothing in it is
  referred to by an id, so any number of drawings can stand on one page.

A live figure is drawn again with every move of the hand, nearly as it was: so the small pieces are
remembered.
"""

__all__ = [
    "DARK_PAGE",
    "Figure",
    "Words",
    "box",
    "drawing",
    "element",
    "escape",
    "group",
    "hatching",
    "label",
    "path",
    "style_sheet",
]

import functools
import html
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.palette import DARK, LIGHT, Theme

Attribute = str | float | None

DARK_PAGE = 'body[data-jp-theme-light="false"] .hop-figure'  # selects drawings on such a page

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # XML 1.0, 2.2
_SANS = "Helvetica,Arial,'Liberation Sans',sans-serif"
_MONO = "'DejaVu Sans Mono',Menlo,Consolas,'Liberation Mono',monospace"
_SHAPES = f"""
.hop-figure{{max-width:100%;height:auto;display:block}}
.hop-figure text{{font-family:{_SANS}!important}}
.hop-figure .mono{{font-family:{_MONO}!important}}
.hop-figure .strong{{font-weight:bold}}
.hop-picture:has(>svg){{display:block!important}}
.hop-picture:has(>svg)+.hop-plain{{display:none}}
"""


class Words(NamedTuple):
    """What stands for a picture: its title, all of its numbers, and a few sentences to hear."""

    title: str
    text: str
    alternative_text: str


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing, the same as plain text, and one sentence for who hears it read out.

    As the last value of a cell it shows itself: the page with the drawing and its text, the bare
    drawing where only pictures go, the text in a terminal.
    """

    title: str
    svg: str
    text: str
    alternative_text: str

    def html(self) -> str:
        """Return the drawing, and under it the text, folded away.

        Jupyter takes drawings out of a notebook that it does not trust, and leaves a heap of their
        words. Without a drawing in it the first part stays hidden, and the plain text is shown.
        """
        # hidden="hidden": an attribute without a value would be taken out too
        text = f"<pre>{escape(self.text)}</pre>"
        return (
            f'<div class="hop-picture" hidden="hidden">{self.svg}'
            f"<details><summary>The same as text</summary>{text}</details></div>"
            f'<div class="hop-plain">{text}</div>'
        )

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        return {"text/html": self.html(), "image/svg+xml": self.svg, "text/plain": self.text}

    def __str__(self) -> str:
        return self.text


def drawing(words: Words, size: tuple[float, float], *shapes: str) -> Figure:
    """Return shapes as a figure with its words; `size` is its width and height in pixels."""
    title, text, spoken = words
    width, height = size
    svg = element(
        "svg",
        element("title", escape(title)),
        element("desc", escape(spoken)),
        element("style", style_sheet()),
        box("paper", 0, 0, width, height, 6),
        *shapes,
        xmlns="http://www.w3.org/2000/svg",
        class_="hop-figure",
        role="img",
        aria_label=f"{title}. {spoken}",
        viewBox=f"0 0 {width:g} {height:g}",
        width=width,
        height=height,
    )
    return Figure(title, svg, text, spoken)


def element(name: str, *children: str, **attributes: Attribute) -> str:
    """Return one element. Children are markup already; attributes are not, and are escaped.

    `class_` stands for class, `stroke_width` for stroke-width; None leaves an attribute out.

    >>> element("line", x1=0, x2=2.5, stroke_width=1, class_="axis")
    '<line x1="0" x2="2.5" stroke-width="1" class="axis"/>'
    """
    head = f"<{name}"
    for key, value in attributes.items():
        if value is not None:
            text = escape(value) if isinstance(value, str) else f"{value:g}"
            head = f'{head} {_in_markup(key)}="{text}"'
    return f"{head}>{''.join(children)}</{name}>" if children else f"{head}/>"


def label(
    words: str,
    x: float | Iterable[float],
    y: float,
    look: str = "ink",
    size: float = 12,
    anchor: str | None = None,
    room: float | None = None,
) -> str:
    """Return words at a place, squeezed where `room` is too narrow; without words, nothing.

    `x` may be a place for every character.
    """
    places = x if isinstance(x, float | int) else " ".join(f"{one:g}" for one in x)
    return _label(words, places, y, look, size, anchor, room)


@functools.lru_cache(maxsize=8192)
def _label(
    words: str,
    places: float | str,
    y: float,
    look: str,
    size: float,
    anchor: str | None,
    room: float | None,
) -> str:
    if not words:
        return ""
    squeezed = room if room is not None and width_of(words, size, look) > room else None
    return element(
        "text", escape(words), x=places, y=y, class_=look, font_size=size, text_anchor=anchor,
        textLength=squeezed, lengthAdjust="spacingAndGlyphs" if squeezed else None,
    )  # fmt: skip


@functools.lru_cache(maxsize=8192)
def box(
    look: str, x: float, y: float, width: float, height: float, corner: float | None = None
) -> str:
    """Return a rectangle; `corner` is the radius of its corners."""
    return element("rect", x=x, y=y, width=width, height=height, rx=corner, class_=look)


def path(look: str, d: str) -> str:
    """Return lines; `d` says where they run, as SVG 2, section 9.3, has it."""
    return element("path", d=d, class_=look)


def group(tip: str, *shapes: str) -> str:
    """Return shapes that say what they are to who points at them."""
    return element("g", element("title", escape(tip)), *shapes)


@functools.lru_cache(maxsize=1024)
def hatching(x: float, y: float, width: float, height: float, step: float = 7) -> str:
    """Return the path of slanted lines that fill a box, for a `path` element's `d`."""
    lines = []
    for shift in range(int(step), int(width + height), int(step)):
        top_x, left_y = min(shift, width), min(shift, height)
        lines.append(f"M{x + top_x:g} {y + shift - top_x:g}L{x + shift - left_y:g} {y + left_y:g}")
    return "".join(lines)


@functools.lru_cache(maxsize=8192)
def escape(words: str) -> str:
    """Return words so that they stand as text in markup; what XML forbids becomes U+FFFD."""
    return html.escape(_NOT_XML.sub("\ufffd", words))


@functools.cache
def _in_markup(name: str) -> str:
    return name.rstrip("_").replace("_", "-")


@functools.cache
def style_sheet() -> str:
    """Return the looks of all drawings, on a light and on a dark page."""
    dark = _rules(DARK, DARK_PAGE)
    return f"{_SHAPES}{_rules(LIGHT, '.hop-figure')}@media not print{{{dark}}}"


def _rules(theme: Theme, scope: str) -> str:
    looks = {
        "paper": f"fill:{theme.paper}",
        "ink": f"fill:{theme.ink}",
        "quiet": f"fill:{theme.quiet}",
        "box": f"fill:{theme.tint};stroke:{theme.line}",
        "gap": f"fill:none;stroke:{theme.line};stroke-dasharray:4 3",
        "axis": f"fill:none;stroke:{theme.line}",
        "changed": f"fill:none;stroke:{theme.alert};stroke-width:2.5",
        "slant": f"fill:none;stroke:{theme.alert};opacity:.35",
        "torn": f"fill:none;stroke:{theme.alert};stroke-width:2",
        "data": f"fill:{theme.line};opacity:.5",
        "alert": f"fill:{theme.alert}",
        "on-mark": f"fill:{theme.paper}",
        "chosen": f"fill:none;stroke:{theme.calm};stroke-width:2.5",
        "calm": f"fill:{theme.calm}",
        "guess": f"fill:{theme.guess}",
        "guessed": f"fill:none;stroke:{theme.guess};stroke-width:2.5",
        "neither": f"fill:{theme.paper};stroke:{theme.line};stroke-width:1.5",
        "expected": f"fill:none;stroke:{theme.ink};stroke-width:2;stroke-dasharray:6 4",
        "hit": "fill:transparent",
        "haloed": f"paint-order:stroke;stroke:{theme.paper};stroke-width:3px",
        "measured": f"fill:none;stroke:{theme.alert};stroke-width:3",
        # Lines of no length with round ends: a dot takes a tenth of the markup of a circle.
        "packets": f"fill:none;stroke:{theme.calm};stroke-width:4.2;stroke-linecap:round",
        "fallen": f"fill:none;stroke:{theme.alert};stroke-width:4.2;stroke-linecap:round",
    }
    return "".join(f"{scope} .{name}{{{look}}}\n" for name, look in looks.items())
