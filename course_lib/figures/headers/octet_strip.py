"""Draw the octets of a frame as a strip: two hexadecimal digits in each place, gaps between fields.

The Ethernet header and the first 20 octets behind it take one line, so that strips below each
other can be compared column by column. Options take further lines, below the IPv4 header. Of the
data only the number of octets is told. A changed octet is a filled box with bold digits.
"""

__all__ = ["is_ipv4", "octet_ruler", "octet_strip", "strip_height"]

from collections.abc import Iterable, Mapping, Sequence

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.svg import box, label, path
from course_lib.headers.assigned_numbers import ETHER_TYPE_IPV4
from course_lib.headers.layouts import ETHERNET, IPV4
from course_lib.tracing.steps import Octets

_CELL, _LINE = 16.0, 20.0  # the width of an octet and the height of a line, in pixels
_DIGIT = 6.6  # how far the middles of its two digits are apart
_GAP, _WIDE_GAP = 2.0, 12.0  # between fields, and between the two headers
_LINK, _FIXED = 14, 20  # octets of an Ethernet header, and of an IPv4 header without options
_LONGEST = 60  # octets of the longest IPv4 header
_STARTS = sorted(
    {field.octet for field in ETHERNET.fields} | {_LINK + field.octet for field in IPV4.fields}
)
_DATA = 68.0  # room for the words on the data


def is_ipv4(octets: Octets) -> bool:
    """Return True if an IPv4 header follows, or the packet is one of the router's own."""
    return not octets.link or octets.link[12:14] == ETHER_TYPE_IPV4.to_bytes(2, "big")


def header_octets(octets: Octets) -> int:
    """Return how many octets behind the Ethernet header are drawn one by one."""
    if not is_ipv4(octets) or not octets.network:
        return min(len(octets.network), _LONGEST)
    return min(max(_FIXED, (octets.network[0] & 15) * 4), len(octets.network))


def strip_height(octets: Octets) -> float:
    """Return how high a strip is, in pixels."""
    return _LINE * max(1, -(-header_octets(octets) // _FIXED))


def octet_ruler(x: float, y: float, network: str) -> str:
    """Name the two headers, and number the octets with which fields begin, from 0."""
    digits = "".join(f"{start:02}" for start in _STARTS)
    second, line = x + _x(_LINK), y + 4.5
    ends = [x + _x(last) + _CELL for last in (_LINK - 1, _LINK + _FIXED - 1)]
    return "".join(
        (
            label("Ethernet header", x, y - 16, "quiet"),
            label(network, second, y - 16, "quiet"),
            label("octet", x - 8, y, "quiet", 11, "end"),
            label(digits, _places(_STARTS, x), y, "quiet mono", 11, "middle"),
            path("axis", f"M{x:g} {line:g}H{ends[0]:g}M{second:g} {line:g}H{ends[1]:g}"),
        )
    )


def octet_strip(octets: Octets, changed: Iterable[int], x: float, y: float) -> str:
    """Draw a frame; `changed` are octets counted from the start of the frame."""
    marked, drawn = frozenset(changed), header_octets(octets)
    digits = dict(enumerate(octets.link)) | dict(enumerate(octets.network[:drawn], _LINK))
    shapes = [_data(octets, marked, x, y)]
    for start in range(0, max(drawn, 1), _FIXED):
        link = range(0 if start else len(octets.link))
        network = range(_LINK + start, _LINK + min(drawn, start + _FIXED))
        shapes.append(_line(digits, (link, network), marked, x, y + _LINE * (start // _FIXED)))
    if drawn > _FIXED and is_ipv4(octets):
        shapes.append(label("options", x + _x(_LINK) - 10, y + _LINE + 14, "quiet", anchor="end"))
    return "".join(shapes)


def _line(
    digits: Mapping[int, int], runs: Iterable[range], marked: frozenset[int], x: float, y: float
) -> str:
    """Draw runs of octets, each in a frame, and what has changed in boxes of its own."""
    frames = [(_x(run[0]) - 2, _x(run[-1]) + _CELL + 2) for run in runs if run]
    there = [n for run in runs for n in run]
    shapes = [box("box", x + left, y, right - left, _LINE, 4) for left, right in frames]
    shapes += [box("alert", x + _x(n), y + 1, _CELL, _LINE - 2, 3) for n in there if n in marked]
    for is_marked, look in ((False, "ink mono"), (True, "on-mark mono strong")):
        octets = [n for n in there if (n in marked) is is_marked]
        text = "".join(f"{digits[n]:02x}" for n in octets)
        shapes.append(label(text, _places(octets, x), y + 14, look, 11, "middle"))
    return "".join(shapes)


def _data(octets: Octets, marked: frozenset[int], x: float, y: float) -> str:
    """Tell how much data follows; framed if any of it has changed."""
    drawn = header_octets(octets)
    number, left = len(octets.network) - drawn, x + _x(_LINK + _FIXED - 1) + _CELL + 10
    if not number:
        return ""
    has_changed = any(n >= _LINK + drawn for n in marked)
    words, look = f"+ {number:,} data", "ink strong" if has_changed else "quiet"
    width = min(width_of(words, 12, look), _DATA)
    frame = box("changed", left - 4, y + 1, width + 8, _LINE - 2, 3)
    return (frame if has_changed else "") + label(words, left, y + 14, look, 12, "start", _DATA)


def _places(octets: Sequence[int], x: float) -> list[float]:
    """Return the places of two digits for each octet."""
    middles = [x + _x(n) + _CELL / 2 for n in octets]
    return [middle + side for middle in middles for side in (-_DIGIT / 2, _DIGIT / 2)]


def _x(octet: int) -> float:
    """Return where an octet of the frame is drawn, from the left edge of the strip."""
    if octet >= _LINK + _FIXED:
        return _x(_LINK + (octet - _LINK) % _FIXED)
    gaps = sum(1 for start in _STARTS[1:] if start <= octet)
    return octet * _CELL + gaps * _GAP + (_WIDE_GAP - _GAP if octet >= _LINK else 0)
