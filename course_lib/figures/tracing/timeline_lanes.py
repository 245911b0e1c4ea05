"""What a picture of a timeline shows: spans on lanes, in a window, on an axis without idle time.

A *span* says that a signal had a value for some steps. Signals that are sometimes without a value
are places: their values are the packets that were in them. All others are levels, such as the depth
of a queue.
"""

__all__ = ["Lane", "Scene", "Span", "Window", "scene_of"]

import bisect
from collections.abc import Sequence
from itertools import groupby, pairwise
from typing import NamedTuple

import numpy as np

from course_lib.tracing.timeline import Timeline, ValueChange

_STEP, _BREAK = 15.0, 46.0  # the width of a step, and of idle time that is cut out, in pixels
_NARROWEST = 0.6  # steps may shrink so far if then the whole run finds room
_LONGEST_IDLE = 6  # steps without a change that are drawn as they are
_UNITS = ((1.0, "s"), (1e-3, "ms"), (1e-6, "µs"), (1e-9, "ns"), (1e-12, "ps"), (1e-15, "fs"))


class Span(NamedTuple):
    """A signal has `value` from step `start` on, until `stop`."""

    value: int
    start: int
    stop: int


class Lane(NamedTuple):
    """All spans of one signal, in order."""

    signal: str
    is_place: bool  # its values are packets
    spans: tuple[Span, ...]


class Window(NamedTuple):
    """The steps that are drawn: where they lie, and where idle time is cut out."""

    steps: tuple[int, ...]  # those with a change, and the one at which the window ends
    places: tuple[float, ...]  # of these steps, in pixels
    step: float  # the width of one, in pixels

    @property
    def start(self) -> int:
        """The first step."""
        return self.steps[0]

    @property
    def stop(self) -> int:
        """The step at which the window ends."""
        return self.steps[-1]

    @property
    def breaks(self) -> list[tuple[int, int]]:
        """The stretches of idle time that are cut out, from one step to another."""
        return [(one, other) for one, other in pairwise(self.steps) if other - one > _LONGEST_IDLE]

    def x(self, step: int) -> float:
        """Return where a step is drawn; steps outside the window lie at its edges."""
        return float(np.interp(step, self.steps, self.places))


class Scene(NamedTuple):
    """What is drawn: the window, the lanes that change in it, and the levels that do not.

    The spans are cut to the window. `still` has no level that has no value in the whole run.
    """

    timeline: Timeline
    window: Window
    lanes: tuple[Lane, ...]
    still: tuple[Lane, ...]
    packets: int  # how many there are in the whole run
    packet: int | None = None  # one that is pointed at

    @property
    def places(self) -> list[Lane]:
        """The lanes in which packets are seen."""
        return [lane for lane in self.lanes if lane.is_place and lane.spans]

    @property
    def scale(self) -> tuple[int, str]:
        """A step as a number of a unit: 1, 10 or 100."""
        size, unit = _unit(self.timeline.step_s)
        return round(self.timeline.step_s / size), unit

    def words(self, steps: int) -> str:
        """Return the time of a step, with its unit."""
        number, unit = self.scale
        return f"{steps * number:,} {unit}"

    def short(self, steps: int) -> str:
        """Return a stretch of time with three digits at most, in the unit that suits it."""
        time_s = float(f"{steps * self.timeline.step_s:.2e}")
        size, unit = _unit(time_s)
        return f"{time_s / size:.3g} {unit}"


def scene_of(
    timeline: Timeline,
    start_s: float,
    stop_s: float | None,
    packet: int | None,
    ends: tuple[float, float],
) -> Scene:
    """Return what is seen from `start_s` to `stop_s`, or as far as there is room.

    `ends` are those of the axis of time, in pixels. Raises `ValueError` for a window that ends
    before it begins.
    """
    start, end = round(start_s / timeline.step_s), timeline.last_step + 1
    stop = end if stop_s is None else round(stop_s / timeline.step_s)
    if start < 0 or (stop_s is not None and stop <= start):
        raise ValueError(f"the window must end behind its beginning, not {start_s} s to {stop_s} s")
    window = _window(timeline.changes, start, max(stop, start + 1), ends)
    whole = _lanes(timeline.changes, max(end, window.stop))
    packets = {span.value for lane in whole if lane.is_place for span in lane.spans}
    lanes = [_clipped(lane, window) for lane in whole]
    moving = tuple(lane for lane in lanes if lane.is_place or len(lane.spans) > 1)
    still = tuple(
        lane for lane, all_of_it in zip(lanes, whole, strict=True)
        if lane not in moving and all_of_it.spans
    )  # fmt: skip
    return Scene(timeline, window, moving, still, len(packets), packet)


def _lanes(changes: Sequence[ValueChange], stop: int) -> list[Lane]:
    """Return a lane for each signal, places first; what lasts is cut at step `stop`."""
    signals = dict.fromkeys(change.signal for change in changes)
    lanes = [_lane(signal, [c for c in changes if c.signal == signal], stop) for signal in signals]
    return sorted(lanes, key=lambda lane: not lane.is_place)


def _lane(signal: str, changes: Sequence[ValueChange], stop: int) -> Lane:
    """Return the spans of a signal; of several changes in one step, the last one counts."""
    last = {change.step: change.value for change in changes}
    runs = [next(run) for _, run in groupby(last.items(), key=lambda pair: pair[1])]
    spans = tuple(
        Span(value, start, end)
        for (start, value), (end, _) in pairwise([*runs, (stop, None)])
        if value is not None and start < end
    )
    return Lane(signal, any(change.value is None for change in changes), spans)


def _clipped(lane: Lane, window: Window) -> Lane:
    """Return a lane with the spans that reach into the window, cut to it."""
    spans = (
        Span(span.value, max(span.start, window.start), min(span.stop, window.stop))
        for span in lane.spans
    )
    return lane._replace(spans=tuple(span for span in spans if span.start < span.stop))


def _window(
    changes: Sequence[ValueChange], start: int, stop: int, ends: tuple[float, float]
) -> Window:
    """Return the window that begins at `start` and ends at `stop`, or where the room ends.

    Idle time is cut out, so that many packets that come far apart find room, and steps get a
    little narrower if that shows the whole.
    """
    within = sorted({change.step for change in changes if start < change.step < stop})
    steps = (start, *within, stop)
    places = _places(steps, ends[0])
    fits = min(1.0, (ends[1] - ends[0]) / (places[-1] - ends[0]))
    if fits >= _NARROWEST:
        shrunk = tuple(ends[0] + (place - ends[0]) * fits for place in places)
        return Window(steps, shrunk, _STEP * fits)
    seen = max(2, bisect.bisect_right(places, ends[1]))
    return Window(steps[:seen], tuple(min(place, ends[1]) for place in places[:seen]), _STEP)


def _places(steps: Sequence[int], left: float) -> list[float]:
    """Return where steps are drawn if nothing ends the axis."""
    places = [left]
    for one, other in pairwise(steps):
        wide = (other - one) * _STEP if other - one <= _LONGEST_IDLE else _BREAK
        places.append(places[-1] + wide)
    return places


def _unit(time_s: float) -> tuple[float, str]:
    return next(((size, unit) for size, unit in _UNITS if time_s >= size * 0.999), _UNITS[-1])
