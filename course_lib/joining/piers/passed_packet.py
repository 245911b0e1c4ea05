"""What one's own router did with a packet that is followed: its verdict, as the room is told it.

A router forwards a packet, delivers it, or discards it (RFC 1812, chapter 5). It may also hold it
for a while: until the next hop has told its hardware address (RFC 1122, section 2.3.2.2), or for a
reason that nobody sees from outside.
"""

__all__ = ["ends_octets", "is_between", "passed"]

from collections.abc import Mapping

from course_lib.headers.assigned_numbers import (
    ETHER_TYPE_ARP,
    ETHER_TYPE_IPV4,
    PROTOCOL_ICMP,
)
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.joining.messages import DELIVERED, DISCARDED, FORWARDED, HELD, Passed
from course_lib.prefixes.text import format_address, parse_address
from course_lib.tracing.steps import Journey

BACK = "back by the line that it came by"
_TYPE = slice(ETHERNET_OCTETS - 2, ETHERNET_OCTETS)
_IPV4, _ARP = (each.to_bytes(2, "big") for each in (ETHER_TYPE_IPV4, ETHER_TYPE_ARP))
# RFC 791, section 3.1: places in the header, from the start of the frame.
_NUMBER = slice(ETHERNET_OCTETS + 4, ETHERNET_OCTETS + 6)  # "identification"
_LIFE, _PROTOCOL = ETHERNET_OCTETS + 8, ETHERNET_OCTETS + 9
_SOURCE = slice(ETHERNET_OCTETS + 12, ETHERNET_OCTETS + 16)
_DESTINATION = slice(ETHERNET_OCTETS + 16, ETHERNET_OCTETS + 20)
_ENDS = slice(ETHERNET_OCTETS + 12, ETHERNET_OCTETS + 20)
_WANTED = slice(ETHERNET_OCTETS + 24, ETHERNET_OCTETS + 28)  # RFC 826: whose hardware address
_ECHO_NUMBER = slice(6, 8)  # RFC 792: of an echo request, in its ICMP header
_DROPPED, _REFUSED = "dropped: ", "refused: "  # how counters, and ends of journeys, begin


def ends_octets(source: str, destination: str) -> bytes:
    """Return the two addresses as they stand in a header."""
    return b"".join(parse_address(each).to_bytes(4, "big") for each in (source, destination))


def is_between(frame: bytes, ends: bytes) -> bool:
    """Tell whether a frame holds a packet from one address to the other."""
    return frame[_TYPE] == _IPV4 and frame[_ENDS] == ends


def passed(story: int, journey: Journey, neighbours: Mapping[str, str]) -> Passed:
    """Return what the room is told of a packet's journey through our router.

    neighbours: whose pier is at the other end, by interface; the host is at all others.
    """
    came = b"".join(journey.arrived)
    sent = [each for each in journey.sent if isinstance(each.frame, bytes)]  # whoever wrote it
    gone = [each for each in sent if _is_the_same(came, each.frame)]
    if not gone:
        outcome, why = _kept(came, journey, [each.frame for each in sent])
        return Passed(story, _number(came), outcome, "", why, came[_LIFE], None, came.hex())
    line, frame = gone[0]
    neighbour, is_back = neighbours.get(line, ""), line == journey.arrived_on
    outcome = FORWARDED if neighbour or is_back else DELIVERED
    return Passed(
        story, _number(came), outcome, neighbour, BACK if is_back else "", came[_LIFE],
        frame[_LIFE], frame.hex(),
    )  # fmt: skip


def _is_the_same(came: bytes, frame: bytes) -> bool:
    return is_between(frame, came[_ENDS]) and frame[_NUMBER] == came[_NUMBER]


def _kept(came: bytes, journey: Journey, frames: list[bytes]) -> tuple[str, str]:
    """Return outcome and reason of a packet that was not sent on, as far as they are known."""
    reasons = [name.removeprefix(_DROPPED) for name in journey.counted if name.startswith(_DROPPED)]
    if journey.end.kind == "dropped" and not reasons:
        reasons = [journey.end.words]
    if journey.end.words.startswith(_REFUSED) and not reasons:
        reasons = [journey.end.words.removeprefix(_REFUSED)]
    if reasons:
        errors = [one for one in frames if one[_DESTINATION] == came[_SOURCE]
                  and one[_TYPE] == _IPV4 and one[_PROTOCOL] == PROTOCOL_ICMP]  # fmt: skip
        return DISCARDED, reasons[0] + ("; its sender is told" if errors else "")
    asked = [int.from_bytes(frame[_WANTED], "big") for frame in frames if frame[_TYPE] == _ARP]
    return HELD, f"it asks who has {format_address(asked[0])}" if asked else ""


def _number(frame: bytes) -> int:
    """Return which of the echo requests this is; 0 for any other packet."""
    content = frame[ETHERNET_OCTETS + 4 * (frame[ETHERNET_OCTETS] & 0x0F) :]
    is_echo = frame[_PROTOCOL] == PROTOCOL_ICMP
    return int.from_bytes(content[_ECHO_NUMBER], "big") if is_echo else 0
