"""Draw a header as the RFCs print it: 32 bits wide, a row for every word (RFC 791, section 3.1).

Each field is a box with its name and its value. Under it, in the same columns, stand its bits, and
under every four bits their hexadecimal digit, framed by octets: what stands below a field is what
the wire carries for it. A field that has changed is hatched, has a thick outline and carries the
word "changed"; its changed bits are white on dark. What is missing has a dashed outline.

The figure is made of text alone, so it can be redrawn many times a second.
"""

__all__ = ["header_diagram", "header_scene"]

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from course_lib.figures.drawing.scene import Part, Press, Scene
from course_lib.figures.drawing.svg import Figure, box, group, hatching, label, path
from course_lib.figures.headers.header_fields import (
    FieldReading,
    HeaderReading,
    bit_in_words,
    read_header,
)
from course_lib.figures.headers.header_words import note_lines, words_of

_ROW_BITS = 32
_BIT = 22.0  # the width of a bit, in pixels; all that follows are pixels too
_LEFT = 98.0  # the margin that says which bits and octets a row holds
_WIDTH = _LEFT + _ROW_BITS * _BIT + 14
_TOP = 66.0  # title and ruler
_BOX, _BITS, _HEX = 38.0, 17.0, 19.0  # the three parts of a row, from above
_ROW = _BOX + _BITS + _HEX + 8
_SMALL = 12.5


class _Row(NamedTuple):
    """One word of 32 bits: where it is drawn, and which bits of it are there."""

    y: float
    bits: range  # of the header
    present: str  # "0" and "1" of the bits that are there

    def x(self, bit: float) -> float:
        return _LEFT + (bit - self.bits.start) * _BIT


def header_diagram(
    octets: bytes, layout: str = "IPv4", *, changed_bits: Iterable[int] = ()
) -> Figure:
    """Return the diagram of the header at the beginning of `octets`.

    `layout` is the name of a header: "Ethernet", "ARP", "IPv4", "ICMP", "UDP" or "TCP". Octets that
    follow the header are counted and not drawn. Bits are counted from the first on the wire.

    Malformed octets are drawn as far as they go, with a note in words. Raises `ValueError` for a
    bit outside the header, or an unknown header.

    >>> print(header_diagram(bytes.fromhex("03e8 07d0 000b 4386"), "UDP").title)
    UDP header: 8 octets in 2 rows of 32 bits
    """
    return header_scene(octets, layout, changed_bits=changed_bits).figure()


def header_scene(octets: bytes, layout: str = "IPv4", *, changed_bits: Iterable[int] = ()) -> Scene:
    """Return the same as a scene in which every bit that is there can be pressed ("flip")."""
    reading = read_header(octets, layout)
    changed = frozenset(changed_bits)
    if outside := sorted(changed - set(range(reading.bits))):
        last = reading.bits - 1
        raise ValueError(f"bit {outside[0]} is not in the header, whose bits are 0 to {last}")
    words, notes = words_of(reading, changed), note_lines(reading)
    rows = list(_rows(reading))
    foot = rows[-1].y + _ROW + 10
    parts = [
        Part("title", label(words.title, _LEFT, 24, "ink strong", 16)),
        Part("ruler", _ruler()),
        *(part for row in rows for part in _row_parts(row, reading, changed)),
        *(
            Part(f"note {n}", label(line, _LEFT, foot + 18 * n, "ink", 13))
            for n, line in enumerate(notes)
        ),
    ]
    there = {bit: digit for row in rows for bit, digit in zip(row.bits, row.present, strict=False)}
    touches = tuple(
        Press(f"bit {bit}", f"{_where(reading, bit)}, is {digit}", "flip", bit)
        for bit, digit in there.items()
    )
    return Scene(words, (_WIDTH, foot + 18 * len(notes) - 4), tuple(parts), touches)


def _rows(reading: HeaderReading) -> Iterator[_Row]:
    number = int.from_bytes(b"\1" + reading.octets)  # the leading 1 keeps zeros in front
    present = f"{number:b}"[1:]
    for place, start in enumerate(range(0, reading.bits, _ROW_BITS)):
        bits = range(start, min(start + _ROW_BITS, reading.bits))
        yield _Row(_TOP + place * _ROW, bits, present[bits.start : bits.stop])


def _ruler() -> str:
    """Two lines of digits, the tens above the units, as the RFCs print them."""
    middles = [_LEFT + (bit + 0.5) * _BIT for bit in range(_ROW_BITS)]
    units = "".join(str(bit % 10) for bit in range(_ROW_BITS))
    return label("0123", middles[::10], 43, "quiet mono", _SMALL, "middle") + label(
        units, middles, 57, "quiet mono", _SMALL, "middle"
    )


def _row_parts(row: _Row, reading: HeaderReading, changed: frozenset[int]) -> Iterator[Part]:
    first, last = row.bits.start, row.bits.stop - 1
    ticks = "".join(f"M{row.x(bit):g} {row.y:g}v4" for bit in row.bits)
    octets = f"octets {first // 8}–{last // 8}"
    for field in reading.fields:
        if drawn := _draw_field(row, field, reading, changed):
            yield Part(f"field {field.field.name} {first}", drawn)
    yield Part(
        f"row {first}",
        label(f"bits {first}–{last}", _LEFT - 8, row.y + _BOX + 13, "quiet", _SMALL, "end")
        + label(octets, _LEFT - 8, row.y + _BOX + _BITS + 15, "quiet", _SMALL, "end")
        + path("axis", ticks),
    )
    for start in row.bits[::8]:
        yield Part(f"octet {start // 8}", _draw_octet(row, start, changed))
    for bit, digit in zip(row.bits, row.present, strict=False):
        shapes = _draw_bit(row, bit, digit, bit in changed)
        yield Part(f"bit {bit}", group(_where(reading, bit), *shapes))


def _where(reading: HeaderReading, bit: int) -> str:
    return f"Bit {bit}: {bit_in_words(reading.at(bit), bit)}"


def _draw_field(
    row: _Row, reading: FieldReading, header: HeaderReading, changed: frozenset[int]
) -> str:
    """Draw the part of a field that lies in this row; nothing, if none does."""
    start, stop = max(reading.bits.start, row.bits.start), min(reading.bits.stop, row.bits.stop)
    if start >= stop:
        return ""
    x, width = row.x(start), (stop - start) * _BIT
    middle, first = x + width / 2, start == reading.bits.start
    has_changed = not changed.isdisjoint(reading.bits)
    name = reading.words.capitalize() + ("" if first else ", continued")
    value = _value_text(reading, header, (start, stop))
    look = "quiet" if reading.value is None else "ink mono strong"
    return group(
        _tip(reading),
        box("gap" if reading.value is None else "box", x, row.y, width, _BOX),
        _changed_box(x, row.y, width) if has_changed else "",
        label(name, middle, row.y + 16, "ink", _SMALL, "middle", width - 8),
        label(value, middle, row.y + 32, look, 14, "middle", width - 8),
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
    middle, half = x + width / 2, 30
    return (
        path("slant", hatching(x, y, width, _BOX))
        + box("changed", x + 1.5, y + 1.5, width - 3, _BOX - 3)
        + box("alert", middle - half, y - 10, 2 * half, 14, 7)
        + label("changed", middle, y + 1, "on-mark", _SMALL, "middle", 2 * half - 4)
    )


def _draw_bit(row: _Row, bit: int, digit: str, changed: bool) -> tuple[str, str]:
    """Write a bit; one that has changed is white on dark."""
    x, y = row.x(bit), row.y + _BOX
    look = "on-mark mono strong" if changed else "ink mono"
    return (
        box("alert" if changed else "hit", x + 3, y + 2, _BIT - 6, 15, 3),
        label(digit, [x + _BIT / 2], y + 14, look, _SMALL, "middle"),
    )


def _draw_octet(row: _Row, start: int, changed: frozenset[int]) -> str:
    """Frame an octet, and write each hexadecimal digit under its four bits."""
    y, bits = row.y + _BOX + _BITS + 2, row.present[start - row.bits.start :][:8]
    has_changed = not changed.isdisjoint(range(start, start + 8))
    look = "changed" if has_changed else "axis" if bits else "gap"
    digits = "".join(f"{int(bits[at : at + 4], 2):x}" for at in range(0, len(bits), 4))
    middles = [row.x(start + at + 2) for at in range(0, len(bits), 4)]
    frame = box(look, row.x(start) + 3, y, 8 * _BIT - 6, _HEX, 5)
    return frame + label(digits, middles, y + 14.5, "ink mono", 14, "middle")
