"""Draw a stream as it is heard: a small box for every frame, in time, late or lost.

Frames run to the right, row by row, in the order in which they are due. Shape, colour and words say
the same: a full square is in time; a triangle is late; a cross in a broken square never came. Below
each row stands the moment at which its first frame is due, by the pace of the stream.
"""

__all__ = ["MOST_FRAMES", "play_out_strip"]

from collections import Counter
from collections.abc import Sequence
from itertools import groupby

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.svg import Figure, Words, box, drawing, group, label, path
from course_lib.figures.headers.header_words import counted
from course_lib.live.measuring.play_out_buffer import Fate, play_out
from course_lib.network.probes import StreamReport

_A_ROW, _ROWS = 50, 20
MOST_FRAMES = _A_ROW * _ROWS
_WIDTH, _LEFT, _TOP = 800.0, 84.0, 76.0  # pixels, as all that follows
_PITCH, _LINE, _BOX = 14.0, 20.0, 10.0
_SMALL = 12.5


def play_out_strip(
    report: StreamReport, interval_s: float, buffer_s: float, *, name: str = ""
) -> Figure:
    """Return the strip of a stream that was sent at one frame every `interval_s`.

    `buffer_s` is how long the play-out buffer holds the first frame; `name` says which stream it
    is. Of a long stream the first 1,000 frames are drawn; the numbers are those of all. Raises
    `ValueError` for a stream without frames, or a pace or a buffer below 0.

    >>> strip = play_out_strip(StreamReport(4, {1: 0.02, 3: 0.06, 2: 0.095}), 0.02, 0.05)
    >>> strip.title
    '2 of 4 frames in time, 1 late, 1 lost: 50 ms of buffer'
    """
    if interval_s <= 0:
        raise ValueError(f"interval_s must be more than 0, not {interval_s}")
    fates = play_out(report, buffer_s)
    if not fates:
        raise ValueError("no frame of the stream was sent, so there is nothing to draw")
    words = _words(fates, interval_s, buffer_s, name)
    drawn = fates[:MOST_FRAMES]
    rows = [drawn[start : start + _A_ROW] for start in range(0, len(drawn), _A_ROW)]
    below = _TOP + _LINE * len(rows)
    return drawing(
        words,
        (_WIDTH, below + 34),
        label(words.title, 14, 28, "ink strong", 16, room=_WIDTH - 28),
        _legend(Counter(fates)),
        *(_row(row, place, interval_s) for place, row in enumerate(rows)),
        label(_foot(fates, interval_s), 14, below + 18, "quiet", _SMALL),
    )


def _legend(counts: Counter[Fate]) -> str:
    """Say which shape is which, and how many there are of each."""
    shapes, x = [], _LEFT
    for fate in Fate:
        words = f"{fate}: {counts[fate]:,}"
        shapes.append(_shape(fate, x, 46) + label(words, x + 16, 55, "ink", _SMALL))
        x += 16 + width_of(words, _SMALL) + 28
    return "".join(shapes)


def _row(fates: Sequence[Fate], place: int, interval_s: float) -> str:
    y, first = _TOP + _LINE * place, place * _A_ROW
    shapes = [label(f"{first * interval_s:,.2f} s", _LEFT - 10, y + 9, "quiet", _SMALL, "end")]
    for shift, fate in enumerate(fates):
        tip = f"frame {first + shift + 1:,}: {fate}"
        shapes.append(group(tip, _shape(fate, _LEFT + _PITCH * shift, y)))
    return "".join(shapes)


def _shape(fate: Fate, x: float, y: float) -> str:
    if fate is Fate.IN_TIME:
        return box("calm", x, y, _BOX, _BOX)
    if fate is Fate.LATE:
        return path("alert", f"M{x:g} {y + _BOX:g}h{_BOX:g}l{-_BOX / 2:g} {-_BOX:g}z")
    edge = f"M{x:g} {y:g}h{_BOX:g}v{_BOX:g}h{-_BOX:g}z"
    cross = f"M{x + 2:g} {y + 2:g}l6 6M{x + 8:g} {y + 2:g}l-6 6"
    return path("gap", edge) + path("torn", cross)


def _foot(fates: Sequence[Fate], interval_s: float) -> str:
    drawn = "" if len(fates) <= MOST_FRAMES else f"; the first {MOST_FRAMES:,} are drawn"
    pace = f"a frame every {1000 * interval_s:g} ms"
    return f"{counted(len(fates), 'frame')}, {pace}, {_A_ROW} in a row{drawn}"


def _words(fates: Sequence[Fate], interval_s: float, buffer_s: float, name: str) -> Words:
    counts, count = Counter(fates), len(fates)
    heading = (
        f"{name + ': ' if name else ''}{counts[Fate.IN_TIME]:,} of {counted(count, 'frame')} "
        f"in time, {counts[Fate.LATE]:,} late, {counts[Fate.LOST]:,} lost: "
        f"{1000 * buffer_s:g} ms of buffer"
    )
    runs = _runs(fates)
    text = [heading, _foot(fates, interval_s), f"{'frames':>15}  {'due (s)':>9}  fate"]
    for fate, first, last in runs:
        numbers = f"{first}" if first == last else f"{first} to {last}"
        text.append(f"{numbers:>15}  {(first - 1) * interval_s:>9.2f}  {fate}")
    gaps = [(last - first + 1, first) for fate, first, last in runs if fate is not Fate.IN_TIME]
    told = "Every frame is heard."
    if gaps:
        longest, first = max(gaps, key=lambda gap: gap[0])
        told = (
            f"The longest row of one kind that is not heard: {longest:,}, from frame {first:,} on."
        )
    return Words(heading, "\n".join(text), f"{_foot(fates, interval_s)}. {told}")


def _runs(fates: Sequence[Fate]) -> list[tuple[Fate, int, int]]:
    """Return neighbours of one fate as runs: the fate, the first and the last number."""
    runs, number = [], 1
    for fate, row in groupby(fates):
        length = len(list(row))
        runs.append((fate, number, number + length - 1))
        number += length
    return runs
