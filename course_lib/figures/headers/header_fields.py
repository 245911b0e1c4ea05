"""Read the fields of a header by its layout, whatever the octets are.

The header types refuse what is malformed. Here nothing is refused: a diagram has to show octets
that are too few, of another version, or with a length that lies, and say so in words.

Bits are counted as in `course_lib.headers.layouts`: bit 0 is the first on the wire.
"""

__all__ = [
    "FieldReading",
    "HeaderReading",
    "bit_in_words",
    "layout_called",
    "read_header",
    "with_field",
    "with_flipped_bit",
]

from typing import NamedTuple

from course_lib.headers.errors import cut_short
from course_lib.headers.layouts import LAYOUTS, FieldLayout, HeaderLayout

_LENGTH_FIELD = {"IPv4": "header_length", "TCP": "data_offset"}  # both count 32-bit words
_WORD_OCTETS = 4


class FieldReading(NamedTuple):
    """A field with the value that the octets give it; None if they end before the field does."""

    field: FieldLayout
    value: int | None

    @property
    def words(self) -> str:
        """The name of the field in plain words."""
        return _in_words(self.field)

    @property
    def bits(self) -> range:
        """The bits of the header that the field takes."""
        return range(self.field.first_bit, self.field.first_bit + self.field.bits)

    @property
    def text(self) -> str:
        """The value as people write it."""
        if self.value is None:
            return "missing"
        if self.field.name == "options":
            return self._octets(self.value).hex(" ")
        held_as_octets = self.field.kind == "hardware address"
        return self.field.to_text(self._octets(self.value) if held_as_octets else self.value)

    @property
    def hexadecimal(self) -> str:
        """The value as a hexadecimal number, as wide as the field."""
        return "" if self.value is None else f"0x{self.value:0{(self.field.bits + 3) // 4}x}"

    def _octets(self, value: int) -> bytes:
        return value.to_bytes(self.field.bits // 8, "big")


class HeaderReading(NamedTuple):
    """All that a diagram of a header needs."""

    layout: HeaderLayout
    octets: bytes  # of the header alone, as far as they are there
    fields: tuple[FieldReading, ...]  # the fixed ones, then the options, if there are any
    problems: tuple[str, ...]  # what is wrong with the header, in sentences
    behind: int  # how many octets follow the header

    @property
    def bits(self) -> int:
        """How many bits the fields take, there or missing."""
        return self.fields[-1].bits.stop

    def at(self, bit: int) -> FieldReading:
        """Return the field that a bit belongs to."""
        return next(reading for reading in self.fields if bit in reading.bits)


def layout_called(name: str) -> HeaderLayout:
    """Return a layout by its name ("IPv4"); raises `ValueError` if there is none."""
    known = {layout.name: layout for layout in LAYOUTS}
    if name not in known:
        raise ValueError(f"there is no header called {name!r}; there are {', '.join(known)}")
    return known[name]


def read_header(octets: bytes, layout: HeaderLayout) -> HeaderReading:
    """Read what there is of a header; refuses nothing but what is not octets (`TypeError`).

    >>> read_header(bytes([0x45]), layout_called("IPv4")).fields[1].value
    5
    """
    if not isinstance(octets, bytes | bytearray | memoryview):
        kind = type(octets).__name__
        raise TypeError(f"a header must be given as bytes, such as header.build(), not as {kind}")
    words = _value(octets, _length_field(layout))
    length = layout.octets if words is None else max(layout.octets, words * _WORD_OCTETS)
    present = min(length, len(octets))
    fields = [*layout.fields, *_options(layout, length, present)]
    return HeaderReading(
        layout=layout,
        octets=bytes(octets[:present]),
        fields=tuple(FieldReading(field, _value(octets, field)) for field in fields),
        problems=tuple(_problems(octets, layout, words)),
        behind=len(octets) - present,
    )


def with_field(octets: bytes, field: FieldLayout, value: int) -> bytes:
    """Return octets that differ in one field. Raises `ValueError` for a value that does not fit.

    >>> from course_lib.headers.layouts import UDP
    >>> with_field(bytes(8), UDP.field("length"), 11).hex(" ")
    '00 00 00 00 00 0b 00 00'
    """
    if not 0 <= value <= field.largest:
        raise ValueError(f"{field.name} must be 0 to {field.largest}, not {value}")
    shift = _bits_behind(octets, field)
    if shift < 0:
        raise ValueError(f"{field.name} cannot be set: the octets end before it does")
    cleared = int.from_bytes(octets) & ~(field.largest << shift)
    return (cleared | value << shift).to_bytes(len(octets), "big")


def with_flipped_bit(octets: bytes, bit: int) -> bytes:
    """Return octets that differ in one bit, counted from the first on the wire."""
    if not 0 <= bit < len(octets) * 8:
        raise ValueError(f"bit must be 0 to {len(octets) * 8 - 1}, not {bit}")
    flipped = bytearray(octets)
    flipped[bit // 8] ^= 0x80 >> bit % 8
    return bytes(flipped)


def bit_in_words(reading: FieldReading, bit: int) -> str:
    """Return where in its field a bit stands.

    >>> bit_in_words(read_header(bytes(20), layout_called("IPv4")).fields[7], 64)
    'the highest bit of time to live, worth 128'
    """
    place = reading.bits.index(bit)
    below = reading.field.bits - 1 - place
    ends = {0: "the highest bit", reading.field.bits - 1: "the lowest bit"}
    which = ends.get(place, f"number {place + 1} of the {reading.field.bits} bits")
    worth = f", worth {1 << below}" if reading.field.kind == "number" else ""
    return f"{which} of {reading.words}{worth}"


def _in_words(field: FieldLayout) -> str:
    return field.name.replace("_", " ")


def _value(octets: bytes, field: FieldLayout | None) -> int | None:
    if field is None or (shift := _bits_behind(octets, field)) < 0:
        return None
    return int.from_bytes(octets) >> shift & field.largest


def _bits_behind(octets: bytes, field: FieldLayout) -> int:
    return len(octets) * 8 - field.first_bit - field.bits


def _length_field(layout: HeaderLayout) -> FieldLayout | None:
    name = _LENGTH_FIELD.get(layout.name)
    return layout.field(name) if name else None


def _options(layout: HeaderLayout, length: int, present: int) -> list[FieldLayout]:
    """Return the options as a field; one row stands for all that are wholly missing."""
    whole_words = max(layout.octets, present + -present % _WORD_OCTETS)
    bits = (min(length, whole_words + _WORD_OCTETS) - layout.octets) * 8
    if bits <= 0:
        return []
    source = layout.fields[-1].source
    return [FieldLayout("options", layout.octets * 8, bits, "code", "", source)]


def _problems(octets: bytes, layout: HeaderLayout, words: int | None) -> list[str]:
    present = len(octets)
    found = [
        f"{_in_words(field)} is {field.to_text(value)}, must be {field.to_text(field.always)} "
        f"({field.source})"
        for field in layout.fields
        if field.always is not None
        and (value := _value(octets, field)) is not None
        and value != field.always
    ]
    if present < layout.octets:
        return [*found, str(cut_short(layout, present))]
    length = _length_field(layout)
    if length and words is not None and words * _WORD_OCTETS < layout.octets:
        need = layout.octets // _WORD_OCTETS
        found.append(f"{_in_words(length)} is {words}, must be {need} or more ({length.source})")
    if words is not None and (says := words * _WORD_OCTETS) > present:
        found.append(f"the header says that it has {says} octets, {present} are there")
    return found
