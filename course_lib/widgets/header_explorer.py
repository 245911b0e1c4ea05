"""Edit a field and see the octets; flip a bit and see the field.

By keyboard: Tab goes from control to control, Space opens the list of fields, arrows change the
numbers, Space presses a button.

The figure is `course_lib.figures.header_diagram`. The state is one value, the octets
as they are now; every control makes new octets from the old ones.
"""

__all__ = ["HeaderExplorer", "explore_header"]

import ipywidgets as widgets

from course_lib.figures.headers.header_diagram import header_diagram
from course_lib.figures.headers.header_fields import (
    HeaderReading,
    bit_in_words,
    read_header,
    with_field,
    with_flipped_bit,
)
from course_lib.widgets.header_remarks import announced_payload, change_in_words, verdict
from course_lib.widgets.live_figure import LiveFigure, looks, slider_beside, status

_NARROW = looks("44px", "230px")


def explore_header(octets: bytes, layout: str = "IPv4") -> "HeaderExplorer":
    """Show the header at the beginning of `octets` with controls to change it.

    `layout` is the name of a header, as for `header_diagram`. If `octets` are an IPv4 header alone,
    `parse` is asked as if the data that it announces followed. Raises `ValueError` if there are no
    octets, or no header of that name.
    """
    return HeaderExplorer(octets, layout)


class HeaderExplorer(LiveFigure):
    """The live figure of a header; `octets` are what its bits are now."""

    def __init__(self, octets: bytes, layout: str) -> None:
        reading = read_header(octets, layout)
        if not reading.octets:
            raise ValueError("there must be at least one octet to explore")
        self.start = self.octets = bytes(octets)
        self._layout = reading.layout
        self._payload = announced_payload(reading)
        self._make_controls(reading)
        super().__init__(
            (self.field, self.value, self.range),
            (self.bit_number, self.bit, self.flip, self.start_again),
            (self.place,),
        )
        self.when_changed(self._field_chosen, self.field)
        self.when_changed(self._value_given, self.value)
        self.when_changed(self._draw, self.bit)
        self._restart()

    def _make_controls(self, reading: HeaderReading) -> None:
        names = [
            (field.words, field.field.name)
            for field in reading.fields
            if field.value is not None and field.field.name != "options"
        ]
        last = len(reading.octets) * 8 - 1
        self.field = widgets.Dropdown(options=names, description="Field", **_NARROW)
        self.value = widgets.BoundedIntText(description="Value", **_NARROW)
        self.range = widgets.HTML()
        self.bit_number = widgets.BoundedIntText(max=last, description="Bit", **_NARROW)
        self.bit = slider_beside(self.bit_number)
        self.place = widgets.HTML()
        self.flip = self.button("Flip this bit", self._flip)
        self.start_again = self.button("Start again", self._restart)

    def _reading(self) -> HeaderReading:
        return read_header(self.octets, self._layout)

    def _restart(self) -> None:
        self.octets = self.start
        self._redraw(
            "Nothing has changed. Give a field another value, or choose a bit and flip it."
        )

    def _field_chosen(self) -> None:
        """Move the slider to the first bit of the field, where its box begins."""
        self.bit.value = self._layout.field(self.field.value).first_bit
        self._follow()

    def _value_given(self) -> None:
        octets = with_field(self.octets, self._layout.field(self.field.value), self.value.value)
        if octets != self.octets:  # else the number has followed the octets
            self._become(octets, "")

    def _flip(self) -> None:
        bit = self.bit.value
        where = _where(self._reading(), bit)
        self._become(with_flipped_bit(self.octets, bit), f"Bit {bit} is {where}. ")

    def _become(self, octets: bytes, beginning: str) -> None:
        before, self.octets = self.octets, octets
        self._redraw(beginning + change_in_words(before, octets, self._layout))

    def _redraw(self, change: str) -> None:
        self._change = change
        self._follow()
        self._draw()

    def _follow(self) -> None:
        """Make the number beside the field show what the octets hold now."""
        name = self.field.value
        now = next((one for one in self._reading().fields if one.field.name == name), None)
        if now is None or now.value is None:  # not one field is wholly there
            self.value.disabled = True
            return
        with self.value.hold_trait_notifications():  # an old value must not count for a new field
            self.value.max, self.value.value = now.field.largest, now.value
        shown = dict.fromkeys((str(now.value), now.hexadecimal, now.text))
        self.range.value = status([f"0 to {now.field.largest}, now {' = '.join(shown)}"])

    def _draw(self) -> None:
        reading, bit = self._reading(), self.bit.value
        figure = header_diagram(
            self.octets,
            self._layout.name,
            changed_bits=_different_bits(self.start, self.octets, reading.bits),
            chosen_bit=bit if bit < reading.bits else None,
        )
        self.place.value = status([f"Bit {bit}: {_where(reading, bit)}."])
        data = b"" if reading.problems else self._payload
        self.draw([self._change, *verdict(reading, self.octets + data)], figure)


def _where(reading: HeaderReading, bit: int) -> str:
    return bit_in_words(reading.at(bit), bit) if bit < reading.bits else "behind the header now"


def _different_bits(one: bytes, other: bytes, among: int) -> list[int]:
    """Return which of the first `among` bits differ; both have the same number of octets."""
    flipped, last = int.from_bytes(one) ^ int.from_bytes(other), len(one) * 8 - 1
    return [bit for bit in range(min(among, last + 1)) if flipped >> (last - bit) & 1]
