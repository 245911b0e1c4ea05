"""What a picture of a timeline shows: spans on lanes, in a window, on an axis without idle time.

A *span* says that a signal had a value for some steps. Signals that are sometimes without a value
are places: their values are the packets that were in them. All others are levels, such as the depth
of a queue.
"""

__all__ = [
    "Lane",
    "Span",
    "Window",
    "lanes_of",
    "scale",
    "short_time",
    "time_in_words",
    "window_of",
]

from bisect import bisect_right
from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from course_lib.tracing.timeline import Timeline, ValueChange

STEP, _BREAK = 15.0, 46.0  # the width of a step, and of idle time that is cut out, in pixels
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
    """The steps that are drawn: where they lie, from 0, and where idle time is cut out."""

    steps: tuple[int, ...]  # those with a change, and the one at which the window ends
    places: tuple[float, ...]  # of these steps, in pixels
    is_whole: bool  # True if nothing follows

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
        pairs = zip(self.steps, self.steps[1:], strict=False)
        return [(one, other) for one, other in pairs if other - one > _LONGEST_IDLE]

    def x(self, step: int) -> float:
        """Return where a step is drawn; steps outside the window lie at its edges."""
        step = min(max(step, self.start), self.stop)
        after = min(bisect_right(self.steps, step), len(self.steps) - 1)
        one, other = self.steps[after - 1], self.steps[after]
        share = (step - one) / (other - one)
        return self.places[after - 1] + share * (self.places[after] - self.places[after - 1])


class Scene(NamedTuple):
    """What is drawn: the window, the lanes that change in it, and the levels that do not."""

    timeline: Timeline
    window: Window
    lanes: tuple[Lane, ...]
    still: tuple[Lane, ...]
    packet: int | None = None  # one that is pointed at

    def clipped(self, lane: Lane) -> list[Span]:
        """Return the spans that reach into the window, cut to it."""
        start, stop = self.window.start, self.window.stop
        return [
            Span(span.value, max(span.start, start), min(span.stop, stop))
            for span in lane.spans
            if span.start < stop and span.stop > start
        ]

    def words(self, steps: int) -> str:
        return time_in_words(steps, self.timeline)


def scene_of(timeline: Timeline, start_s: float, stop_s: float | None, room: float) -> Scene:
    start, end = round(start_s / timeline.step_s), timeline.last_step + 1
    stop = end if stop_s is None else round(stop_s / timeline.step_s)
    if start < 0 or (stop_s is not None and stop <= start):
        raise ValueError(f"the window must end behind its beginning, not {start_s} s to {stop_s} s")
    window = window_of(timeline.changes, start, max(stop, start + 1), room)
    lanes = lanes_of(timeline.changes, max(end, window.stop))
    scene = Scene(timeline, window, tuple(lanes), ())
    moving = [lane for lane in lanes if lane.is_place or len(scene.clipped(lane)) > 1]
    still = [lane for lane in lanes if lane not in moving]
    return scene._replace(lanes=tuple(moving), still=tuple(still))


def lanes_of(changes: Sequence[ValueChange], stop: int) -> list[Lane]:
    """Return a lane for each signal, places first; what lasts is cut at step `stop`."""
    signals = dict.fromkeys(change.signal for change in changes)
    lanes = [_lane(signal, [c for c in changes if c.signal == signal], stop) for signal in signals]
    return sorted(lanes, key=lambda lane: not lane.is_place)


def _lane(signal: str, changes: Sequence[ValueChange], stop: int) -> Lane:
    """Return the spans of a signal; of several changes in one step, the last one counts."""
    last = {change.step: change.value for change in changes}
    starts = [
        step for step, before in zip(last, [None, *last.values()], strict=False)
        if last[step] != before
    ]  # fmt: skip
    spans = tuple(
        Span(value, start, end)
        for start, end in zip(starts, [*starts[1:], stop], strict=False)
        if (value := last[start]) is not None and start < end
    )
    return Lane(signal, any(change.value is None for change in changes), spans)


def window_of(changes: Sequence[ValueChange], start: int, stop: int, room: float) -> Window:
    """Return the window that begins at `start` and ends at `stop`, or where `room` pixels end.

    Idle time is cut out, so that many packets that come far apart find room.
    """
    within = [step for step, _ in groupby(change.step for change in changes)]
    within = [step for step in within if start <= step < stop]
    first = max(start, 0)
    steps, places = [first], [0.0]
    for step in (*within, stop):
        if step == steps[-1]:
            continue
        idle = step - steps[-1]
        place = places[-1] + (idle * STEP if idle <= _LONGEST_IDLE else _BREAK)
        if place > room and len(steps) > 1:
            break
        steps.append(step)
        places.append(min(place, room))
    return Window(tuple(steps), tuple(places), steps[-1] >= stop)


def time_in_words(steps: int, timeline: Timeline) -> str:
    """Return the time of a step, with its unit.

    >>> time_in_words(25, Timeline(1e-5))
    '250 µs'
    """
    number, unit = scale(timeline)
    return f"{steps * number:,} {unit}"


def scale(timeline: Timeline) -> tuple[int, str]:
    """Return a step as a number of a unit: 1, 10 or 100.

    >>> scale(Timeline(1e-4))
    (100, 'µs')
    """
    size, unit = next((size, unit) for size, unit in _UNITS if timeline.step_s >= size * 0.999)
    return round(timeline.step_s / size), unit


def short_time(steps: int, timeline: Timeline) -> str:
    """Return a stretch of time with three digits at most, in the unit that suits it.

    >>> short_time(999_993, Timeline(1e-6)), short_time(994, Timeline(1e-6))
    ('1 s', '994 µs')
    """
    time_s = float(f"{steps * timeline.step_s:.2e}")
    size, unit = next(((s, u) for s, u in _UNITS if time_s >= s * 0.999), _UNITS[-1])
    return f"{time_s / size:.3g} {unit}"
