"""Draw the octets of a frame as a strip: two hexadecimal digits in each place, gaps between fields.

The Ethernet header and the first 20 octets behind it take one line, so that strips below each
other can be compared column by column. Options take further lines, below the IPv4 header. Of the
data only the number of octets is told. A changed octet is a filled box with bold digits.
"""

__all__ = ["is_ipv4", "octet_ruler", "octet_strip", "strip_height"]

from collections.abc import Iterable, Mapping, Sequence

from course_lib.figures.drawing.letters import fitted, width_of
from course_lib.figures.drawing.svg import element, label
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
    places = _places(_STARTS, x)
    right = _x(_LINK + _FIXED - 1) + _CELL
    return "".join(
        (
            label("Ethernet header", x, y - 16, "quiet", font_size=12),
            label(network, x + _x(_LINK), y - 16, "quiet", font_size=12),
            label("octet", x - 8, y, "quiet", font_size=11, text_anchor="end"),
            label(digits, places, y, "quiet mono", font_size=11, text_anchor="middle"),
            element("path", d=f"M{x:g} {y + 4.5:g}H{x + _x(_LINK - 1) + _CELL:g}", class_="axis"),
            element("path", d=f"M{x + _x(_LINK):g} {y + 4.5:g}H{x + right:g}", class_="axis"),
        )
    )


def octet_strip(octets: Octets, changed: Iterable[int], x: float, y: float) -> str:
    """Draw a frame; `changed` are octets counted from the start of the frame."""
    marked, drawn = frozenset(changed), header_octets(octets)
    digits = dict(enumerate(octets.link)) | dict(enumerate(octets.network[:drawn], _LINK))
    lines = [range(_LINK + _FIXED)]
    lines += [range(_LINK + n, _LINK + n + _FIXED) for n in range(_FIXED, drawn, _FIXED)]
    shapes = [_frames(octets, x, y), _data(octets, marked, x, y)]
    for number, line in enumerate(lines):
        there = [n for n in line if n in digits]
        shapes.append(_line(there, digits, marked, x, y + number * _LINE))
    return "".join(shapes)


def _line(
    there: list[int],
    digits: Mapping[int, int],
    marked: frozenset[int],
    x: float,
    y: float,
) -> str:
    shapes = [_filled(n, x, y) for n in there if n in marked]
    for is_marked, look in ((False, "ink mono"), (True, "on-mark mono strong")):
        octets = [n for n in there if (n in marked) is is_marked]
        if octets:
            text = "".join(f"{digits[n]:02x}" for n in octets)
            places = _places(octets, x)
            shapes.append(label(text, places, y + 14, look, font_size=11, text_anchor="middle"))
    return "".join(shapes)


def _filled(octet: int, x: float, y: float) -> str:
    left = x + _x(octet)
    return element("rect", x=left, y=y + 1, width=_CELL, height=_LINE - 2, rx=3, class_="alert")


def _frames(octets: Octets, x: float, y: float) -> str:
    """Frame the two headers, as far as they are there, and each line of options."""
    drawn = header_octets(octets)
    ends = [(0, len(octets.link), 0.0)]
    ends += [
        (_LINK + n, min(drawn, n + _FIXED) - n, _LINE * (n // _FIXED))
        for n in range(0, drawn, _FIXED)
    ]
    shapes = [
        element("rect", x=x + _x(start) - 2, y=y + down, rx=4, height=_LINE, class_="box",
                width=_x(start + number - 1) + _CELL - _x(start) + 4)
        for start, number, down in ends if number
    ]  # fmt: skip
    if drawn > _FIXED and is_ipv4(octets):
        right = x + _x(_LINK) - 10
        shapes.append(
            label("options", right, y + _LINE + 14, "quiet", font_size=12, text_anchor="end")
        )
    return "".join(shapes)


def _data(octets: Octets, marked: frozenset[int], x: float, y: float) -> str:
    """Tell how much data follows; framed if any of it has changed."""
    drawn = header_octets(octets)
    number, left = len(octets.network) - drawn, x + _x(_LINK + _FIXED - 1) + _CELL + 10
    if not number:
        return ""
    has_changed = any(n >= _LINK + drawn for n in marked)
    words = f"+ {number:,} data"
    look = "ink strong" if has_changed else "quiet"
    width = min(width_of(words, 12, look), _DATA)
    frame = element("rect", x=left - 4, y=y + 1, width=width + 8, height=_LINE - 2, rx=3,
                    class_="changed")  # fmt: skip
    return (frame if has_changed else "") + fitted(
        words, left, y + 14, _DATA, 12, look, text_anchor="start"
    )


def _places(octets: Sequence[int], x: float) -> str:
    """Return the places of two digits for each octet, as the list that SVG's `x` takes."""
    middles = [x + _x(n) + _CELL / 2 for n in octets]
    return " ".join(f"{m - _DIGIT / 2:g} {m + _DIGIT / 2:g}" for m in middles)


def _x(octet: int) -> float:
    """Return where an octet of the frame is drawn, from the left edge of the strip."""
    if octet >= _LINK + _FIXED:
        return _x(_LINK + (octet - _LINK) % _FIXED)
    gaps = sum(1 for start in _STARTS[1:] if start <= octet)
    return octet * _CELL + gaps * _GAP + (_WIDE_GAP - _GAP if octet >= _LINK else 0)
