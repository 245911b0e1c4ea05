"""Draw all octets that came with a packet as a strip: header, data, and padding behind them.

Two fences stand in it: the header ends at its header length times 4, the packet at its total
length. They are drawn where the fields say, whether that can be or not, and can be dragged. As
long as the reader is asked where the packet ends, there is a flag in their place.
"""

__all__ = ["Frame", "frame_of", "frame_parts", "frame_slides"]

from collections.abc import Iterator
from dataclasses import dataclass

from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.room import Room
from course_lib.figures.drawing.scene import Part, Slide
from course_lib.figures.drawing.svg import box, element, group, hatching, label, path
from course_lib.figures.headers.header_fields import HeaderReading
from course_lib.figures.headers.header_grid import LEFT, RIGHT, SMALL
from course_lib.figures.headers.header_words import counted

_STRIP, _ABOVE, _BELOW = 20.0, 17.0, 15.0  # pixels: the strip, words above and below it
_LOW, _HIGH = 10.0, 27.0  # what a flag needs above all that, without and with words of fences
_KNOB = 9.0  # the width of the knob of a fence
_LONGEST = 15  # header length, in words of 4 octets
_LEAST_SCALE = 60  # octets; the longest header always finds room
_EVERY = 4  # octets from tick to tick


@dataclass(frozen=True, slots=True)
class Frame:
    """What came, in octets, and where header and packet end by their own word.

    The strip shows `scale` octets. `asked` says that the reader is asked where the packet ends;
    `guess` is what was guessed.
    """

    there: int
    header: int
    packet: int
    scale: int
    asked: bool = False
    guess: int | None = None

    @property
    def height(self) -> float:
        """How much room the strip takes with its words, in pixels."""
        return _above(self) + _STRIP + _BELOW

    def pieces(self) -> list[tuple[str, int, int]]:
        """Return what lies where: name, first octet, and the first one behind it."""
        header = min(self.header, self.there)
        data = min(max(self.packet, header), self.there)
        absent = max(self.packet, self.header)
        found = [
            ("header", 0, header),
            ("data", header, data),
            ("padding", data, self.there),
            ("not here", self.there, absent),
        ]
        return [piece for piece in found if piece[1] < piece[2]]

    def words(self) -> str:
        """Say the same as the picture; as long as it is asked, not where the packet ends."""
        mine = "" if self.guess is None else f" Your guess: it ends at octet {self.guess}."
        came = f"{counted(self.there, 'octet')} came"
        if self.asked:
            marks = ", ".join(map(str, _marks(self)))
            return f"{came}. Where does the packet end? Marked on the strip: octets {marks}.{mine}"
        pieces = ", ".join(f"{name} {stop - start}" for name, start, stop in self.pieces())
        return (
            f"{came}: {pieces}. The header ends at {self.header // 4} times 4, octet {self.header};"
            f" the total length is {self.packet}.{mine}"
        )


def frame_of(
    reading: HeaderReading, scale: int, *, asked: bool = False, guess: int | None = None
) -> Frame | None:
    """Return the frame that an IPv4 header begins; None if its lengths are not there."""
    words, packet = reading.value("header_length"), reading.value("total_length")
    if reading.layout.name != "IPv4" or words is None or packet is None:
        return None
    there = len(reading.octets) + reading.behind
    return Frame(there, words * 4, packet, max(_LEAST_SCALE, scale), asked, guess)


def frame_parts(frame: Frame, top: float) -> list[Part]:
    """Return strip, fences and words, below `top`; with a guess its flag stands above them."""
    flag = _flag(frame)
    y = top + _above(frame)
    parts = [Part("came", _came(frame, y))]
    flown = flags(y, (4, RIGHT + 130), guess=flag, up=_above(frame) - 1)
    if frame.asked:
        return [*parts, Part("marks", _ruler(frame, y)), *flown]
    room = Room(4, RIGHT + 130)
    pieces = frame.pieces()
    parts += [Part(name, _piece(frame, name, start, stop, y)) for name, start, stop in pieces]
    names = Part("pieces", "".join(_names(frame, y, room)))
    return [*parts, names, *flown, *_fences(frame, y)]  # the pole stands behind the words


def frame_slides(frame: Frame) -> tuple[Slide, ...]:
    """Return the flag as what is dragged while it is asked, afterwards the fences."""
    end = _x(frame, frame.scale)
    if frame.asked:
        now = min(frame.guess or 0, frame.scale)
        spoken = f"octet {frame.guess}" if frame.guess is not None else "no guess yet"
        name = "Your guess: the first octet behind the packet"
        return (Slide("guess", name, "guess", LEFT, end, 0, frame.scale, now, spoken),)
    words = frame.header // 4
    header = Slide(
        "fence header", "Header length", "header length", LEFT, _x(frame, _LONGEST * 4), 0,
        _LONGEST, words, f"{words} words of 4 octets, {frame.header} octets",
    )  # fmt: skip
    packet = Slide(
        "fence packet", "Total length", "total length", LEFT, end, 0, frame.scale,
        min(frame.packet, frame.scale), counted(frame.packet, "octet"),
    )  # fmt: skip
    return (header, packet)


def _above(frame: Frame) -> float:
    flag = 0.0 if _flag(frame) is None else _LOW if frame.asked else _HIGH
    return flag + _ABOVE


def _x(frame: Frame, octet: float) -> float:
    return LEFT + min(octet / frame.scale, 1.0) * (RIGHT - LEFT)


def _flag(frame: Frame) -> tuple[float, str] | None:
    if frame.guess is None:
        return (LEFT, "your guess: drag me") if frame.asked else None
    return (_x(frame, frame.guess), f"your guess: {frame.guess}")


def _came(frame: Frame, y: float) -> str:
    """Draw the outline of what came, and how much it is."""
    return (
        label("octets", LEFT - 8, y + 14, "quiet", SMALL, "end")
        + box("box", LEFT, y, max(1.0, _x(frame, frame.there) - LEFT), _STRIP)
        + path("axis", f"M{LEFT:g} {y + _STRIP:g}H{RIGHT:g}")
    )


def _marks(frame: Frame) -> list[int]:
    """Return the octets whose numbers stand under the strip."""
    step = next(n for n in (8, 16, 64, 256, 1024, 8192) if frame.scale / n <= 12)
    return list(range(0, frame.scale + 1, step))


def _ruler(frame: Frame, y: float) -> str:
    marks = _marks(frame)
    ticks = "".join(f"M{_x(frame, mark):g} {y + _STRIP - 5:g}v8" for mark in marks)
    numbers = [
        label(str(mark), _x(frame, mark), y + _STRIP + 15, "quiet", SMALL, "middle")
        for mark in marks
    ]
    return path("axis", ticks) + "".join(numbers)


def _piece(frame: Frame, name: str, start: int, stop: int, y: float) -> str:
    """Draw a piece with its texture: words of the header, solid data, slanted padding."""
    left, right = _x(frame, start), _x(frame, stop)
    width = max(0.5, right - left)
    texture = {
        "header": path("axis", _words_of_four(frame, start, stop, y)),
        "data": box("data", left, y, width, _STRIP),
        "padding": path("axis", hatching(left, y, width, _STRIP, 6)),
    }.get(name, "")
    outline = box("gap" if name == "not here" else "axis", left, y, width, _STRIP)
    return group(f"{name}: {counted(stop - start, 'octet')}", texture, outline)


def _words_of_four(frame: Frame, start: int, stop: int, y: float) -> str:
    places = range(start + _EVERY, stop, _EVERY)
    return "".join(f"M{_x(frame, octet):g} {y:g}v{_STRIP:g}" for octet in places) or "M0 0"


def _names(frame: Frame, y: float, room: Room) -> Iterator[str]:
    """Write what each piece is, under its middle or as near to it as there is room."""
    line = y + _STRIP + 13
    for name, start, stop in frame.pieces():
        words = f"{name} {stop - start}"
        half = width_of(words, SMALL) / 2
        left, right = _x(frame, start), _x(frame, stop)
        middle = max(4 + half, min(RIGHT + 130 - half, (left + right) / 2))
        places = [(middle, line, "middle"), (right, line, "end"), (left, line, "start"),
                  (right + 2 * half, line, "end"), (left - 2 * half, line, "start")]  # fmt: skip
        place = room.place(words, places, SMALL)
        if place:
            yield label(words, place[0], place[1], "ink", SMALL, place[2])


def _fences(frame: Frame, y: float) -> list[Part]:
    """Draw both fences, their words on the sides that look away from each other."""
    header, packet = _x(frame, frame.header), _x(frame, frame.packet)
    ahead = packet >= header  # as it should be
    words = f"total length {frame.packet}"
    if frame.packet > frame.scale:
        words = f"total {frame.packet} →"
    if not ahead and width_of(words, SMALL, "strong") > packet - 10:
        words = f"total {frame.packet}"
    return [
        _fence("header", header, y, f"{frame.header // 4} × 4 = {frame.header}", not ahead),
        _fence("packet", packet, y, words, ahead),
    ]


def _fence(name: str, x: float, y: float, words: str, to_the_right: bool) -> Part:
    """Draw a fence with a knob; the two knobs lie on the two sides, so both can be reached."""
    side = 1 if name == "packet" else -1
    turn = 1 if to_the_right else -1
    shapes = (
        box("hit", min(x, x + side * 16), y - 6, 16, _STRIP + 12),
        path("chosen", f"M{x:g} {y - _ABOVE + 2:g}V{y + _STRIP + 3:g}"),
        box("calm", min(x, x + side * _KNOB), y - 2, _KNOB, _STRIP + 4, 3),
        element("circle", cx=x + side * _KNOB / 2, cy=y + _STRIP / 2, r=2, class_="paper"),
        label(
            words, x + turn * 5, y - 6, "ink strong haloed", SMALL, "start" if turn > 0 else "end"
        ),
    )
    return Part(f"fence {name}", group(words, *shapes))
