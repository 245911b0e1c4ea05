"""Draw each line of a router as a row: its switch, its queue, the line itself, and what it sent.

Packets that wait are dots in a box that is as long as the queue; what is beyond its room in the
picture is told by the number. A line that is cut is broken, with a cross in the gap. All rates have
one axis, so that they can be compared at a look.
"""

__all__ = ["LINES_TOP", "RowPlan", "line_rows", "line_touches", "top_rate"]

from typing import NamedTuple

from course_lib.figures.drawing.scene import Part, Press, Touch
from course_lib.figures.drawing.svg import box, element, label, path
from course_lib.figures.steering.router_view import (
    Chosen,
    Kind,
    RouterView,
    line_words,
    rate_words,
    whole_or_cut,
)
from course_lib.prefixes.text import format_address
from course_lib.steering.states import InterfaceState

LINES_TOP = 84.0  # pixels, as all that follows
_HEAD, _SMALL = 18.0, 12.5
_LEFT, _RIGHT = 12.0, 948.0
_SWITCH, _NAME, _QUEUE, _LINE, _FAR, _STRIP, _STRIP_END = 16.0, 54, 196, 330, 540, 556, 776
_DOTS, _DOT = 20, 6.0  # of a queue; those beyond are told by the number
_FULL_PITCH, _ALL_ROWS = 40.0, 180.0
_STEPS = (1, 2, 5, 10)


class RowPlan(NamedTuple):
    """Where rows lie: fewer are higher."""

    rows: int

    @property
    def pitch(self) -> float:
        """From one row to the next."""
        return min(_FULL_PITCH, _ALL_ROWS / max(self.rows, 1))

    @property
    def foot(self) -> float:
        """The end of all rows."""
        return LINES_TOP + _HEAD + self.rows * self.pitch

    def top(self, number: int) -> float:
        """The upper end of a row."""
        return LINES_TOP + _HEAD + number * self.pitch


def top_rate(view: RouterView) -> float:
    """Return the upper end of the axis that all rates share: a round number.

    >>> from course_lib.steering.states import RouterState
    >>> nothing = RouterView(RouterState("a", 0), {"sea": (1.2e6,)}, Chosen(Kind.LINE, "sea"))
    >>> top_rate(nothing)
    2000000.0
    """
    most = max((rate for row in view.rates.values() for rate in row), default=0.0)
    power = 1e4
    while power * 10 < most:
        power *= 10
    return next((step * power for step in _STEPS if step * power >= most), 10 * power)


def line_rows(view: RouterView) -> list[Part]:
    """Return the parts of all rows, and the words above them."""
    plan, top = RowPlan(len(view.lines)), top_rate(view)
    y = LINES_TOP + 12
    heads = (
        label("Lines", _SWITCH, y, "ink strong", 13)
        + label("packets wait", _QUEUE, y, "quiet", _SMALL)
        + label("rate, delay", _LINE + 14, y, "quiet", _SMALL)
        + label(f"sent in {STRIP_WORDS}, 0 to {rate_words(top)}", _STRIP, y, "quiet", _SMALL)
    )
    parts = [Part("heads of lines", heads)]
    for number, line in enumerate(view.lines):
        parts += _row(view, line, plan.top(number), plan.pitch, top)
    return parts


STRIP_WORDS = "the last 30 s"


def line_touches(view: RouterView) -> list[Touch]:
    """Return what of the rows can be pressed: the row itself, and its switch."""
    rows: list[Touch] = []
    for line in view.lines:
        is_chosen = view.chosen == Chosen(Kind.LINE, line.name)
        words = f"Line {line.name}, {whole_or_cut(line)}"
        rows += [
            Press(f"line {line.name}", words, "line", line.name, is_chosen),
            Press(
                f"switch {line.name}", f"Line {line.name} is whole", "cut", line.name, line.is_up
            ),
        ]
    return rows


def _row(view: RouterView, line: InterfaceState, y: float, pitch: float, top: float) -> list[Part]:
    middle, low = y + pitch / 2 - 3, y + pitch / 2 + 11
    is_chosen = view.chosen == Chosen(Kind.LINE, line.name)
    frame = box(
        "chosen" if is_chosen else "hit", _NAME - 6, y + 1, _RIGHT - _NAME + 6, pitch - 2, 5
    )
    address = f"{format_address(line.address)}/{line.prefix_length}"
    name = label(line.name, _NAME, middle, "ink strong", 13, room=_QUEUE - _NAME - 8)
    name += label(address, _NAME, low, "quiet", _SMALL, room=_QUEUE - _NAME - 8)
    return [
        Part(f"switch {line.name}", _switch(line, y + pitch / 2)),
        Part(f"name {line.name}", name),
        Part(f"queue {line.name}", _queue(line, middle, low)),
        Part(f"way {line.name}", _way(view, line, middle, low)),
        Part(f"strip {line.name}", _strip(view, line, y, pitch, top)),
        Part(f"line {line.name}", frame),
    ]


def _switch(line: InterfaceState, y: float) -> str:
    """Return a switch: its knob is at the right if the line is whole, at the left if it is cut."""
    knob = _SWITCH + (21.0 if line.is_up else 9.0)
    look = "calm" if line.is_up else "alert"
    cross = "" if line.is_up else path("torn", f"M{knob + 9:g} {y - 4:g}l8 8m0 -8l-8 8")
    return (
        box("hit", _SWITCH - 4, y - 13, 36, 26)
        + box("neither", _SWITCH, y - 9, 30, 18, 9)
        + element("circle", cx=knob, cy=y, r=6.5, class_=look)
        + cross
    )


def _queue(line: InterfaceState, middle: float, low: float) -> str:
    """Return the box of the queue with its packets; the first to leave is at the right."""
    room = min(line.queue_packets or _DOTS, _DOTS)
    width = room * _DOT + 4
    right = float(_LINE - 8)
    shown = min(line.waiting_packets, room)
    dots = "".join(f"M{right - 5 - n * _DOT:g} {middle - 5:g}h0" for n in range(shown))
    limit = "" if line.queue_packets is None else f" of {line.queue_packets}"
    dropped = f", {line.dropped_packets} dropped" if line.dropped_packets else ""
    words = f"{line.waiting_packets}{limit}{dropped}"
    return (
        box(
            "gap" if line.queue_packets is None else "neither",
            right - width,
            middle - 10,
            width,
            10,
        )
        + path("packets", dots or "M0 0")
        + label(words, right, low, "ink", _SMALL, "end", room=_LINE - _QUEUE - 8)
    )


def _way(view: RouterView, line: InterfaceState, middle: float, low: float) -> str:
    """Return the line from the queue to its far end, and who is known there."""
    y, half = middle - 5, (_LINE + _FAR) / 2
    far = element("circle", cx=_FAR, cy=y, r=5, class_="neither")
    if line.is_up:
        drawn = path("chosen", f"M{_LINE:g} {y:g}H{_FAR - 5:g}")
    else:
        drawn = path("axis", f"M{_LINE:g} {y:g}H{half - 16:g}M{half + 16:g} {y:g}H{_FAR - 5:g}")
        drawn += path("torn", f"M{half - 6:g} {y - 6:g}l12 12m0 -12l-12 12")
    set_so = f"cut, {line_words(line)}" if not line.is_up else line_words(line)
    lost = f" ({line.lost_packets} so far)" if line.loss_period else ""
    words = label(f"{set_so}{lost}", _LINE + 14, low, "ink", _SMALL, room=_FAR - _LINE - 10)
    return drawn + far + words


def _strip(view: RouterView, line: InterfaceState, y: float, pitch: float, top: float) -> str:
    """Return the rates of the last half minute as an area, and the newest as a number."""
    foot, height = y + pitch - 5, pitch - 9
    rates = view.rates.get(line.name, ())
    width = _STRIP_END - _STRIP
    step = width / max(_BINS, 1)
    start = _STRIP_END - len(rates) * step
    heights = [f"V{foot - height * min(rate / top, 1):.1f}h{step:.2f}" for rate in rates]
    area = f"M{start:.2f} {foot:g}{''.join(heights)}V{foot:g}z" if rates else "M0 0"
    limit = line.rate_bits_per_s
    wanted = limit is not None and limit <= top
    at = foot - height * (limit or 0.0) / top
    return (
        path("data", area)
        + path("axis", f"M{_STRIP:g} {foot:g}H{_STRIP_END:g}")
        + path("expected", f"M{_STRIP:g} {at:.1f}H{_STRIP_END:g}" if wanted else "M0 0")
        + label(
            rate_words(view.rate(line.name)),
            _STRIP_END + 10,
            foot - height / 2 - 1,
            "ink strong",
            13,
        )
        + label(
            f"{line.sent_frames:,} frames", _STRIP_END + 10, foot - height / 2 + 13, "quiet", _SMALL
        )
    )


_BINS = 60
