"""Draw a stretch of a run: packets as they come, and how much work waits for the line.

The saw-tooth is the wait that a packet would have if it came now: each arrival lifts it by the
packet's own size, and the line works it off. Its heights are those of the curve beside it, so the
mean wait is a level line through both. Time runs to the right.
"""

__all__ = ["WINDOW", "Stretch", "stretch_before", "stretch_in_words", "work_window"]

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from course_lib.ferry.one_line import LineRun
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import label, path
from course_lib.figures.queueing.wait_axes import FOOT, MOST, TOP, wait_y

WINDOW = 100  # packet times
_LEFT, _RIGHT = 562.0, 842.0  # pixels, as all that follows
_PACKETS_Y, _TALLEST, _LARGEST = 418.0, 22.0, 4.5  # foot, height, and packet times of a bar
_SMALL = 12.5


class Stretch(NamedTuple):
    """The packets of a window: when they came after its begin, size, wait; all in packet times."""

    came: tuple[float, ...]
    size: tuple[float, ...]
    wait: tuple[float, ...]
    before: float  # what was left of the work when the window began


def stretch_before(run: LineRun, end: float) -> Stretch:
    """Return the window of a run that ends at a time."""
    begin = max(0.0, end - WINDOW)
    first, behind = np.searchsorted(run.came, (begin, end), side="right")
    before = 0.0
    if first:
        last = first - 1
        before = max(0.0, float(run.came[last] + run.wait[last] + run.size[last]) - begin)
    inside = slice(first, behind)
    came, size, wait = run.came[inside] - begin, run.size[inside], run.wait[inside]
    return Stretch(tuple(came.tolist()), tuple(size.tolist()), tuple(wait.tolist()), before)


def stretch_in_words(stretch: Stretch) -> str:
    """Return how many packets came, and how long the longest wait was."""
    longest = max(stretch.wait, default=0.0)
    return f"{len(stretch.came)} packets came, the longest wait was {longest:.1f}"


def work_window(stretch: Stretch, mean: float, dot_x: float) -> list[Part]:
    """Return the parts; the mean wait is drawn from the dot at `dot_x` through the window."""
    y = wait_y(mean)
    return [
        Part("window", _frame()),
        Part("work", path("chosen", _saw_tooth(stretch))),
        Part("mean", path("gap", f"M{dot_x:g} {y:.1f}H{_RIGHT:g}")),
        Part("packets", path("chosen", _bars(stretch))),
        Part("longest", label(
            stretch_in_words(stretch), _RIGHT, FOOT + 52, "ink", _SMALL, "end", _RIGHT - _LEFT
        )),
    ]  # fmt: skip


def _frame() -> str:
    return (
        path("axis", f"M{_LEFT:g} {TOP:g}V{FOOT:g}H{_RIGHT:g}")
        + label("work that waits for the line", _LEFT, TOP - 36, "quiet", _SMALL)
        + label(f"over the last {WINDOW} packet times", _LEFT, TOP - 18, "quiet", _SMALL)
        + label("packets", _LEFT - 7, _PACKETS_Y - 2, "quiet", _SMALL, "end")
    )


def _x(time: float) -> float:
    return _LEFT + time / WINDOW * (_RIGHT - _LEFT)


def _saw_tooth(stretch: Stretch) -> str:
    """Lift the line by each packet's size, let it fall at the rate of time; never below 0."""
    return "M" + "L".join(f"{_x(time):.1f} {wait_y(work):.1f}" for time, work in _corners(stretch))


def _corners(stretch: Stretch) -> Iterator[tuple[float, float]]:
    time, work = 0.0, stretch.before
    yield time, work
    for came, size, wait in zip(stretch.came, stretch.size, stretch.wait, strict=True):
        yield from _falling(time, work, came)
        yield came, wait
        time, work = came, wait + size
        yield time, work
    yield from _falling(time, work, WINDOW)
    yield WINDOW, max(0.0, work - (WINDOW - time))


def _falling(time: float, work: float, to: float) -> Iterator[tuple[float, float]]:
    """Yield where work leaves the axes' end downwards, and where it is done, before a time."""
    if work > MOST and time + work - MOST < to:
        yield time + work - MOST, MOST
    if 0 < work < to - time:
        yield time + work, 0.0


def _bars(stretch: Stretch) -> str:
    bars = [
        f"M{_x(came):.1f} {_PACKETS_Y:g}v{-_TALLEST * min(size, _LARGEST) / _LARGEST:.1f}"
        for came, size in zip(stretch.came, stretch.size, strict=True)
    ]
    return "".join(bars) or "M0 0"
