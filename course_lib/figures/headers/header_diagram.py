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

from course_lib.figures.drawing.svg import Figure, box, drawing, group, hatching, label, path
from course_lib.figures.headers.header_fields import FieldReading, HeaderReading, read_header
from course_lib.figures.headers.header_words import Marks, note_lines, words_of

_ROW_BITS = 32
_BIT = 22.0  # the width of a bit, in pixels; all that follows are pixels too
_LEFT = 92.0  # the margin that says which bits and octets a row holds
_WIDTH = _LEFT + _ROW_BITS * _BIT + 14
_TOP = 70.0  # title and ruler
_BOX, _BITS, _HEX = 40.0, 17.0, 20.0  # the three parts of a row, from above
_ROW = _BOX + _BITS + _HEX + 13


class _Row(NamedTuple):
    """One word of 32 bits: where it is drawn, and which bits of it are there."""

    y: float
    bits: range  # of the header
    present: str  # "0" and "1" of the bits that are there

    def x(self, bit: float) -> float:
        return _LEFT + (bit - self.bits.start) * _BIT


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
    reading = read_header(octets, layout)
    marks = Marks(frozenset(changed_bits), chosen_bit)
    _check(marks, reading)
    words, notes = words_of(reading, marks), note_lines(reading)
    rows = list(_rows(reading))
    foot = rows[-1].y + _ROW + 6
    legend = _legend(foot, marks)
    foot += 22 if legend else 0
    return drawing(
        words,
        (_WIDTH, foot + 18 * len(notes) - 4),
        label(words.title, _LEFT, 24, "ink strong", 16),
        _ruler(marks),
        *(_draw_row(row, reading, marks) for row in rows),
        legend,
        *(label(line, _LEFT, foot + 18 * n, "ink", 13) for n, line in enumerate(notes)),
    )


def _check(marks: Marks, reading: HeaderReading) -> None:
    chosen = set() if marks.chosen is None else {marks.chosen}
    if outside := sorted((marks.changed | chosen) - set(range(reading.bits))):
        last = reading.bits - 1
        raise ValueError(f"bit {outside[0]} is not in the header, whose bits are 0 to {last}")


def _rows(reading: HeaderReading) -> Iterator[_Row]:
    number = int.from_bytes(b"\1" + reading.octets)  # the leading 1 keeps zeros in front
    present = f"{number:b}"[1:]
    for place, start in enumerate(range(0, reading.bits, _ROW_BITS)):
        bits = range(start, min(start + _ROW_BITS, reading.bits))
        yield _Row(_TOP + place * _ROW, bits, present[bits.start : bits.stop])


def _ruler(marks: Marks) -> str:
    """Two lines of digits, the tens above the units, as the RFCs print them."""
    middles = [_LEFT + (bit + 0.5) * _BIT for bit in range(_ROW_BITS)]
    units = "".join(str(bit % 10) for bit in range(_ROW_BITS))
    digits = label("0123", middles[::10], 45, "quiet mono", anchor="middle") + label(
        units, middles, 59, "quiet mono", anchor="middle"
    )
    if marks.chosen is None:
        return digits
    x = middles[marks.chosen % _ROW_BITS] - _BIT / 2
    return digits + box("chosen", x + 3, 47, _BIT - 6, 16, 3)


def _draw_row(row: _Row, reading: HeaderReading, marks: Marks) -> str:
    first, last = row.bits.start, row.bits.stop - 1
    octets = f"octets {first // 8}–{last // 8}"
    ticks = "".join(f"M{row.x(bit):g} {row.y:g}v4" for bit in row.bits)
    parts = [
        label(f"bits {first}–{last}", _LEFT - 8, row.y + _BOX + 13, "quiet", 11, "end"),
        label(octets, _LEFT - 8, row.y + _BOX + _BITS + 16, "quiet", 11, "end"),
        *(_draw_field(row, field, reading, marks) for field in reading.fields),
        path("axis", ticks),
        _draw_bits(row, marks),
        _draw_octets(row, marks),
    ]
    return "".join(parts)


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
    return group(
        _tip(reading),
        box("gap" if reading.value is None else "box", x, row.y, width, _BOX),
        _changed_box(x, row.y, width) if changed else "",
        label(name, middle, row.y + 18, "ink", 12.5, "middle", width - 8),
        label(value, middle, row.y + 34, look, 14, "middle", width - 8),
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


def _changed_box(x: float, y: float, width: float) -> str:
    """Hatching, a thick outline, and the word on the upper edge."""
    middle, half = x + width / 2, 26
    return (
        path("slant", hatching(x, y, width, _BOX))
        + box("changed", x + 1.5, y + 1.5, width - 3, _BOX - 3)
        + box("alert", middle - half, y - 8, 2 * half, 14, 7)
        + label("changed", middle, y + 2.5, "on-mark strong", 10.5, "middle")
    )


def _draw_bits(row: _Row, marks: Marks) -> str:
    """Write the bits; those that changed are white on dark, the chosen one has a frame."""
    y, there = row.y + _BOX, dict(zip(row.bits, row.present, strict=False))
    shapes = [
        box("alert", row.x(bit) + 3, y + 2, _BIT - 6, 15, 3)
        for bit in row.bits
        if bit in marks.changed
    ]
    if marks.chosen in row.bits and marks.chosen is not None:
        shapes.append(box("chosen", row.x(marks.chosen) + 1, y, _BIT - 2, _BITS + 1, 4))
    for is_changed, look in ((False, "ink mono"), (True, "on-mark mono strong")):
        bits = [bit for bit in there if (bit in marks.changed) is is_changed]
        digits = "".join(there[bit] for bit in bits)
        middles = [row.x(bit + 0.5) for bit in bits]
        shapes.append(label(digits, middles, y + 13, look, anchor="middle"))
    return "".join(shapes)


def _draw_octets(row: _Row, marks: Marks) -> str:
    """Frame every octet, and write each hexadecimal digit under its four bits."""
    y, shapes = row.y + _BOX + _BITS + 2, []
    for bit in row.bits[::8]:
        is_there = bit - row.bits.start < len(row.present)
        changed = not marks.changed.isdisjoint(range(bit, bit + 8))
        look = "changed" if changed else "axis" if is_there else "gap"
        shapes.append(box(look, row.x(bit) + 3, y, 8 * _BIT - 6, _HEX, 5))
    starts = range(0, len(row.present), 4)
    digits = "".join(f"{int(row.present[start : start + 4], 2):x}" for start in starts)
    middles = [row.x(row.bits[start] + 2) for start in starts]
    return "".join(shapes) + label(digits, middles, y + 15, "ink mono", 14, "middle")


def _legend(y: float, marks: Marks) -> str:
    entries = [("alert", 3, "changed bit")] if marks.changed else []
    if marks.chosen is not None:
        entries.append(("chosen", 4, f"chosen bit: bit {marks.chosen}"))
    return "".join(
        box(look, x, y - 11, 16, 15, corner) + label(words, x + 24, y + 1, "quiet")
        for x, (look, corner, words) in zip((_LEFT, _LEFT + 120), entries, strict=False)
    )
