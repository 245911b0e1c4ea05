"""Draw the adder under the words of a header, and how far its sum has moved.

The adder has three rows of 16 bits: the sum so far, what comes to it, the new sum. A carry is a 1
that leaves beside the highest bit; a wire leads it to the lowest, where it is added in the next
step. Below, a level line with powers of two shows how far the changes of the header have moved the
sum from what it was.
"""

__all__ = ["HEIGHT", "adder_parts", "distance_parts"]

import math

from course_lib.figures.checksum.end_around_sum import Addition
from course_lib.figures.checksum.word_columns import BITS, LEFT, RIGHT, WordColumns
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, element, group, label, path

HEIGHT = 162.0  # pixels under the words, all of it
_SMALL = 12.5
_SO_FAR, _ADDED, _SUM, _WIRE = 23.0, 41.0, 63.0, 84.0  # below the words: baselines, the wire
_LINE = 134.0
_MIDDLE, _POWER = (LEFT + RIGHT) / 2, 8.0  # the width of a power of two
_MARKS = (0x8000, 0x80)


def adder_parts(columns: WordColumns, step: Addition) -> list[Part]:
    """Return the adder as it is in one step."""
    foot = columns.foot
    added = "+ carry" if step.word is None else f"+ word {step.word}"
    rule, in_, out = foot + _ADDED + 6, columns.x(BITS - 1), columns.x(-1)
    wire, turn = foot + _WIRE, foot + _SUM + 7
    inside = "a carry that leaves at the left comes in again at the right"
    frame = group(
        f"Adder of 16 columns: {inside}",
        path("axis", f"M{LEFT:g} {rule:g}H{RIGHT:g}"),
        path("axis", f"M{out:g} {turn:g}V{wire:g}H{in_:g}V{turn + 4:g}m-4 5l4 -5l4 5"),
        box("neither", LEFT, foot + _SUM - 15, RIGHT - LEFT, 20),
    )
    return [
        Part("adder", frame),
        Part("so far", _number(columns, "so far", step.so_far, foot + _SO_FAR)),
        Part("added", _number(columns, added, step.added, foot + _ADDED)),
        Part("sum", _number(columns, "", step.sum, foot + _SUM, "strong")),
        *_carry(columns, step),
    ]


def _number(columns: WordColumns, name: str, number: int, y: float, weight: str = "") -> str:
    """Write a number in its columns, its name on the left, in hexadecimal on the right."""
    middles = [columns.x(column) for column in range(BITS)]
    return (
        label(name, LEFT - 10, y, "quiet", _SMALL, "end", LEFT - 14)
        + label(f"{number:016b}", middles, y, f"ink mono {weight}".strip(), _SMALL, "middle")
        + label(f"{number:04x}", RIGHT + 8, y, f"ink mono {weight}".strip(), _SMALL)
    )


def _carry(columns: WordColumns, step: Addition) -> list[Part]:
    """Draw the 1 that leaves at the left, or comes in at the right; it moves along the wire."""
    if not step.carry and step.word is not None:
        return []
    x, y = columns.x(-1 if step.carry else BITS - 1), columns.foot + _WIRE
    token = element("circle", cx=x, cy=y, r=8.5, class_="calm")
    return [
        Part("carry", token + label("1", [x], y + 4.5, "on-mark mono strong", _SMALL, "middle"))
    ]


def distance_parts(columns: WordColumns, moved: int | None) -> list[Part]:
    """Return the line of distances; `moved` is None as long as not all words have been added."""
    y = columns.foot + _LINE
    ticks = [(sign * mark, f"{'+' if sign > 0 else '−'}{mark:#x}")
             for mark in _MARKS for sign in (-1, 1)]  # fmt: skip
    marks = "".join(
        path("axis", f"M{_place(at):g} {y - 4:g}v8")
        + label(words, _place(at), y + 21, "quiet", _SMALL, "middle")
        for at, words in [*ticks, (0, "0")]
    )
    line = path("axis", f"M{_place(-0x8000):g} {y:g}H{_place(0x8000):g}") + marks
    head = (
        "how far the sum has moved" if moved is None else f"the sum has moved by {_signed(moved)}"
    )
    parts = [
        Part("distances", line),
        Part("moved by", label(head, LEFT, y - 18, "ink", _SMALL)),
    ]
    if moved is not None:
        parts.append(Part("distance", _dot(_place(moved), y, moved)))
    return parts


def _dot(x: float, y: float, moved: int) -> str:
    """Draw a ring where nothing has moved, a full mark and a line to it where something has."""
    if not moved:
        return path("chosen", f"M{x:g} {y:g}H{x:g}") + element(
            "rect", x=x - 6, y=y - 6, width=12, height=12, rx=6, class_="chosen"
        )
    return path("measured", f"M{_MIDDLE:g} {y:g}H{x:g}") + element(
        "rect", x=x - 6, y=y - 6, width=12, height=12, rx=1, class_="alert"
    )


def _place(moved: int) -> float:
    """Return the place of a distance: every power of two is as far from the one before."""
    far = _POWER * (math.log2(abs(moved)) + 1) if moved else 0.0
    return _MIDDLE + math.copysign(far, moved)


def _signed(moved: int) -> str:
    return f"{'+' if moved > 0 else '−'}{abs(moved):#06x}" if moved else "0"
