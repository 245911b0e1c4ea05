"""Draw a header as the RFCs print it: 32 bits wide, a row for every word (RFC 791, section 3.1).

Each field is a box with its name and its value. Under it, in the same columns, stand its bits, and
under every four bits their hexadecimal digit, framed by octets: what stands below a field is what
the wire carries for it. A field that has changed is hatched, has a thick outline and carries the
word "changed"; its changed bits are white on dark. What is missing has a dashed outline.

The figure is made of text alone, and what is drawn of bits is remembered, so it can be redrawn many
times a second.
"""

__all__ = ["bit_presses", "header_diagram", "header_parts", "header_scene"]

import functools
from collections.abc import Collection, Iterable, Iterator

from course_lib.figures.drawing.scene import Part, Press, Scene
from course_lib.figures.drawing.svg import Figure, box, group, hatching, label, path
from course_lib.figures.headers.header_fields import (
    FieldReading,
    HeaderReading,
    bit_in_words,
    read_header,
)
from course_lib.figures.headers.header_grid import (
    BIT,
    BOX,
    HEX,
    LEFT,
    RIGHT,
    ROW_BITS,
    SMALL,
    Row,
    rows_of,
)
from course_lib.figures.headers.header_words import note_lines, words_of
from course_lib.headers.layouts import FieldLayout

_TOP = 56.0  # title and ruler
_EDGE, _TITLE_Y, _RULER_UP, _LINE = 20.0, 24.0, 11.0, 18.0


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
    words, rows = words_of(reading, changed), rows_of(reading, _TOP)
    notes = note_lines(reading)
    foot = rows[-1].foot + 8
    parts = [
        Part("title", label(words.title, _EDGE, _TITLE_Y, "ink strong", 16)),
        *header_parts(reading, rows, changed),
        *(
            Part(f"note {n}", label(line, _EDGE, foot + _LINE * n, "ink", 13))
            for n, line in enumerate(notes)
        ),
    ]
    size = (RIGHT + 14, foot + _LINE * len(notes) - 4)
    return Scene(words, size, tuple(parts), bit_presses(reading, rows))


def header_parts(
    reading: HeaderReading,
    rows: list[Row],
    changed: frozenset[int],
    broken: Collection[str] = (),
) -> list[Part]:
    """Return the ruler and the rows; fields that are `broken`, by their names, get a torn edge.

    Raises `ValueError` for a changed bit outside the header.
    """
    if outside := sorted(changed - set(range(reading.bits))):
        last = reading.bits - 1
        raise ValueError(f"bit {outside[0]} is not in the header, whose bits are 0 to {last}")
    return [
        Part("ruler", _ruler(rows[0].y - _RULER_UP)),
        *(part for row in rows for part in _row_parts(row, reading, changed, broken)),
    ]


def bit_presses(reading: HeaderReading, rows: list[Row]) -> tuple[Press, ...]:
    """Return what flips the bits that are there."""
    names = _names_of_bits(tuple(one.field for one in reading.fields))
    return tuple(
        _press(bit, names[bit], digit)
        for row in rows
        if row.has_bits
        for bit, digit in zip(row.bits, row.present, strict=False)
    )


@functools.lru_cache(maxsize=4096)
def _press(bit: int, name: str, digit: str) -> Press:
    return Press(f"bit {bit}", f"{name}, is {digit}", "flip", bit)


def _ruler(y: float) -> str:
    """Number the bits of a row, as the RFCs do, but in one line."""
    digits = [(str(bit), LEFT + (bit + 0.5) * BIT) for bit in range(ROW_BITS)]
    places = [x for number, middle in digits for x in _placed(number, middle)]
    return label("".join(number for number, _ in digits), places, y, "quiet mono", SMALL, "middle")


def _placed(number: str, middle: float) -> list[float]:
    """Return a place for each digit of a number."""
    return [middle + (at - (len(number) - 1) / 2) * SMALL * 0.6 for at in range(len(number))]


def _row_parts(
    row: Row, reading: HeaderReading, changed: frozenset[int], broken: Collection[str]
) -> Iterator[Part]:
    first = row.bits.start
    ticks = _ticks(row.y, len(row.bits), row.bit) if row.box else ""
    for field in reading.fields if row.box else ():
        if drawn := _draw_field(row, field, reading, changed, field.field.name in broken):
            yield Part(f"field {field.field.name} {first}", drawn)
    yield Part(f"row {first}", _margin(row) + (path("axis", ticks) if ticks else ""))
    for start in row.bits[::8] if row.has_octets else ():
        yield Part(f"octet {start // 8}", _draw_octet(row, start, changed))
    names = _names_of_bits(tuple(one.field for one in reading.fields))
    for bit, digit in zip(row.bits, row.present, strict=False) if row.has_bits else ():
        yield _draw_bit(row.x(bit), row.bits_y, bit, names[bit], digit, bit in changed)


@functools.lru_cache(maxsize=256)
def _ticks(y: float, bits: int, width: float) -> str:
    return "".join(f"M{LEFT + bit * width:g} {y:g}v4" for bit in range(bits))


def _margin(row: Row) -> str:
    """Say which bits and octets a row holds, as far as it shows them."""
    first, last = row.bits.start, row.bits.stop - 1
    octets_y = row.hex_y + 13 if row.has_octets else row.y + 20
    octets = label(f"octets {first // 8}–{last // 8}", LEFT - 8, octets_y, "quiet", SMALL, "end")
    if not row.has_bits:
        return octets
    return label(f"bits {first}–{last}", LEFT - 8, row.bits_y + 12, "quiet", SMALL, "end") + octets


@functools.lru_cache(maxsize=64)
def _names_of_bits(fields: tuple[FieldLayout, ...]) -> tuple[str, ...]:
    """Return where each bit of a header stands; fields follow each other without a gap."""
    readings = [FieldReading(field, None) for field in fields]
    return tuple(f"Bit {bit}: {bit_in_words(one, bit)}" for one in readings for bit in one.bits)


def _draw_field(
    row: Row,
    reading: FieldReading,
    header: HeaderReading,
    changed: frozenset[int],
    broken: bool,
) -> str:
    """Draw the part of a field that lies in this row; nothing, if none does."""
    start, stop = max(reading.bits.start, row.bits.start), min(reading.bits.stop, row.bits.stop)
    if start >= stop:
        return ""
    x, width = row.x(start), (stop - start) * row.bit
    middle, first = x + width / 2, start == reading.bits.start
    has_changed = not changed.isdisjoint(reading.bits)
    name = reading.words.capitalize() + ("" if first else ", continued")
    value = _value_text(reading, header, (start, stop))
    look = "quiet" if reading.value is None else "ink mono strong"
    return group(
        _tip(reading),
        box("gap" if reading.value is None else "box", x, row.y, width, BOX),
        path("torn", _torn(x, row.y, width)) if broken else "",
        _changed_box(x, row.y, width) if has_changed else "",
        label(name, middle, row.y + 14.5, "ink", SMALL, "middle", width - 8),
        label(value, middle, row.y + 29, look, 14, "middle", width - 8),
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
        path("slant", hatching(x, y, width, BOX))
        + box("changed", x + 1.5, y + 1.5, width - 3, BOX - 3)
        + box("alert", middle - half, y - 10, 2 * half, 13.5, 6)
        + label("changed", middle, y + 0.5, "on-mark", SMALL, "middle", 2 * half - 4)
    )


def _torn(x: float, y: float, width: float) -> str:
    """Return the edges of a box as a zigzag, for what does not fit its surroundings."""
    across, down = int(width // 8), int(BOX // 8)
    side = "".join(f"l{3 if n % 2 else -3} {BOX / down:g}" for n in range(down))
    back = "".join(f"l{3 if n % 2 else -3} {-BOX / down:g}" for n in range(down))
    base = "".join(f"l{-width / across:g} {3 if n % 2 else -3}" for n in range(across))
    return f"M{x:g} {y:g}H{x + width:g}{side}{base}{back}"


@functools.lru_cache(maxsize=8192)
def _draw_bit(x: float, y: float, bit: int, name: str, digit: str, changed: bool) -> Part:
    """Write a bit; one that has changed is white on dark."""
    look = "on-mark mono strong" if changed else "ink mono"
    shape = box("alert" if changed else "hit", x + 2, y + 1, BIT - 4, 12, 3)
    written = label(digit, [x + BIT / 2], y + 11.5, look, SMALL, "middle")
    return Part(f"bit {bit}", group(name, shape, written))


def _draw_octet(row: Row, start: int, changed: frozenset[int]) -> str:
    """Frame an octet, and write each hexadecimal digit under its four bits."""
    y, bits = row.hex_y, row.present[start - row.bits.start :][:8]
    has_changed = not changed.isdisjoint(range(start, start + 8))
    look = "changed" if has_changed else "axis" if bits else "gap"
    digits = "".join(f"{int(bits[at : at + 4], 2):x}" for at in range(0, len(bits), 4))
    middles = [row.x(start + at + 2) for at in range(0, len(bits), 4)]
    frame = box(look, row.x(start) + 3, y, 8 * row.bit - 6, HEX, 5)
    return frame + label(digits, middles, y + 12.5, "ink mono", 14, "middle")
