"""Flip any bit of a header and see the field; give a field a value and see the bits.

By keyboard: Tab goes to the bits, arrows lead from one to the next, Space flips; Tab goes on to the
list of fields, to the value and to the buttons.

The figure is `course_lib.figures.header_diagram`. The state is two values, the octets as they are
now and the field whose value can be typed.
"""

__all__ = ["HeaderExplorer", "explore_header"]

from course_lib.checksum import checksum
from course_lib.figures.headers.header_diagram import header_scene
from course_lib.figures.headers.header_fields import (
    FieldReading,
    HeaderReading,
    bit_in_words,
    read_header,
    with_field,
    with_flipped_bit,
)
from course_lib.widgets.as_written import whole_number
from course_lib.widgets.header_remarks import announced_payload, change_in_words, verdict
from course_lib.widgets.touch_figure import (
    Action,
    Button,
    Choice,
    Control,
    Picture,
    TouchFigure,
    Written,
)

_HOW = "Press any bit to flip it, or choose a field and type a value: 47, 0x2f or 192.0.2.1."


def explore_header(octets: bytes, layout: str = "IPv4") -> "HeaderExplorer":
    """Show the header at the beginning of `octets`, every bit of which can be flipped.

    `layout` is the name of a header, as for `header_diagram`. If `octets` are an IPv4 header alone,
    `parse` is asked as if the data that it announces followed. Raises `ValueError` if there are no
    octets, or no header of that name.
    """
    return HeaderExplorer(octets, layout)


class HeaderExplorer(TouchFigure):
    """The live figure of a header; `octets` are what its bits are now."""

    def __init__(self, octets: bytes, layout: str) -> None:
        reading = read_header(octets, layout)
        if not reading.octets:
            raise ValueError("there must be at least one octet to explore")
        self.start = self.octets = bytes(octets)
        self._layout = reading.layout
        self._payload = announced_payload(reading)
        whole = [one.words for one in _fields(reading)]
        self.field = whole[0] if whole else ""
        actions: dict[str, Action] = {
            "flip": self._flipped,
            "field": self._chosen,
            "value": self._given,
            "checksum": self._mended,
            "again": self._restarted,
        }
        super().__init__(self._draw(_HOW), actions)

    def _reading(self) -> HeaderReading:
        return read_header(self.octets, self._layout)

    def _restarted(self, _: None) -> Picture:
        self.octets = self.start
        return self._draw(_HOW)

    def _chosen(self, field: str) -> Picture:
        self.field = field
        return self._draw(f"Type a value for {field}.")

    def _given(self, text: str) -> Picture:
        field = self._layout.field(self.field.replace(" ", "_"))
        number = whole_number(text, 0, field.largest)
        return self._become(with_field(self.octets, field, number), "")

    def _flipped(self, bit: int) -> Picture:
        reading = self._reading().at(bit)
        if reading.value is not None and reading.field.name != "options":
            self.field = reading.words
        where = f"Bit {bit} is {bit_in_words(reading, bit)}. "
        return self._become(with_flipped_bit(self.octets, bit), where)

    def _mended(self, _: None) -> Picture:
        """Put the checksum into an IPv4 header that its other fields ask for (RFC 791)."""
        field, length = self._layout.field("checksum"), len(self._reading().octets)
        cleared = with_field(self.octets, field, 0)
        return self._become(with_field(cleared, field, checksum(cleared[:length])), "")

    def _become(self, octets: bytes, beginning: str) -> Picture:
        before, self.octets = self.octets, octets
        return self._draw(beginning + change_in_words(before, octets, self._layout))

    def _draw(self, change: str) -> Picture:
        reading = self._reading()
        scene = header_scene(
            self.octets,
            self._layout.name,
            changed_bits=_different_bits(self.start, self.octets, reading.bits),
        )
        data = b"" if reading.problems else self._payload
        words = (change, *verdict(reading, self.octets + data))
        return Picture((scene,), words, tuple(self._controls(reading)))

    def _controls(self, reading: HeaderReading) -> list[Control]:
        known = {one.words: one for one in _fields(reading)}
        controls: list[Control] = []
        if self.field in known:
            now, most = known[self.field].text, known[self.field].field.largest
            controls = [
                Choice("field", "Field", tuple(known), self.field),
                Written("value", f"Value, 0 to {most}", now, max(6, len(now) + 2)),
            ]
        if self._layout.name == "IPv4" and "checksum" in known:
            controls.append(Button("checksum", "Mend the checksum"))
        return [*controls, Button("again", "Start again")]


def _fields(reading: HeaderReading) -> list[FieldReading]:
    """Return the fields that are wholly there and hold one number."""
    return [one for one in reading.fields if one.value is not None and one.field.name != "options"]


def _different_bits(one: bytes, other: bytes, among: int) -> list[int]:
    """Return which of the first `among` bits differ; both have the same number of octets."""
    flipped, last = int.from_bytes(one) ^ int.from_bytes(other), len(one) * 8 - 1
    return [bit for bit in range(min(among, last + 1)) if flipped >> (last - bit) & 1]
