"""Draw a timeline: which packet is in which stage when, and below, how queues and counters change.

Each stage has a lane with a box for every packet that is in it, with the packet's number. A level,
such as the depth of a queue, is a line of steps; its values stand beside it, and its height goes
from the lowest to the highest of them. The axis of time is true to scale but for idle time: where
nothing changes for long, a gap is cut out, marked by two dashed lines and told in words. Of a long
run only a window is drawn, and title and text say how much of it that is.

What is drawn are the changes of the timeline, the same that its value change dump holds.
"""

__all__ = ["timeline_diagram"]

from collections.abc import Sequence

from course_lib.figures.drawing.letters import fitted
from course_lib.figures.drawing.svg import Figure, drawing, element, escape, label
from course_lib.figures.tracing.timeline_lanes import (
    STEP,
    Lane,
    Scene,
    Span,
    Window,
    scale,
    scene_of,
    short_time,
)
from course_lib.figures.tracing.timeline_words import (
    MOST_LANES,
    notes,
    packets_in_words,
    span_in_words,
    text_twin,
    title,
)
from course_lib.tracing.timeline import Timeline

_WIDTH, _LEFT, _RIGHT = 800.0, 160.0, 24.0  # pixels, as all that follows
_ROOM = _WIDTH - _LEFT - _RIGHT
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
    scene = scene_of(timeline, start_s, stop_s, _ROOM)._replace(packet=packet)
    heading, lines = title(scene), notes(scene)
    shapes, y = [], _TOP
    for lane in scene.lanes[:MOST_LANES]:
        shapes.append(_draw(lane, y, scene))
        y += _LANE if lane.is_place else _LEVEL
    below = y + 70
    shapes += [
        label(heading, 14, 28, "ink strong", font_size=16),
        *_breaks(scene, y),
        _axis(scene, y + 6),
        *(label(line, 14, below + _LINE * n, font_size=12.5) for n, line in enumerate(lines)),
    ]
    spoken = " ".join([f"{heading}.", packets_in_words(scene), *lines])
    svg = drawing(heading, spoken, (_WIDTH, below + _LINE * len(lines)), *shapes)
    return Figure(heading, svg, text_twin(scene), spoken)


def _draw(lane: Lane, y: float, scene: Scene) -> str:
    draw = _place if lane.is_place else _level
    return draw(lane, scene.clipped(lane), y, scene)


def _place(lane: Lane, spans: Sequence[Span], y: float, scene: Scene) -> str:
    """Draw a lane with a box for each packet."""
    middle = y + _BOX / 2
    line = element(
        "path",
        d=f"M{_LEFT:g} {middle:g}H{_x(scene.window.stop, scene):g}",
        class_="axis",
        opacity=0.35,
    )
    boxes = (_packet_box(lane, span, y, scene) for span in spans)
    return line + _name(lane.signal, middle + 4.5, "ink strong") + "".join(boxes)


def _packet_box(lane: Lane, span: Span, y: float, scene: Scene) -> str:
    x, width = _x(span.start, scene), _x(span.stop, scene) - _x(span.start, scene)
    size = {"x": x, "y": y, "width": width, "height": _BOX, "rx": 3.0}
    chosen = span.value == scene.packet
    return element(
        "g",
        element("title", escape(span_in_words(lane, span, scene))),
        element("rect", class_="box", **size),
        element("rect", class_="chosen", **size) if chosen else "",
        fitted(
            str(span.value), x + width / 2, y + 14, width - 2, 11,
            "ink mono strong" if chosen else "ink mono",
        ),
    )  # fmt: skip


def _level(lane: Lane, spans: Sequence[Span], y: float, scene: Scene) -> str:
    """Draw a line of steps, and its value where it changes and there is room."""
    values, foot = [span.value for span in spans], y + _LEVEL - 10
    low, high = min(values), max(values)
    heights = [foot - _RISE * (value - low) / (high - low) for value in values]
    path = "".join(
        f"{'L' if n else 'M'}{_x(span.start, scene):g} {height:g}H{_x(span.stop, scene):g}"
        for n, (span, height) in enumerate(zip(spans, heights, strict=True))
    )
    parts = [_name(lane.signal, foot - 4, "ink"), element("path", d=path, class_="measured")]
    free = _LEFT
    for span, height in zip(spans, heights, strict=True):
        x, words = _x(span.start, scene), f"{span.value:,}"
        parts.append(_level_tip(lane, span, height, scene))
        if x >= free:
            parts.append(label(words, x + 2, height - 4, "ink mono", font_size=11))
            free = x + len(words) * _LETTER + 5
    return "".join(parts)


def _level_tip(lane: Lane, span: Span, y: float, scene: Scene) -> str:
    """A box without looks over a part of the line, that says what it is."""
    x, right = _x(span.start, scene), _x(span.stop, scene)
    box = element("rect", x=x, y=y - 3, width=right - x, height=6, fill_opacity=0)
    return element("g", element("title", escape(span_in_words(lane, span, scene))), box)


def _name(signal: str, y: float, look: str) -> str:
    return fitted(signal, _LEFT - 12, y, _LEFT - 28, 12.5, look, text_anchor="end")


def _x(step: int, scene: Scene) -> float:
    return _LEFT + scene.window.x(step)


def _breaks(scene: Scene, bottom: float) -> list[str]:
    """Mark idle time that is cut out: two dashed lines, and its length above them."""
    shapes = []
    for one, other in scene.window.breaks:
        left, right = _x(one, scene), _x(other, scene)
        edges = f"M{left + 6:g} {_TOP - 8:g}V{bottom:g}M{right - 6:g} {_TOP - 8:g}V{bottom:g}"
        words = short_time(other - one, scene.timeline)
        shapes.append(element("path", d=edges, class_="gap"))
        shapes.append(
            label(words, (left + right) / 2, _TOP - 14, "quiet", font_size=11,
                  text_anchor="middle")
        )  # fmt: skip
    return shapes


def _axis(scene: Scene, y: float) -> str:
    """Draw the axis of time, with a stroke at every step and a number where there is room."""
    number, unit = scale(scene.timeline)
    strokes, words, free = [], [], _LEFT - 40
    widest = len(f"{scene.window.stop * number:,}") * _LETTER + 8
    stride = next(n for n in _STRIDES if n * STEP >= widest)
    starts = {scene.window.start, *(after for _, after in scene.window.breaks)}
    for step in _ticks(scene.window):
        x, text = _x(step, scene), f"{step * number:,}"
        half = len(text) * _LETTER / 2
        strokes.append(f"M{x:g} {y:g}v5")
        has_room = x - half >= free and x + half < _WIDTH - 4
        if has_room and (step % stride == 0 or step in starts):
            words.append(label(text, x, y + 18, "quiet mono", font_size=11, text_anchor="middle"))
            free = x + half + 8
    name = label(f"time ({unit})", _LEFT, y + 36, "quiet", font_size=12.5)
    line = f"M{_LEFT:g} {y:g}h{_x(scene.window.stop, scene) - _LEFT:g}"
    return element("path", d=line + "".join(strokes), class_="axis") + "".join(words) + name


def _ticks(window: Window) -> list[int]:
    """Return all steps in the window but those in idle time that is cut out."""
    pairs = zip(window.steps, window.steps[1:], strict=False)
    steps = [
        step
        for one, other in pairs
        for step in ([one] if (one, other) in window.breaks else range(one, other))
    ]
    return [*steps, window.stop]
