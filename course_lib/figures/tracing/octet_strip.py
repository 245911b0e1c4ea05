"""Draw a frame as one strip of octets with the names of its fields, folded into three lines.

The first line is the Ethernet header, the second the IPv4 header, the third options and data. Each
octet is two hexadecimal digits; below those of the IPv4 header stands what they mean. An octet that
is another one than on arrival has the old one small above it. A filled box says that the last step
has changed it, an outline that an earlier one has.

Octets are counted from the start of the frame, as in `JourneyStep.changed`.
"""

__all__ = ["STRIP_HEIGHT", "data_of", "header_octets", "is_ipv4", "octet_strip"]

from collections.abc import Iterator
from dataclasses import dataclass

from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, group, label
from course_lib.figures.headers.header_fields import FieldReading, read_header
from course_lib.headers.assigned_numbers import ETHER_TYPE_IPV4
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.headers.layouts import ETHERNET, IPV4
from course_lib.tracing.steps import Octets

_LEFT, _RIGHT, _GAP = 20.0, 840.0, 4.0  # pixels, as all that follows
_SMALL, _OCTET = 12.5, 14.0  # of names and old octets, of octets
_NAME, _BARE, _READ = 17.0, 36.0, 52.0  # the height of a name, of octets, of these with meaning
_ETHERNET_Y, _IPV4_Y, _REST_Y = 0.0, 61.0, 151.0
_LEGEND_Y = _REST_Y + _NAME + _BARE + 18
STRIP_HEIGHT = _LEGEND_Y + 6
_WIDTHS = {1: 49.0, 2: 79.0, 4: 134.0, 6: 166.0}  # of a field, by its octets
_WIDEST = 24.0  # of an octet
_DIGIT = 0.3  # how far the middles of two digits are from that of their octet, by their size
_NONE = Octets(b"", b"")
_DATA, _ROOM_FOR_OPTIONS = 116.0, 640.0
_NAMES = {
    0: ("version,", "length"), 1: ("type of", "service"), 2: ("total", "length"),
    4: ("identification",), 6: ("flags,", "offset"), 8: ("time", "to live"),
    9: ("protocol",),
    10: ("checksum",), 12: ("source",), 16: ("destination",),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Cell:
    """A field, or what else stands in one frame: its octets, where it is drawn, its words."""

    names: tuple[str, ...]
    octets: range  # of the frame
    x: float
    y: float
    width: float
    meaning: str | None = None  # None: there is no line for it

    @property
    def height(self) -> float:
        return _BARE if self.meaning is None else _READ

    def middle(self, octet: int) -> float:
        """Return the middle of an octet."""
        pitch = min(_WIDEST, (self.width - 6) / len(self.octets))
        start = self.x + (self.width - pitch * len(self.octets)) / 2
        return start + (octet - self.octets.start + 0.5) * pitch


def octet_strip(now: Octets, was: Octets | None, before: Octets | None, top: float) -> list[Part]:
    """Return the parts of a strip.

    `was` is the frame as it arrived, and `before` as it was a step ago; both are None if the router
    has made this one.
    """
    cells = [*_ethernet_cells(top + _ETHERNET_Y), *_network_cells(now, top)]
    there, arrived, last = (_numbered(each) for each in (now, was or _NONE, before or _NONE))
    parts = []
    for cell in cells:
        parts.append(_frame(cell, all(octet in there for octet in cell.octets)))
        for octet in cell.octets:
            is_fresh = last.get(octet) != there.get(octet)
            parts += _octet(cell, octet, there.get(octet), arrived.get(octet), is_fresh)
    options = [cell.x + cell.width + _GAP for cell in cells if cell.y == top + _REST_Y]
    parts.append(_data(max([_LEFT, *options]), top + _REST_Y, now, was, before))
    return [*parts, Part("legend", _legend(top + _LEGEND_Y))]


def is_ipv4(octets: Octets) -> bool:
    """Return True if an IPv4 header follows, or the packet is one of the router's own."""
    return not octets.link or octets.link[12:14] == ETHER_TYPE_IPV4.to_bytes(2, "big")


def header_octets(octets: Octets) -> int:
    """Return how many octets behind the Ethernet header are drawn one by one."""
    there = len(octets.network)
    if not there or not is_ipv4(octets):
        return min(there, IPV4.octets)
    stated = (octets.network[0] & 15) * 4  # the header length, in words of 32 bits
    return min(max(IPV4.octets, stated), there)


def data_of(octets: Octets) -> bytes:
    """Return what is not drawn octet by octet."""
    return octets.network[header_octets(octets) :]


def _numbered(octets: Octets) -> dict[int, int]:
    """Return the octets that are drawn one by one, by their place in the frame."""
    network = octets.network[: header_octets(octets)]
    return dict(enumerate(octets.link)) | dict(enumerate(network, ETHERNET_OCTETS))


def _ethernet_cells(y: float) -> Iterator[_Cell]:
    x = _LEFT
    for field in ETHERNET.fields:
        size = field.bits // 8
        name = field.name.replace("ether_type", "type")
        name = name if name == "type" else f"Ethernet {name}"
        width = _WIDTHS[size] if size > 2 else 60.0
        yield _Cell((name,), range(field.octet, field.octet + size), x, y, width)
        x += width + _GAP


def _network_cells(octets: Octets, top: float) -> Iterator[_Cell]:
    """Return the fields of the IPv4 header, or one frame for what follows if that is none."""
    y, start = top + _IPV4_Y, ETHERNET_OCTETS
    if not is_ipv4(octets):
        drawn = range(start, start + max(1, header_octets(octets)))
        yield _Cell(("what follows the Ethernet header",), drawn, _LEFT, y,
                    _RIGHT - _LEFT, "")  # fmt: skip
        return
    x, fields = _LEFT, read_header(octets.network, IPV4).fields
    ends = [*_NAMES, IPV4.octets]
    for place, first in enumerate(_NAMES):
        size = ends[place + 1] - first
        meaning = ", ".join(
            _meaning(one) for one in fields if first <= one.field.octet < first + size
        )
        yield _Cell(_NAMES[first], range(start + first, start + first + size), x, y,
                    _WIDTHS[size], meaning)  # fmt: skip
        x += _WIDTHS[size] + _GAP
    options = range(start + IPV4.octets, start + header_octets(octets))
    if options:
        width = min(_ROOM_FOR_OPTIONS, len(options) * _WIDEST + 6)
        yield _Cell(("options",), options, _LEFT, top + _REST_Y, width)


def _meaning(field: FieldReading) -> str:
    return "" if field.value is None else field.text


def _frame(cell: _Cell, is_there: bool) -> Part:
    lines = cell.names if cell.meaning is not None else cell.names[:1]
    top = cell.y + (30 if cell.meaning is not None else _NAME)
    names = [
        label(line, cell.x + cell.width / 2, top - 5 - 13 * (len(lines) - 1 - place), "quiet",
              _SMALL, "middle", cell.width)
        for place, line in enumerate(lines)
    ]  # fmt: skip
    meaning = label(cell.meaning or "", cell.x + cell.width / 2, top + 46, "ink", _SMALL, "middle",
                    cell.width - 6)  # fmt: skip
    look = "box" if is_there else "gap"
    frame = box(look, cell.x, top, cell.width, cell.height, 4)
    return Part(f"field {cell.octets.start}", "".join([frame, *names, meaning]))


def _octet(
    cell: _Cell, octet: int, now: int | None, was: int | None, fresh: bool
) -> Iterator[Part]:
    """Draw an octet, and above it the one that arrived if that was another one."""
    if now is None:
        return
    x, y = cell.middle(octet), cell.y + (30 if cell.meaning is not None else _NAME)
    half = min(_WIDEST, (cell.width - 6) / len(cell.octets)) / 2
    is_other = was is not None and was != now
    mark = "alert" if fresh and is_other else "changed" if is_other else "hit"
    ink = "on-mark mono strong" if mark == "alert" else "ink mono"
    size = _OCTET if half > 9 else _SMALL
    yield Part(
        f"octet {octet}",
        box(mark, x - half + 0.5, y + 15.5, 2 * half - 1, 18, 3)
        + label(f"{now:02x}", _digits(x, size), y + 29, ink, size, "middle"),
    )
    if is_other:
        old = label(f"{was:02x}", _digits(x, _SMALL), y + 12, "quiet mono", _SMALL, "middle")
        yield Part(f"old {octet}", old)


def _digits(x: float, size: float) -> list[float]:
    return [x - size * _DIGIT, x + size * _DIGIT]


def _data(x: float, y: float, now: Octets, was: Octets | None, before: Octets | None) -> Part:
    """Tell how much data follows; if it was more or less on arrival, that stands above."""
    top, middle = y + _NAME, x + _DATA / 2
    size, words = len(data_of(now)), f"{len(data_of(now)):,} octets"
    is_other = was is not None and data_of(was) != data_of(now)
    is_fresh = before is not None and data_of(before) != data_of(now)
    mark = "hit" if not is_other else "alert" if is_fresh else "changed"
    ink = "on-mark strong" if mark == "alert" else "ink"
    old = f"{len(data_of(was)):,} octets" if was is not None and is_other else ""
    shapes = [
        label("data", middle, top - 5, "quiet", _SMALL, "middle"),
        box("box" if size else "gap", x, top, _DATA, _BARE, 4),
        label(old, middle, top + 12, "quiet", _SMALL, "middle"),
        box(mark, x + 4, top + 15.5, _DATA - 8, 18, 3),
        label(words, middle, top + 29, ink, _SMALL, "middle", _DATA - 12),
    ]
    return Part("data", group("data behind the headers", *shapes))


def _legend(y: float) -> str:
    """Say what the marks mean."""
    shapes = [
        box("alert", _LEFT, y - 11, 20, 14, 3),
        label("changed in this step", _LEFT + 26, y, "quiet", _SMALL),
        box("changed", _LEFT + 181, y - 11, 20, 14, 3),
        label("changed before", _LEFT + 207, y, "quiet", _SMALL),
        label("small above: as it arrived", _LEFT + 320, y, "quiet", _SMALL),
    ]
    return "".join(shapes)
