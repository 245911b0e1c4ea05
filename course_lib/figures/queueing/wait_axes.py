"""Draw the mean wait against the load of a line: theory as lines, what was measured as dots.

Both axes never change, so settings can be compared: 0 to 100 % of the line, 0 to 25 packet times.
A wait beyond is drawn as an arrow at the upper edge, and its number says it.
"""

__all__ = [
    "ASKED_PERCENT", "FOOT", "GUESSES", "LEFT", "LOADS", "RIGHT",
    "earlier_dots", "load_at", "load_axes", "load_knob", "measured_dot", "rungs", "theory_line",
    "wait_y",
]  # fmt: skip

from collections.abc import Iterable

from course_lib.experiments.intervals import Band
from course_lib.ferry.one_line import LineTraffic, expected_wait
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, element, group, label, path

LEFT, RIGHT, TOP, FOOT = 64.0, 454.0, 76.0, 386.0  # pixels, as all that follows
MOST = 25  # packet times
LOADS = range(5, 96)  # percent that can be chosen
ASKED_PERCENT = 90
GUESSES = range(MOST + 1)
WAIT_TICKS, LOAD_TICKS = range(0, MOST + 1, 5), range(0, 101, 25)
_SMALL, _STEPS = 12.5, 2  # steps of a line for each percent
_RUNG = (FOOT - TOP) / MOST


def load_at(percent: float) -> float:
    """Return where a load in percent stands."""
    return LEFT + percent / 100 * (RIGHT - LEFT)


def wait_y(wait: float) -> float:
    """Return the height of a wait in packet times; what is beyond the axis lies on its end."""
    return FOOT - min(wait, MOST) / MOST * (FOOT - TOP)


def load_axes() -> str:
    """Return both axes with their numbers and names."""
    ticks = "".join(f"M{load_at(percent):g} {FOOT:g}v5" for percent in LOAD_TICKS)
    numbers = [
        label(f"{percent}", load_at(percent), FOOT + 32, "quiet", _SMALL, "middle")
        for percent in LOAD_TICKS
    ]
    waits = [
        label(f"{wait}", LEFT - 7, wait_y(wait) + 4, "quiet", _SMALL, "end") for wait in WAIT_TICKS
    ]
    return "".join((
        path("axis", f"M{LEFT:g} {TOP:g}V{FOOT:g}H{RIGHT:g}{ticks}"),
        label("mean wait (packet times)", 20, TOP - 18, "quiet", _SMALL),
        label("load of the line (%)", (LEFT + RIGHT) / 2, FOOT + 52, "quiet", _SMALL, "middle"),
        *numbers,
        *waits,
    ))  # fmt: skip


def theory_line(traffic: LineTraffic, look: str) -> str:
    """Return the wait that theory expects, for loads up to where it leaves the axes."""
    points = []
    for step in range(1, 100 * _STEPS):
        wait = expected_wait(traffic, step / (100 * _STEPS)).wait
        if wait > MOST:
            break
        points.append(f"{load_at(step / _STEPS):.1f} {wait_y(wait):.1f}")
    return path(look, "M" + "L".join(points))


def earlier_dots(bands: Iterable[Band], look: str = "neither") -> str:
    """Return small dots for loads that were measured before."""
    dots = [
        element("circle", cx=load_at(100 * one.x), cy=wait_y(one.mean), r=3.2, class_=look)
        for one in bands
        if one.mean <= MOST
    ]
    return "".join(dots) or path("axis", "M0 0")


def measured_dot(band: Band, *, is_coarse: bool) -> str:
    """Return what is measured now: a dot with its interval; a ring as long as it is coarse."""
    x, y = load_at(100 * band.x), wait_y(band.mean)
    if band.mean > MOST:
        return path("alert", f"M{x - 7:g} {TOP + 9:g}h14l-7 -12z")
    if is_coarse:
        return element("circle", cx=x, cy=y, r=6, class_="torn", stroke_dasharray="3 2")
    low, high = wait_y(max(band.low, 0)), wait_y(band.high)
    foot = f"M{x - 6:g} {low:.1f}h12"
    head = f"M{x - 6:g} {high:.1f}h12" if band.high <= MOST else ""
    return path("measured", f"M{x:g} {low:.1f}V{high:.1f}{foot}{head}") + element(
        "circle", cx=x, cy=round(y, 1), r=5.5, class_="alert"
    )


def load_knob(percent: int, wait: float) -> list[Part]:
    """Return the knob under the axis that is dragged, and the plumb line up to the dot."""
    x = load_at(percent)
    knob = group(
        "the load of the line: drag it",
        box("hit", x - 14, FOOT - 8, 28, 30),
        path("ink", f"M{x:g} {FOOT:g}l8 8v10h-16v-10z"),
    )
    plumb = path("axis", f"M{x:g} {FOOT:g}V{wait_y(wait):.1f}")
    return [Part("plumb", plumb), Part("load", knob)]


def rungs() -> list[Part]:
    """Return a ladder at the load that is asked for: each rung is pressed to guess its wait."""
    x = load_at(ASKED_PERCENT)
    rails = path("gap", f"M{x:g} {FOOT:g}V{TOP:g}")
    words = label(f"at {ASKED_PERCENT} %?", x - 8, TOP - 10, "ink strong", _SMALL, "end")
    return [
        Part("ladder", rails + words),
        *(
            Part(
                f"rung {wait}",
                group(
                    f"guess {wait}",
                    box("hit", x - 22, wait_y(wait) - _RUNG / 2, 44, _RUNG),
                    path("axis", f"M{x - 9:g} {wait_y(wait):.1f}h18"),
                ),
            )
            for wait in GUESSES
        ),
    ]
