"""Rows of boxes over the line of addresses: each row one bit longer, each box one prefix.

The row on top is one bit shorter than what is seen, the lowest four bits longer. Boxes in which the
address lies have a thick edge: that is the way its bits lead. A box just outside is drawn too, so
that it can come in when the view changes; what covers the margins hides it.

An address that is dragged leaves most of this as it was: what does not depend on it is remembered.
"""

__all__ = ["BOXES_TOP", "boxes", "chain", "covers", "lengths_of", "margin", "short_rows", "ways"]

import functools

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part, Press
from course_lib.figures.drawing.svg import box, group, label
from course_lib.figures.prefixes.address_view import LEFT, RIGHT, SMALL, WIDTH, View
from course_lib.prefixes.prefix import Prefix, prefix_around
from course_lib.prefixes.text import format_address

BOXES_TOP = 72.0
_PITCH, _HEIGHT, _DEEPER, _BITS = 26.0, 22.0, 4, 32


def lengths_of(view: View) -> range:
    """Return the lengths that have a row."""
    return range(max(0, view.length - 1), min(_BITS, view.length + _DEEPER) + 1)


def boxes(view: View) -> list[Part]:
    """Return a box for each prefix of each row, as far as it is near."""
    frame = view.frame
    return [
        _box(frame, prefix, prefix.contains(view.address))
        for length in lengths_of(view)
        for prefix in _near(frame, length)
    ]


def ways(view: View) -> tuple[Press, ...]:
    """Return the boxes that lead to another view: further in, or one bit out."""
    return _ways(view.frame)


@functools.lru_cache(maxsize=64)
def _ways(view: View) -> tuple[Press, ...]:
    return tuple(
        Press(f"box {prefix}", f"Go {'into' if length > view.length else 'out to'} {prefix}",
              "into", str(prefix))
        for length in lengths_of(view) if length != view.length
        for prefix in _near(view, length) if view.shows(prefix)
    )  # fmt: skip


def covers() -> str:
    """Return what hides the boxes outside of what is seen."""
    left, right, below = LEFT - 1.5, RIGHT + 1.5, BOXES_TOP - 4
    return box("paper", 0, below, left, 232) + box("paper", right, below, WIDTH - right, 232)


def margin(view: View) -> str:
    """Return the lengths of the rows."""
    return "".join(
        label(f"/{length}", LEFT - 10, _y(view, length) + 15.5, "quiet", SMALL, "end")
        for length in lengths_of(view)
    )


@functools.lru_cache(maxsize=256)
def _near(view: View, length: int) -> tuple[Prefix, ...]:
    """Return prefixes of a length that are seen, or lie at most as far outside as it is wide."""
    step = 1 << (_BITS - length)
    low, size = view.prefix.first, view.prefix.size
    first = max(0, low - size) // step
    last = min((1 << _BITS) - 1, low + 2 * size - 1) // step
    return tuple(Prefix(number * step, length) for number in range(first, last + 1))


def _y(view: View, length: int) -> float:
    return BOXES_TOP + (length - view.length + 1) * _PITCH


@functools.lru_cache(maxsize=2048)
def _box(view: View, prefix: Prefix, met: bool) -> Part:
    x, width = view.span(prefix)
    y = _y(view, prefix.length)
    edge = box("chosen" if met else "box", x, y, width, _HEIGHT, 2)
    shapes = (box("box", x, y, width, _HEIGHT, 2), edge)
    if not view.shows(prefix):
        return Part(f"box {prefix}", "".join(shapes))
    left, right = max(x, LEFT), min(x + width, RIGHT)
    words = _words(prefix, right - left)
    look = "ink strong" if met and len(words) > 5 else "ink"
    middle = (left + right) / 2
    written = label(words, middle, y + 15.5, look, SMALL, "middle", right - left - 4)
    return Part(f"box {prefix}", group(f"{prefix}", *shapes, written))


@functools.lru_cache(maxsize=2048)
def _words(prefix: Prefix, room: float) -> str:
    """Return the prefix, or where there is no room only the octet in which it ends."""
    if width_of(str(prefix), SMALL, "strong") + 6 <= room:
        return str(prefix)
    place = max(0, prefix.length - 1) // 8
    octet = format_address(prefix.network).split(".")[place]
    return f".{octet}" if place else octet


def short_rows(view: View) -> list[str]:
    """Return the rows in which boxes have no room for their prefix, with what stands in them."""
    return list(_short_rows(view.frame))


@functools.lru_cache(maxsize=64)
def _short_rows(view: View) -> tuple[str, ...]:
    rows = []
    for length in lengths_of(view):
        seen = [prefix for prefix in _near(view, length) if view.shows(prefix)]
        words = [_words(prefix, view.span(prefix)[1]) for prefix in seen]
        if "/" not in words[0]:
            rows.append(f"Boxes of /{length}: {', '.join(words)}.")
    return tuple(rows)


def chain(view: View) -> list[Prefix]:
    """Return the boxes in which the address lies, the largest first."""
    return [prefix_around(view.address, length) for length in lengths_of(view)]
