"""Read the fields of a header by its layout, whatever the octets are.

The header types refuse what is malformed. Here nothing is refused: a diagram has to show octets
that are too few, of another version, or with a length that lies, and say so in words.

Bits are counted as in `course_lib.headers.layouts`: bit 0 is the first on the wire.
"""

__all__ = [
    "FieldReading",
    "HeaderReading",
    "bit_in_words",
    "read_header",
    "with_field",
    "with_flipped_bit",
]

from typing import NamedTuple

from course_lib.headers.errors import cut_short
from course_lib.headers.layouts import LAYOUTS, FieldLayout, HeaderLayout

_LENGTHS = ("header_length", "data_offset")  # of IPv4 and TCP; both count 32-bit words
_WORD_OCTETS = 4


class FieldReading(NamedTuple):
    """A field with the value that the octets give it; None if they end before the field does."""

    field: FieldLayout
    value: int | None

    @property
    def words(self) -> str:
        """The name of the field in plain words."""
        return self.field.name.replace("_", " ")

    @property
    def bits(self) -> range:
        """The bits of the header that the field takes."""
        return range(self.field.first_bit, self.field.first_bit + self.field.bits)

    @property
    def text(self) -> str:
        """The value as people write it."""
        if self.value is None:
            return "missing"
        if self.field.name != "options" and self.field.kind != "hardware address":
            return self.field.to_text(self.value)
        octets = self.value.to_bytes(self.field.bits // 8, "big")
        return octets.hex(" ") if self.field.name == "options" else self.field.to_text(octets)

    @property
    def hexadecimal(self) -> str:
        """The value as a hexadecimal number, as wide as the field; options are no number."""
        if self.value is None or self.field.name == "options":
            return ""
        return f"0x{self.value:0{(self.field.bits + 3) // 4}x}"


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
        return next(
            one
            for one in self.fields
            if one.field.first_bit <= bit < one.field.first_bit + one.field.bits
        )

    def value(self, name: str) -> int | None:
        """Return the value of the field called `name`; None if it is not wholly there."""
        return next((one.value for one in self.fields if one.field.name == name), None)


def read_header(octets: bytes, layout: HeaderLayout | str) -> HeaderReading:
    """Read what there is of a header; refuses nothing but what is not octets (`TypeError`).

    A layout may be given by its name; raises `ValueError` if there is none of this name.

    >>> read_header(bytes([0x45]), "IPv4").fields[1].value
    5
    """
    layout = _layout_called(layout) if isinstance(layout, str) else layout
    if not isinstance(octets, bytes | bytearray | memoryview):
        kind = type(octets).__name__
        raise TypeError(f"a header must be given as bytes, such as header.build(), not as {kind}")
    fields = [FieldReading(field, _value(octets, field)) for field in layout.fields]
    words = next((one for one in fields if one.field.name in _LENGTHS), None)
    stated = (words.value or 0) * _WORD_OCTETS if words else 0
    length = max(layout.octets, stated)
    present = min(length, len(octets))
    options = [FieldReading(one, _value(octets, one)) for one in _options(layout, length, present)]
    return HeaderReading(
        layout=layout,
        octets=bytes(octets[:present]),
        fields=(*fields, *options),
        problems=tuple(_problems(len(octets), layout, fields, words)),
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

    >>> bit_in_words(read_header(bytes(20), "IPv4").fields[7], 64)
    'the highest bit of time to live, worth 128'
    """
    place = reading.bits.index(bit)
    below = reading.field.bits - 1 - place
    ends = {0: "the highest bit", reading.field.bits - 1: "the lowest bit"}
    which = ends.get(place, f"number {place + 1} of the {reading.field.bits} bits")
    worth = f", worth {1 << below}" if reading.field.kind == "number" else ""
    return f"{which} of {reading.words}{worth}"


def _layout_called(name: str) -> HeaderLayout:
    known = {layout.name: layout for layout in LAYOUTS}
    if name not in known:
        raise ValueError(f"there is no header called {name!r}; there are {', '.join(known)}")
    return known[name]


def _value(octets: bytes, field: FieldLayout) -> int | None:
    shift = _bits_behind(octets, field)
    return int.from_bytes(octets) >> shift & field.largest if shift >= 0 else None


def _bits_behind(octets: bytes, field: FieldLayout) -> int:
    return len(octets) * 8 - field.first_bit - field.bits


def _options(layout: HeaderLayout, length: int, present: int) -> list[FieldLayout]:
    """Return the options as a field; one row stands for all that are wholly missing."""
    whole_words = max(layout.octets, present + -present % _WORD_OCTETS)
    bits = (min(length, whole_words + _WORD_OCTETS) - layout.octets) * 8
    if bits <= 0:
        return []
    source = layout.fields[-1].source
    return [FieldLayout("options", layout.octets * 8, bits, "code", "", source)]


def _problems(
    present: int, layout: HeaderLayout, fields: list[FieldReading], words: FieldReading | None
) -> list[str]:
    """Say what is wrong; `words` is the length that the header states, if it states one."""
    found = [
        f"{one.words} is {one.text}, must be {one.field.to_text(always)} ({one.field.source})"
        for one in fields
        if (always := one.field.always) is not None and one.value not in (None, always)
    ]
    if present < layout.octets:
        return [*found, str(cut_short(layout, present))]
    if words is None or words.value is None:
        return found
    stated, need = words.value * _WORD_OCTETS, layout.octets // _WORD_OCTETS
    if words.value < need:
        found.append(
            f"{words.words} is {words.text}, must be {need} or more ({words.field.source})"
        )
    if stated > present:
        found.append(f"the header says that it has {stated} octets, {present} are there")
    return found
