"""Draw a timeline: which packet is in which stage when, and below, how queues and counters change.

Each stage has a lane with a box for every packet that is in it, with the packet's number. A level,
such as the depth of a queue, is a line of steps; its values stand beside it, and its height goes
from the lowest to the highest of them. The axis of time is true to scale but for idle time: where
nothing changes for long, a gap is cut out, marked by two dashed lines and told in words. Of a long
run only a window is drawn, and title and text say how much of it that is.

What is drawn are the changes of the timeline, the same that its value change dump holds.
"""

__all__ = ["timeline_diagram"]

from itertools import pairwise

from course_lib.figures.drawing.svg import Figure, box, drawing, element, group, label, path
from course_lib.figures.tracing.timeline_lanes import Lane, Scene, Window, scene_of
from course_lib.figures.tracing.timeline_words import (
    MOST_LANES,
    notes,
    signal_in_words,
    span_in_words,
    words_of,
)
from course_lib.tracing.timeline import Timeline

_WIDTH, _LEFT, _RIGHT = 800.0, 160.0, 24.0  # pixels, as all that follows
_TOP = 66.0
_LANE, _BOX = 26.0, 20.0  # of a stage
_LEVEL, _RISE = 40.0, 22.0  # of a level: the lane, and the height of its largest value
_STRIDES = (1, 2, 5, 10, 20, 50)  # steps from one number on the axis to the next
_LINE, _LETTER = 17.0, 6.7  # a line of words; a digit in monospace


def timeline_diagram(
    timeline: Timeline,
    *,
    start_s: float = 0.0,
    stop_s: float | None = None,
    packet: int | None = None,
) -> Figure:
    """Return the drawing of a timeline from `start_s` on, as far as there is room, or to `stop_s`.

    packet: the number of a packet whose boxes are outlined. Raises `ValueError` for a window that
    ends before it begins.

    >>> from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
    >>> from course_lib.tracing.watched_router import WatchedRouter
    >>> router = WatchedRouter(north_pier(), Timeline())
    >>> sent = router.receive(0.0, *ARRIVALS["plain"])
    >>> timeline_diagram(router.timeline).title
    'From 0 µs to 7 µs: 1 packet in 6 stages'
    """
    scene = scene_of(timeline, start_s, stop_s, packet, (_LEFT, _WIDTH - _RIGHT))
    words, lines = words_of(scene), notes(scene)
    shapes, y = [], _TOP
    for lane in scene.lanes[:MOST_LANES]:
        shapes.append(_place(lane, y, scene) if lane.is_place else _level(lane, y, scene))
        y += _LANE if lane.is_place else _LEVEL
    below = y + 70
    return drawing(
        words,
        (_WIDTH, below + _LINE * len(lines)),
        *shapes,
        label(words.title, 14, 28, "ink strong", 16),
        *_breaks(scene, y),
        _axis(scene, y + 6),
        *(label(line, 14, below + _LINE * n, "ink", 12.5) for n, line in enumerate(lines)),
    )


def _place(lane: Lane, y: float, scene: Scene) -> str:
    """Draw a lane with a box for each packet."""
    middle, end = y + _BOX / 2, scene.window.stop
    line = f"M{_LEFT:g} {middle:g}H{scene.window.x(end):g}"
    shapes = [
        element("path", d=line, class_="axis", opacity=0.35),
        _name(lane.signal, middle + 4.5, "ink strong"),
    ]
    for span in lane.spans:
        x, right = scene.window.x(span.start), scene.window.x(span.stop)
        chosen, width = span.value == scene.packet, right - x
        look = "ink mono strong" if chosen else "ink mono"
        shapes.append(
            group(
                span_in_words(lane, span, scene),
                box("box", x, y, width, _BOX, 3),
                box("chosen", x, y, width, _BOX, 3) if chosen else "",
                label(f"{span.value}", x + width / 2, y + 14, look, 11, "middle", width - 2),
            )
        )
    return "".join(shapes)


def _level(lane: Lane, y: float, scene: Scene) -> str:
    """Draw a line of steps, and its value where it changes and there is room."""
    values, foot = [span.value for span in lane.spans], y + _LEVEL - 10
    low, high = min(values), max(values)
    line, free = "", _LEFT
    parts: list[str] = []
    for span in lane.spans:
        x, right = scene.window.x(span.start), scene.window.x(span.stop)
        height, words = foot - _RISE * (span.value - low) / (high - low), f"{span.value:,}"
        line += f"{'L' if parts else 'M'}{x:g} {height:g}H{right:g}"
        # A box without looks over this part of the line says what it is.
        size = {"x": x, "y": height - 3, "width": right - x, "height": 6.0}
        parts.append(
            group(span_in_words(lane, span, scene), element("rect", **size, fill_opacity=0))
        )
        if x >= free:
            parts.append(label(words, x + 2, height - 4, "ink mono", 11))
            free = x + len(words) * _LETTER + 5
    return "".join([_name(lane.signal, foot - 4, "ink"), path("measured", line), *parts])


def _name(signal: str, y: float, look: str) -> str:
    return label(signal_in_words(signal), _LEFT - 12, y, look, 12.5, "end", _LEFT - 28)


def _breaks(scene: Scene, bottom: float) -> list[str]:
    """Mark idle time that is cut out: two dashed lines, and its length above them."""
    shapes = []
    for one, other in scene.window.breaks:
        left, right = scene.window.x(one), scene.window.x(other)
        edges = f"M{left + 6:g} {_TOP - 8:g}V{bottom:g}M{right - 6:g} {_TOP - 8:g}V{bottom:g}"
        words = scene.short(other - one)
        middle = (left + right) / 2
        shapes += [path("gap", edges), label(words, middle, _TOP - 14, "quiet", 11, "middle")]
    return shapes


def _axis(scene: Scene, y: float) -> str:
    """Draw the axis of time, with a stroke at every step and a number where there is room."""
    number, unit = scene.scale
    strokes, words, free = [], [], _LEFT - 40
    widest = len(f"{scene.window.stop * number:,}") * _LETTER + 8
    stride = next(n for n in _STRIDES if n * scene.window.step >= widest)
    starts = {scene.window.start, *(after for _, after in scene.window.breaks)}
    for step in _ticks(scene.window):
        x, text = scene.window.x(step), f"{step * number:,}"
        half = len(text) * _LETTER / 2
        strokes.append(f"M{x:g} {y:g}v5")
        has_room = x - half >= free and x + half < _WIDTH - 4
        if has_room and (step % stride == 0 or step in starts):
            words.append(label(text, x, y + 18, "quiet mono", 11, "middle"))
            free = x + half + 8
    name = label(f"time ({unit})", _LEFT, y + 36, "quiet", 12.5)
    line = f"M{_LEFT:g} {y:g}H{scene.window.x(scene.window.stop):g}"
    return path("axis", line + "".join(strokes)) + "".join(words) + name


def _ticks(window: Window) -> list[int]:
    """Return all steps in the window but those in idle time that is cut out."""
    steps = [
        step
        for one, other in pairwise(window.steps)
        for step in ([one] if (one, other) in window.breaks else range(one, other))
    ]
    return [*steps, window.stop]
