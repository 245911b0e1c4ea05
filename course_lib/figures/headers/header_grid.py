"""Where things are in the picture of a header: 32 bits wide, a row for every word.

A row has three parts, from above: the boxes of fields, the bits, the octets in hexadecimal. Options
have no fields to frame, so where they take more than one row, theirs have no boxes. Where there is
little room such options are folded into rows of 16 octets each, and a row of which nothing is there
is a box alone.
"""

__all__ = ["BIT", "BOX", "HEX", "LEFT", "RIGHT", "ROW_BITS", "SMALL", "Row", "rows_of"]

from typing import NamedTuple

from course_lib.figures.headers.header_fields import HeaderReading

ROW_BITS = 32
FOLDED_BITS = 128
BIT = 20.0  # the width of a bit, in pixels; all that follows are pixels too
LEFT = 92.0  # the margin that says which bits and octets a row holds
RIGHT = LEFT + ROW_BITS * BIT
BOX, BITS, HEX = 32.0, 13.0, 15.0
SMALL = 12.5  # the size of the smallest words
_GAP = 5.0  # between rows


class Row(NamedTuple):
    """One word of 32 bits: where it is drawn, and which bits of it are there.

    `box` is how high the boxes of its fields are, 0 if it has none; `bit` the width of a bit.
    """

    y: float
    bits: range  # of the header
    present: str  # "0" and "1" of the bits that are there
    box: float = BOX
    bit: float = BIT
    has_bits: bool = True
    has_octets: bool = True

    def x(self, bit: float) -> float:
        """Return the left edge of a bit of the header."""
        return LEFT + (bit - self.bits.start) * self.bit

    @property
    def bits_y(self) -> float:
        """Return where the line of the bits begins."""
        return self.y + self.box

    @property
    def hex_y(self) -> float:
        """Return where the line of the octets begins."""
        return self.bits_y + (BITS + 1 if self.has_bits else 0)

    @property
    def foot(self) -> float:
        """Return where the next row begins."""
        return self.hex_y + (HEX if self.has_octets else 0) + _GAP


def rows_of(reading: HeaderReading, top: float, *, folded: bool = False) -> list[Row]:
    """Return the rows of a header, the first of which begins at `top`."""
    number = int.from_bytes(b"\1" + reading.octets)  # the leading 1 keeps zeros in front
    present = f"{number:b}"[1:]
    fixed = reading.layout.octets * 8
    crowded = reading.bits > fixed + ROW_BITS
    rows: list[Row] = []
    start, y = 0, top
    while start < reading.bits:
        is_folded = folded and crowded and start >= fixed
        wide = FOLDED_BITS if is_folded else ROW_BITS
        bits = range(start, min(start + wide, reading.bits))
        row = Row(y, bits, present[bits.start : bits.stop])
        if is_folded:
            row = row._replace(box=0.0, bit=BIT * ROW_BITS / FOLDED_BITS, has_bits=False)
        elif folded and not row.present:
            row = row._replace(has_bits=False, has_octets=False)
        elif crowded and start > fixed:  # the first row of options says what they are
            row = row._replace(box=0.0)
        rows.append(row)
        start, y = bits.stop, row.foot
    return rows
