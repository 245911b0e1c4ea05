"""The marks for what became of an answer: a sign for text, and a drawn shape for a page.

Right, partly right and wrong are told apart by shape alone, so in grey and by who sees few
colours too: a full disc with a tick, a disc that is half full, a square with a cross. What was
stopped has a triangle; where nothing was judged the outline is broken.
"""

__all__ = [
    "NONE",
    "PARTLY",
    "RIGHT",
    "STOPPED",
    "WAITS",
    "WRONG",
    "Sign",
    "drawn",
    "rules",
    "shapes",
    "style",
]

from typing import NamedTuple

from course_lib.figures.drawing.palette import DARK, LIGHT, Theme
from course_lib.figures.drawing.svg import element, path

_DISC = "M20 3a17 17 0 1 1 0 34a17 17 0 1 1 0-34z"
_HALF = "M20 3a17 17 0 1 0 0 34z"  # the left one
_SQUARE = "M5 5h30v30h-30z"
_TRIANGLE = "M20 3L38 36H2z"


class Sign(NamedTuple):
    """A mark: one character, the name of its look, and the lines of its shape, by their looks."""

    character: str
    look: str
    lines: tuple[tuple[str, str], ...]


RIGHT = Sign("✓", "right", (("full", _DISC), ("cut", "M11 21l6 6l12-14")))
PARTLY = Sign("◐", "partly", (("edge", _DISC), ("full", _HALF)))
WRONG = Sign("✗", "wrong", (("full", _SQUARE), ("cut", "M12 12l16 16M28 12l-16 16")))
STOPPED = Sign("!", "stopped", (("full", _TRIANGLE), ("cut", "M20 15v10M20 30v1")))
NONE = Sign("○", "none", (("broken", _DISC),))
WAITS = Sign("?", "waits", (("broken", _DISC), ("edge", "M15 15a5 5 0 1 1 6 6v3M21 28v2")))


def drawn(sign: Sign, size: int) -> str:
    """Return the shape of a mark as markup; the word beside it says the same, so it is silent."""
    lines = (path(f"hop-{look}", d) for look, d in sign.lines)
    return element(
        "svg", *lines, xmlns="http://www.w3.org/2000/svg", viewBox="0 0 40 40",
        width=size, height=size, class_=f"hop-sign hop-{sign.look}", aria_hidden="true",
    )  # fmt: skip


def style(around: str) -> str:
    """Return the looks of all marks within `around`, in JupyterLab, light and dark."""
    dark = f'body[data-jp-theme-light="false"] {around}'
    return f"{shapes(around)}{rules(around, LIGHT)}@media not print{{{rules(dark, DARK)}}}"


def shapes(around: str) -> str:
    """Return the looks that marks within `around` have on every page."""
    return (
        f"{around} .hop-edge,{around} .hop-broken{{fill:none;stroke-width:3}}"
        f"{around} .hop-broken{{stroke-dasharray:6 4.5}}"
        f"{around} .hop-cut{{fill:none;stroke-width:4.5;stroke-linecap:round}}"
    )


def rules(scope: str, theme: Theme) -> str:
    """Return the colours of marks within `scope` on a page of one theme."""
    colours = {"right": theme.calm, "partly": theme.calm, "wrong": theme.alert,
               "stopped": theme.alert, "none": theme.quiet, "waits": theme.quiet}  # fmt: skip
    written = [f"{scope} .hop-cut{{stroke:{theme.paper}}}"]
    for look, colour in colours.items():
        written.append(
            f"{scope} .hop-{look} .hop-full{{fill:{colour}}}"
            f"{scope} .hop-{look} .hop-edge,{scope} .hop-{look} .hop-broken{{stroke:{colour}}}"
            f"{scope} .hop-word.hop-{look}{{color:{colour}}}"
        )
    return "".join(written)
