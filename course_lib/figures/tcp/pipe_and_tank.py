"""Draw the thing itself: senders, the buffer as a tank with a movable wall, and the pipe.

Senders stand on the right. What they send joins the queue in the tank from there, and falls out
where the queue reaches the wall. At the left it goes out into the pipe, and as acknowledgements
back to the senders. A dot is a packet, and has the same room in tank and pipe.

Each flow has a round trip of its own; the pipe is drawn as if all took the 60 ms in the middle.
"""

__all__ = ["moment_in_words", "pipe_and_tank", "scale_in_words"]

import math

from course_lib.ferry.shared_line import (
    PACKET_S,
    PIPE_PACKETS,
    POLICIES,
    RATE_BITS_PER_S,
    ROUND_TRIP_S,
    Sharing,
)
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, group, label, path
from course_lib.figures.tcp.packet_axis import AXIS_Y, LEFT, NOTHING, at
from course_lib.figures.tcp.slow_second import EVERY, Moment

_FOOT = 128.0  # pixels, as all that follows: here the wall ends
_PIPE_Y, _TANK_Y, _HIGH = 42.0, 90.0, 34.0
_ROWS, _ROW, _DOT = 5, 6.0, 2.1  # dots above each other, from row to row, half of one
_EVERY_MS = 1000 * EVERY * PACKET_S
_TRAIN = EVERY // 2  # samples; what leaves the line within them moves as one
_SENDERS_X, _SENDERS = 462.0, 42.0
_WORDS_X, _WORDS = 532.0, 312.0
_MOST_FALLEN = 12  # dots; of more, the number says it
_SMALL = 12.5


def pipe_and_tank(
    sharing: Sharing, buffer_packets: int | None, moment: Moment | None
) -> list[Part]:
    """Return the parts; the wall has the key "wall". Without a moment nothing is under way.

    Without a size of the buffer the wall stands in the middle, and no number is said.
    """
    wall = at(150 if buffer_packets is None else buffer_packets)
    size = "" if buffer_packets is None else f"{buffer_packets}"
    parts = [
        Part("pipe", _frame(_PIPE_Y, at(PIPE_PACKETS), "pipe", f"{PIPE_PACKETS}") + _halves()),
        Part("tank", _frame(_TANK_Y, wall, "buffer", size)),
        Part("way", _way(wall)),
        Part("senders", _senders(sharing.flows)),
        Part("scale", _lines(0, scale_in_words())),
        Part("plumb", path("axis", f"M{wall:g} {_FOOT:g}V{AXIS_Y:g}") if size else NOTHING),
    ]
    if moment is not None:
        parts += _trains(moment)
        parts.append(Part("queue", _dots(_TANK_Y, [(n, n) for n in range(moment.waiting)])))
        parts.append(Part("fallen", _fallen(sharing, wall, moment)))
        parts.append(Part("moment", _lines(2, moment_in_words(sharing, moment))))
    parts.append(Part("wall", _wall(wall)))
    return parts


def scale_in_words() -> list[str]:
    """Return what a dot is, and how many of them fill the pipe."""
    rate, trip_ms = RATE_BITS_PER_S / 1e6, 1000 * ROUND_TRIP_S
    return [
        "A dot: a packet, then its acknowledgement.",
        f"{rate:g} Mbit/s × {trip_ms:g} ms: {PIPE_PACKETS} dots fill the pipe.",
    ]


def moment_in_words(sharing: Sharing, moment: Moment) -> list[str]:
    """Return what is where at a moment, and what has been dropped."""
    gone = "met the wall and fell out" if sharing.policy == POLICIES[0] else "were dropped"
    return [
        f"At {moment.at_s:.3f} s: {moment.waiting} wait, {len(moment.sent)} are in the pipe.",
        f"In the {_EVERY_MS:g} ms before, {moment.fallen} {gone}.",
    ]


def _lines(first: int, lines: list[str]) -> str:
    return "".join(
        label(line, _WORDS_X, 52 + 19 * (first + row), "ink" if first else "quiet", _SMALL,
              room=_WORDS)
        for row, line in enumerate(lines)
    )  # fmt: skip


def _frame(y: float, right: float, name: str, size: str) -> str:
    """Draw a vessel from the left edge of all vessels, with its name in the margin."""
    return (
        box("box", LEFT - 1, y, right - LEFT + 4, _HIGH, 3)
        + label(name, LEFT - 24, y + 14, "quiet", _SMALL, "end")
        + label(size, LEFT - 24, y + 29, "ink strong", _SMALL, "end")
    )


def _dots(y: float, places: list[tuple[float, int]]) -> str:
    """Draw packets, each at its place along the vessel and in the row that its number says."""
    rows = [
        f"M{at(place) + _DOT:.1f} {y + 5 + _ROW * (number % _ROWS):g}h0" for place, number in places
    ]
    return path("packets", "".join(rows)) if rows else NOTHING


def _trains(moment: Moment) -> list[Part]:
    """Return the packets in the pipe; those that left the line together are one part."""
    trains: dict[int, list[tuple[float, int]]] = {}
    for sample in moment.sent:
        place = float(moment.sample - sample)
        trains.setdefault(sample // _TRAIN, []).append((place, sample))
    return [
        Part(f"train {number}", _dots(_PIPE_Y, places)) for number, places in sorted(trains.items())
    ]


def _way(wall: float) -> str:
    """Draw the way out of the tank, out of the pipe, and from the senders to the tank."""
    pipe, tank = _PIPE_Y + _HIGH / 2, _TANK_Y + _HIGH / 2
    end, x = at(PIPE_PACKETS), LEFT - 14
    return (
        path("axis", f"M{LEFT:g} {tank:g}H{x:g}V{pipe:g}H{LEFT - 5:g}")
        + path("axis", f"M{end + 3:g} {pipe:g}H{_SENDERS_X - 8:g}")
        + path("axis", f"M{_SENDERS_X - 4:g} {tank:g}H{wall + 14:g}")
        + path("quiet", f"M{LEFT - 1:g} {pipe:g}l-7 -4v8z")
        + path("quiet", f"M{_SENDERS_X - 3:g} {pipe:g}l-7 -4v8z")
        + path("quiet", f"M{wall + 9:g} {tank:g}l7 -4v8z")
    )


def _senders(flows: int) -> str:
    across = math.ceil(math.sqrt(flows))
    pitch = _SENDERS / across
    squares = [
        box("box", _SENDERS_X + 2 + number % across * pitch, 58 + number // across * pitch,
            0.72 * pitch, 0.72 * pitch)
        for number in range(flows)
    ]  # fmt: skip
    words = f"{flows} sender{'s' if flows > 1 else ''}"
    return label(words, _SENDERS_X + 20, 46, "quiet", _SMALL, "middle") + "".join(squares)


def _halves() -> str:
    """Mark where packets arrive, half of the way round."""
    middle = at(PIPE_PACKETS / 2)
    return (
        path("gap", f"M{middle:g} {_PIPE_Y - 8:g}v8")
        + label("packets there", middle - 8, _PIPE_Y - 3, "quiet", _SMALL, "end")
        + label("acknowledgements back", middle + 8, _PIPE_Y - 3, "quiet", _SMALL)
    )


def _fallen(sharing: Sharing, wall: float, moment: Moment) -> str:
    """Draw what fell out, with its number as a word, where the policy drops it."""
    count = moment.fallen
    if not count:
        return NOTHING
    place = dict(zip(POLICIES, (wall, at(moment.waiting), LEFT), strict=True))[sharing.policy]
    words = f"{count} fell out" if place == wall else f"{count} dropped"
    drawn, start = min(count, _MOST_FALLEN), place + 10
    dots = "".join(f"M{start + 5.5 * number:.1f} {_FOOT + 8:g}h0" for number in range(drawn))
    end = start + 5.5 * drawn + 3
    return path("fallen", dots) + label(words, end, _FOOT + 12, "ink haloed", _SMALL)


def _wall(x: float) -> str:
    return group(
        "the wall of the buffer: drag it",
        box("hit", x - 12, _TANK_Y - 8, 24, _FOOT - _TANK_Y + 12),
        box("ink", x - 2.5, _TANK_Y - 6, 5, _FOOT - _TANK_Y + 6, 2),
        box("neither", x - 6, _TANK_Y + 7, 12, 20, 4),
        path("axis", f"M{x - 2:g} {_TANK_Y + 12:g}v10M{x + 2:g} {_TANK_Y + 12:g}v10"),
    )
