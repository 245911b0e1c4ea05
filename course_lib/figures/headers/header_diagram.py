"""Draw a header as the RFCs print it: 32 bits wide, a row for every word (RFC 791, section 3.1).

Each field is a box with its name and its value. Under it, in the same columns, stand its bits, and
under every four bits their hexadecimal digit, framed by octets: what stands below a field is what
the wire carries for it. A field that has changed is hatched, has a thick outline and carries the
word "changed"; its changed bits are white on dark. What is missing has a dashed outline.

The figure is made of text alone, so it can be redrawn many times a second.
"""

__all__ = ["header_diagram"]

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from course_lib.figures.drawing.letters import fitted
from course_lib.figures.drawing.svg import Figure, drawing, element, escape, hatching, label
from course_lib.figures.headers.header_fields import (
    FieldReading,
    HeaderReading,
    layout_called,
    read_header,
)
from course_lib.figures.headers.header_words import (
    Marks,
    alternative_text,
    note_lines,
    text_twin,
    title,
)

_ROW_BITS = 32
_BIT = 22.0  # the width of a bit, in pixels; all that follows are pixels too
_LEFT = 92.0  # the margin that says which bits and octets a row holds
_WIDTH = _LEFT + _ROW_BITS * _BIT + 14
_TOP = 70.0  # title and ruler
_BOX, _BITS, _HEX = 40.0, 17.0, 20.0  # the three parts of a row, from above
_ROW = _BOX + _BITS + _HEX + 13


class _Row(NamedTuple):
    """One word of 32 bits: its number, where it is drawn, and which bits of it are there."""

    number: int
    y: float
    bits: range  # of the header
    present: str  # "0" and "1" of the bits that are there

    def x(self, bit: int) -> float:
        return _LEFT + (bit - self.number * _ROW_BITS) * _BIT


def header_diagram(
    octets: bytes,
    layout: str = "IPv4",
    *,
    changed_bits: Iterable[int] = (),
    chosen_bit: int | None = None,
) -> Figure:
    """Return the diagram of the header at the beginning of `octets`.

    `layout` is the name of a header: "Ethernet", "ARP", "IPv4", "ICMP", "UDP" or "TCP". Octets that
    follow the header are counted and not drawn. Bits are counted from the first on the wire.

    Malformed octets are drawn as far as they go, with a note in words. Raises `ValueError` for a
    bit outside the header, or an unknown header.

    >>> print(header_diagram(bytes.fromhex("03e8 07d0 000b 4386"), "UDP").title)
    UDP header: 8 octets in 2 rows of 32 bits
    """
    reading = read_header(octets, layout_called(layout))
    marks = Marks(frozenset(changed_bits), chosen_bit)
    _check(marks, reading)
    heading, spoken = title(reading, marks), alternative_text(reading, marks)
    shapes, height = _shapes(heading, reading, marks)
    svg = drawing(heading, spoken, (_WIDTH, height), *shapes)
    return Figure(heading, svg, text_twin(heading, reading, marks), spoken)


def _check(marks: Marks, reading: HeaderReading) -> None:
    chosen = () if marks.chosen is None else (marks.chosen,)
    for bit in (*sorted(marks.changed), *chosen):
        if bit not in range(reading.bits):
            last = reading.bits - 1
            raise ValueError(f"bit {bit} is not in the header, whose bits are 0 to {last}")


def _shapes(heading: str, reading: HeaderReading, marks: Marks) -> tuple[list[str], float]:
    """Return all that is drawn, and how high it is."""
    rows = list(_rows(reading))
    foot = rows[-1].y + _ROW + 6
    legend = _legend(foot, marks)
    foot += 22 if legend else 0
    notes = note_lines(reading)
    shapes = [
        label(heading, _LEFT, 24, "ink strong", font_size=16),
        _ruler(marks),
        *(_draw_row(row, reading, marks) for row in rows),
        legend,
        *(label(line, _LEFT, foot + 18 * place, font_size=13) for place, line in enumerate(notes)),
    ]
    return shapes, foot + 18 * len(notes) - 4


def _rows(reading: HeaderReading) -> Iterator[_Row]:
    number = int.from_bytes(b"\1" + reading.octets)  # the leading 1 keeps zeros in front
    present = f"{number:b}"[1:]
    for place, start in enumerate(range(0, reading.bits, _ROW_BITS)):
        bits = range(start, min(start + _ROW_BITS, reading.bits))
        yield _Row(place, _TOP + place * _ROW, bits, present[bits.start : bits.stop])


def _ruler(marks: Marks) -> str:
    """Two lines of digits, the tens above the units, as the RFCs print them."""
    units = _digits(range(_ROW_BITS), "".join(str(bit % 10) for bit in range(_ROW_BITS)), 59)
    tens = _digits(range(0, _ROW_BITS, 10), "0123", 45)
    if marks.chosen is None:
        return tens + units
    x = _LEFT + (marks.chosen % _ROW_BITS) * _BIT
    frame = element("rect", x=x + 3, y=47, width=_BIT - 6, height=16, rx=3, class_="chosen")
    return tens + units + frame


def _digits(bits: Iterable[int], digits: str, y: float) -> str:
    places = " ".join(f"{_LEFT + (bit + 0.5) * _BIT:g}" for bit in bits)
    return label(digits, places, y, "quiet mono", font_size=12, text_anchor="middle")


def _draw_row(row: _Row, reading: HeaderReading, marks: Marks) -> str:
    parts = [
        _margin(row),
        *(_draw_field(row, field, reading, marks) for field in reading.fields),
        _ticks(row),
        _draw_bits(row, marks),
        _draw_octets(row, marks),
    ]
    return element("g", *parts)


def _margin(row: _Row) -> str:
    first, last = row.bits.start, row.bits.stop - 1
    words = (f"bits {first}–{last}", f"octets {first // 8}–{last // 8}")
    heights = (row.y + _BOX + 13, row.y + _BOX + _BITS + 16)
    return "".join(
        label(line, _LEFT - 8, y, "quiet", font_size=11, text_anchor="end")
        for line, y in zip(words, heights, strict=True)
    )


def _draw_field(row: _Row, reading: FieldReading, header: HeaderReading, marks: Marks) -> str:
    """Draw the part of a field that lies in this row; nothing, if none does."""
    start, stop = max(reading.bits.start, row.bits.start), min(reading.bits.stop, row.bits.stop)
    if start >= stop:
        return ""
    x, width = row.x(start), (stop - start) * _BIT
    middle, first = x + width / 2, start == reading.bits.start
    changed = not marks.changed.isdisjoint(reading.bits)
    name = reading.words.capitalize() + ("" if first else ", continued")
    value = _value_text(reading, header, (start, stop))
    look = "quiet" if reading.value is None else "ink mono strong"
    return element(
        "g",
        element("title", escape(_tip(reading))),
        _box(x, row.y, width, "gap" if reading.value is None else "box"),
        _changed_box(x, row.y, width) if changed else "",
        fitted(name, middle, row.y + 18, width - 8, 12.5),
        fitted(value, middle, row.y + 34, width - 8, 14, look),
    )


def _value_text(reading: FieldReading, header: HeaderReading, part: tuple[int, int]) -> str:
    if reading.value is None:
        return "cut off" if len(header.octets) * 8 > part[0] else "missing"
    if reading.field.name == "options":
        return header.octets[part[0] // 8 : part[1] // 8].hex(" ")
    return reading.text if part[0] == reading.bits.start else "…"


def _tip(reading: FieldReading) -> str:
    bits = reading.bits
    where = f"bits {bits.start} to {bits.stop - 1}, octet {reading.field.octet} on"
    meaning = f": {reading.field.meaning}" if reading.field.meaning else ""
    return f"{reading.words} ({where}){meaning} [{reading.field.source}]"


def _box(x: float, y: float, width: float, look: str, inset: float = 0) -> str:
    return element(
        "rect",
        x=x + inset,
        y=y + inset,
        width=width - 2 * inset,
        height=_BOX - 2 * inset,
        class_=look,
    )


def _changed_box(x: float, y: float, width: float) -> str:
    """Hatching, a thick outline, and the word on the upper edge."""
    middle, half = x + width / 2, 26
    return (
        element("path", d=hatching(x, y, width, _BOX), class_="slant")
        + _box(x, y, width, "changed", inset=1.5)
        + element("rect", x=middle - half, y=y - 8, width=2 * half, height=14, rx=7, class_="alert")
        + label("changed", middle, y + 2.5, "on-mark strong", font_size=10.5, text_anchor="middle")
    )


def _ticks(row: _Row) -> str:
    """A short stroke at every bit, on the upper edge of the row."""
    path = "".join(f"M{row.x(bit):g} {row.y:g}v4" for bit in row.bits)
    return element("path", d=path, class_="axis")


def _draw_bits(row: _Row, marks: Marks) -> str:
    y = row.y + _BOX
    shapes = [_bit_marks(row, marks)]
    for is_changed, look in ((False, "ink mono"), (True, "on-mark mono strong")):
        shown = [
            (bit, digit)
            for bit, digit in zip(row.bits, row.present, strict=False)
            if (bit in marks.changed) is is_changed
        ]
        if shown:
            places = " ".join(f"{row.x(bit) + _BIT / 2:g}" for bit, _ in shown)
            digits = "".join(digit for _, digit in shown)
            shapes.append(label(digits, places, y + 13, look, font_size=12, text_anchor="middle"))
    return "".join(shapes)


def _bit_marks(row: _Row, marks: Marks) -> str:
    y = row.y + _BOX
    shapes = [
        element("rect", x=row.x(bit) + 3, y=y + 2, width=_BIT - 6, height=15, rx=3, class_="alert")
        for bit in sorted(marks.changed)
        if bit in row.bits
    ]
    if marks.chosen in row.bits and marks.chosen is not None:
        x = row.x(marks.chosen)
        shapes.append(
            element("rect", x=x + 1, y=y, width=_BIT - 2, height=_BITS + 1, rx=4, class_="chosen")
        )
    return "".join(shapes)


def _draw_octets(row: _Row, marks: Marks) -> str:
    """Frame every octet, and write each hexadecimal digit under its four bits."""
    y = row.y + _BOX + _BITS + 2
    nibbles = [row.present[place : place + 4] for place in range(0, len(row.present), 4)]
    places = " ".join(f"{row.x(row.bits[4 * place]) + 2 * _BIT:g}" for place in range(len(nibbles)))
    digits = "".join(f"{int(nibble, 2):x}" for nibble in nibbles)
    text = label(digits, places, y + 15, "ink mono", font_size=14, text_anchor="middle")
    frames = (_octet_frame(row, bit, y, marks) for bit in row.bits[::8])
    return "".join(frames) + (text if digits else "")


def _octet_frame(row: _Row, bit: int, y: float, marks: Marks) -> str:
    there = bit - row.bits.start < len(row.present)
    changed = not marks.changed.isdisjoint(range(bit, bit + 8))
    look = "changed" if changed else "axis" if there else "gap"
    return element(
        "rect", x=row.x(bit) + 3, y=y, width=8 * _BIT - 6, height=_HEX, rx=5, class_=look
    )


def _legend(y: float, marks: Marks) -> str:
    x, shapes = _LEFT, []
    if marks.changed:
        shapes.append(element("rect", x=x, y=y - 11, width=16, height=15, rx=3, class_="alert"))
        shapes.append(label("changed bit", x + 24, y + 1, "quiet", font_size=12))
        x += 120
    if marks.chosen is not None:
        shapes.append(element("rect", x=x, y=y - 11, width=16, height=15, rx=4, class_="chosen"))
        words = f"chosen bit: bit {marks.chosen}"
        shapes.append(label(words, x + 24, y + 1, "quiet", font_size=12))
    return "".join(shapes)
