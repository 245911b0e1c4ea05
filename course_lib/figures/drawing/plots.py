"""Plots of data by matplotlib: in the colours of all figures, and with words that say the same.

A function that plots returns the axes it drew on, so go on with them as with any others. Axes made
here show themselves as the last value of a cell: the whole picture, its alternative text, and the
text, folded away. On axes of your own it draws as well; ask `shown` for the picture with its words.

    ax = band_plot(measured, "flows", "use (%)")
    ax.axhline(99, color="grey")
    ax

Series differ in colour, mark and line (`LOOKS`). On the dark page of JupyterLab our colours become
their dark twins; colours of your own stay as they are. Pictures saved to files are light.
"""

__all__ = [
    "LOOKS",
    "THEORY",
    "Plot",
    "Plots",
    "describe",
    "entitle",
    "name_parts",
    "new_plots",
    "shown",
    "theory_line",
]

import io
import re
from collections.abc import Sequence
from typing import Any

import matplotlib
from cycler import cycler
from matplotlib.axes import Axes
from matplotlib.figure import Figure as Canvas

from course_lib.figures.drawing.palette import DARK, LIGHT
from course_lib.figures.drawing.svg import DARK_PAGE, Figure, Words, drawing, element

_INCH = 72  # matplotlib measures in inches and points: with 72 dots an inch, a point is a pixel
_TICKS_ACROSS, _TICKS_UP = 6, 5

LOOKS: tuple[dict[str, Any], ...] = (
    {"color": LIGHT.calm, "marker": "o", "linestyle": "-"},
    {"color": LIGHT.alert, "marker": "s", "linestyle": (0, (4.5, 2))},
    {"color": LIGHT.ink, "marker": "^", "linestyle": (0, (1.4, 1.6))},
)
THEORY: dict[str, Any] = {"color": LIGHT.ink, "linestyle": (0, (3, 2)), "linewidth": 2}
_STYLE: Any = {
    "figure.facecolor": LIGHT.paper,
    "axes.facecolor": "none",
    "axes.edgecolor": LIGHT.line,
    "axes.linewidth": 1,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.labelcolor": LIGHT.quiet,
    "axes.labelsize": 12.5,
    "axes.prop_cycle": cycler(color=[look["color"] for look in LOOKS]),
} | {
    f"{axis}tick.{what}": value
    for axis in "xy"
    for what, value in {
        "major.size": 5,
        "color": LIGHT.line,
        "labelcolor": LIGHT.quiet,
        "labelsize": 11,
    }.items()
}


class Plot(Axes):
    """Axes that show the picture they are in as the value of a cell."""

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        return shown(self)._repr_mimebundle_()


class Plots(tuple[Axes, ...]):
    """The axes of one picture, which they show as the value of a cell."""

    __slots__ = ()

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        return shown(self[0])._repr_mimebundle_()


def new_plots(
    size: tuple[float, float],
    *boxes: tuple[float, float, float, float],
    axes: Sequence[Axes] | None = None,
) -> Plots:
    """Return empty axes in a new picture of width and height `size`, one for each box.

    Boxes are left, top, width and height of what the axes enclose. All in pixels. If there are
    `axes` already, they are taken, wherever they lie.
    """
    if axes is not None:
        return Plots(axes)
    width, height = size
    with matplotlib.rc_context(_STYLE):
        # A Canvas of its own and no pyplot, which would keep every picture until it is closed.
        picture = Canvas((width / _INCH, height / _INCH), dpi=_INCH)
        for left, top, wide, high in boxes:
            place = (left / width, 1 - (top + high) / height, wide / width, high / height)
            picture.add_axes(place, axes_class=Plot)
    return Plots(picture.axes)


def name_parts(
    ax: Axes, x_name: str, y_name: str, *, above: float = 4, left: float = 0, columns: int = 1
) -> None:
    """Name both axes, and number a few ticks; without a name, the lower one has no numbers.

    What marks and lines mean, if they have names, is told so many pixels above the plot, and from
    its left edge, in columns.
    """
    ax.set_xlabel(x_name)
    # Lying above its axis a name is read without turning the head.
    ax.set_ylabel(y_name, rotation=0, horizontalalignment="left", verticalalignment="bottom")
    ax.yaxis.set_label_coords(0, 1.04)
    ax.locator_params("x", nbins=_TICKS_ACROSS)
    ax.locator_params("y", nbins=_TICKS_UP)
    ax.xaxis.set_major_formatter("{x:,g}")
    ax.yaxis.set_major_formatter("{x:,g}")
    ax.tick_params("x", labelbottom=bool(x_name))
    if any(ax.get_legend_handles_labels()):
        ax.legend(
            loc="lower left", bbox_to_anchor=(left / ax.bbox.width, 1 + above / ax.bbox.height),
            ncols=columns, frameon=False, fontsize=12.5, labelcolor=LIGHT.ink, borderpad=0,
            borderaxespad=0, handlelength=2.2, handletextpad=0.5,
        )  # fmt: skip


def entitle(ax: Axes, words: Words, pixels: float) -> None:
    """Give a plot its words, and write the title of the picture, `pixels` above the plot."""
    describe(ax, words)
    ax.set_title(words.title, loc="left", pad=pixels, fontsize=16, fontweight="bold",
                 color=LIGHT.ink)  # fmt: skip


def theory_line(ax: Axes, points: Sequence[tuple[float, float]], name: str) -> None:
    """Draw a dashed line, with its name above its last point."""
    ax.plot(*zip(*points, strict=True), **THEORY)
    ax.annotate(
        name, points[-1], (-2, 6), textcoords="offset points", color=LIGHT.ink, fontsize=12,
        horizontalalignment="right",
    )  # fmt: skip


def describe(ax: Axes, words: Words) -> None:
    """Give a plot its words, in place of those that it may have."""
    ax.words = words  # type: ignore[attr-defined]


def shown(plots: Axes | Sequence[Axes]) -> Figure:
    """Return the picture in which plots are, with the words of all of them, as a workbook shows it.

    Raises `ValueError` if none of them has words; `describe` gives them.
    """
    one = plots if isinstance(plots, Axes) else plots[0]
    picture = one.figure.canvas.figure  # the whole one, wherever in it the axes may be
    told = [words for ax in picture.axes if (words := getattr(ax, "words", None))]
    if not told:
        raise ValueError("these plots have no words yet: describe(ax, Words(...)) gives them")
    titles, texts, spoken = zip(*told, strict=True)
    words = Words("; ".join(titles), "\n\n".join(texts), " ".join(spoken))
    width, height = (_INCH * side for side in picture.get_size_inches())
    markup = _markup(picture, words.alternative_text)
    return drawing(words, (width, height), _dark_twins(), markup)


def _markup(picture: Canvas, salt: str) -> str:
    """Return the elements of a picture, without the document around them.

    Its style sheet would restyle the page. Ids are made from content and `salt`, so that pictures
    on one page do not take each other's shapes, and the same plot is the same markup.
    """
    out = io.StringIO()
    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": salt}):
        picture.savefig(out, format="svg", dpi=_INCH, facecolor="none", metadata={"Date": None})
    svg = out.getvalue()
    shapes = svg[svg.index("<g ") : svg.rindex("</svg>")].replace("xlink:href", "href")
    # Marks are drawn by reference. Style sheets reach the reference, so its colour has to count.
    shapes = re.sub(r'(<path id="m[^>]* style=")stroke: #\w+;? ?', r"\1", shapes)
    return element("g", shapes, stroke_linejoin="round")


def _dark_twins() -> str:
    """Return rules for the dark page: matplotlib writes colours into each element."""
    rules = (
        f'{DARK_PAGE} [style*="{what}: {light}"]{{{what}:{dark}!important}}'
        for light, dark in zip(LIGHT, DARK, strict=True)
        for what in ("fill", "stroke")
    )
    return element("style", f"@media not print{{{''.join(rules)}}}")
