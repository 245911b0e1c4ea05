"""Flip any bit of a header and see the field; give a field a value and see the bits.

By keyboard: Tab goes to the fences, which arrows move, and to the bits, where arrows lead from one
to the next and Space flips; before them come the list of fields, the value and the buttons.

An IPv4 packet is drawn with the strip of all its octets and with its sum
(`course_lib.figures.headers.packet_scene`), any other header alone (`header_diagram`). The state
is three values: the octets as they are now, the field whose value can be typed, and the reader's
guess.
"""

__all__ = ["HeaderExplorer", "explore_header"]

from collections.abc import Sequence

from course_lib.checksum import checksum
from course_lib.figures.drawing.scene import Scene
from course_lib.figures.headers.frame_strip import frame_of
from course_lib.figures.headers.header_diagram import header_scene
from course_lib.figures.headers.header_fields import (
    FieldReading,
    HeaderReading,
    bit_in_words,
    read_header,
    with_field,
    with_flipped_bit,
)
from course_lib.figures.headers.packet_scene import packet_scene
from course_lib.widgets.headers.header_remarks import announced_payload, change_in_words, verdict
from course_lib.widgets.touch.as_written import whole_number
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import (
    Action,
    Button,
    Choice,
    Control,
    Picture,
    TouchFigure,
    Written,
)

_HOW = "Press any bit to flip it, or choose a field and type a value: 47, 0x2f or 192.0.2.1."
_ASKED = (
    "Where does the packet end? Drag the flag to the first octet behind it, or type its number."
)

_LONGEST = 65535  # octets, that a total length can say


def explore_header(
    octets: bytes, layout: str = "IPv4", *, ask_end: bool = False, guess: int | None = None
) -> "HeaderExplorer":
    """Show the header at the beginning of `octets`, every bit of which can be flipped.

    `layout` is the name of a header, as for `header_diagram`. If `octets` are an IPv4 header alone,
    `parse` is asked as if the data that it announces followed.

    With `ask_end` the figure of an IPv4 packet first asks at which octet the packet ends; `guess`
    is one that was given already. Raises `ValueError` if there are no octets, no header of that
    name, nothing that could be asked, or a guess that is no number of an octet.
    """
    return HeaderExplorer(octets, layout, ask_end=ask_end, guess=guess)


class HeaderExplorer(TouchFigure):
    """The live figure of a header; `octets` are what its bits are now."""

    def __init__(self, octets: bytes, layout: str, *, ask_end: bool, guess: int | None) -> None:
        reading = read_header(octets, layout)
        if not reading.octets:
            raise ValueError("there must be at least one octet to explore")
        self.start = self.octets = bytes(octets)
        self._layout = reading.layout
        self._payload = announced_payload(reading)
        self._scale = max(len(octets), reading.value("total_length") or 0)
        if ask_end and frame_of(reading, self._scale) is None:
            raise ValueError("only an IPv4 header with a total length says where its packet ends")
        self.guess = OwnGuess.of(_ASKED, _octet(guess)) if ask_end else None
        whole = [one.words for one in _fields(reading)]
        self.field = whole[0] if whole else ""
        actions: dict[str, Action] = {
            "flip": self._flipped,
            "field": self._chosen,
            "value": self._given,
            "header length": self._header_fence,
            "total length": self._packet_fence,
            "checksum": self._mended,
            "again": self._restarted,
            "guess": self._guessed,
            "answer": self._answered,
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

    def _header_fence(self, words: int) -> Picture:
        return self._dragged("header_length", words)

    def _packet_fence(self, octets: int) -> Picture:
        return self._dragged("total_length", octets)

    def _dragged(self, name: str, value: int) -> Picture:
        field = self._layout.field(name)
        self.field = name.replace("_", " ")
        return self._become(with_field(self.octets, field, value), "", moves=False)

    def _guessed(self, given: str | int) -> Picture:
        """Take a guess that was typed, or the place to which the flag was dragged."""
        self.guess = (self.guess or OwnGuess(_ASKED)).given_as(str(_octet(given)))
        return self._draw("", moves=isinstance(given, str))

    def _answered(self, _: None) -> Picture:
        if self.guess is not None:
            self.guess = self.guess.answered()
        return self._draw(_HOW)

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

    def _become(self, octets: bytes, beginning: str, *, moves: bool = True) -> Picture:
        before, self.octets = self.octets, octets
        change = beginning + change_in_words(before, octets, self._layout)
        return self._draw(change, moves=moves)

    def _draw(self, change: str, *, moves: bool = True) -> Picture:
        reading = self._reading()
        return Picture(
            (self._scene(reading),),
            tuple(self._words(change, reading)),
            tuple(self._controls(reading)),
            moves,
        )

    def _scene(self, reading: HeaderReading) -> Scene:
        changed = _different_bits(self.start, self.octets, reading.bits)
        given = self.guess.given if self.guess is not None else None
        guess = None if given is None else int(given)
        frame = frame_of(reading, self._scale, asked=self._is_asking, guess=guess)
        if frame is None:
            return header_scene(self.octets, self._layout.name, changed_bits=changed)
        return packet_scene(reading, frame, changed)

    @property
    def _is_asking(self) -> bool:
        return self.guess is not None and self.guess.is_open

    def _words(self, change: str, reading: HeaderReading) -> Sequence[str]:
        if self.guess is not None and self._is_asking:
            return (self.guess.words(),)
        data = b"" if reading.problems else self._payload
        said = verdict(reading, self.octets + data)
        if self.guess is not None and change == _HOW:
            change = self.guess.words(str(reading.value("total_length")))
        return (change, " ".join(said))

    def _controls(self, reading: HeaderReading) -> list[Control]:
        if self.guess is not None and self._is_asking:
            return list(self.guess.controls())
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


def _octet(guess: object) -> int | None:
    return None if guess is None else whole_number(str(guess), 0, _LONGEST)


def _fields(reading: HeaderReading) -> list[FieldReading]:
    """Return the fields that are wholly there and hold one number."""
    return [one for one in reading.fields if one.value is not None and one.field.name != "options"]


def _different_bits(one: bytes, other: bytes, among: int) -> list[int]:
    """Return which of the first `among` bits differ; both have the same number of octets."""
    flipped, last = int.from_bytes(one) ^ int.from_bytes(other), len(one) * 8 - 1
    return [bit for bit in range(min(among, last + 1)) if flipped >> (last - bit) & 1]
