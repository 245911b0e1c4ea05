"""ICMP errors: which ones there are, when none may be sent, how many, and what they quote.

A router that discards a packet tells its sender, so that people and programs find out. But an
answer to the wrong packet does harm: two routers that report each other's reports never end, and
an error about a broadcast comes from every host of a link at once. Hence `why_not_told`, which
RFC 1812, section 4.3.2.7, puts above all other rules, and hence `ErrorLimit` (section 4.3.2.8).

An error quotes the packet that caused it: the header, and as much behind it as fits into 576
octets in all (section 4.3.2.3). So inside an error stands a datagram whose total length is larger
than what is there. `IPv4Header.parse` refuses that, and rightly so for a packet from a link. Here
`read_quote` adds zeros up to the stated length before it parses, and takes them off again.
"""

__all__ = [
    "ERRORS",
    "ErrorLimit",
    "Quote",
    "error_message",
    "is_error",
    "read_quote",
    "why_not_told",
]

import math
from typing import NamedTuple

from course_lib.headers.assigned_numbers import (
    ICMP_DESTINATION_UNREACHABLE,
    ICMP_PARAMETER_PROBLEM,
    ICMP_REDIRECT,
    ICMP_TIME_EXCEEDED,
    PROTOCOL_ICMP,
)
from course_lib.headers.errors import Reason
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.packets import Packet
from course_lib.prefixes.special import LIMITED_BROADCAST, is_invalid_source, is_multicast

# Type and code: RFC 792; RFC 1812, sections 5.2.7.1 and 5.3.9 (13: administratively prohibited).
ERRORS = {
    Reason.NO_ROUTE: (ICMP_DESTINATION_UNREACHABLE, 0),
    Reason.HOST_UNREACHABLE: (ICMP_DESTINATION_UNREACHABLE, 1),
    Reason.NO_SUCH_PROTOCOL: (ICMP_DESTINATION_UNREACHABLE, 2),
    Reason.NO_SUCH_PORT: (ICMP_DESTINATION_UNREACHABLE, 3),
    Reason.FRAGMENTATION_NEEDED: (ICMP_DESTINATION_UNREACHABLE, 4),
    Reason.FILTERED: (ICMP_DESTINATION_UNREACHABLE, 13),
    Reason.TIME_EXCEEDED: (ICMP_TIME_EXCEEDED, 0),
    Reason.REASSEMBLY_TIME_EXCEEDED: (ICMP_TIME_EXCEEDED, 1),
    Reason.WRONG_TOTAL_LENGTH: (ICMP_PARAMETER_PROBLEM, 0),
    Reason.WRONG_OPTION: (ICMP_PARAMETER_PROBLEM, 0),
}

_SOURCE_QUENCH = 4  # deprecated by RFC 6633, and still an error if one should come in
# RFC 1122, section 3.2.2
_ERROR_TYPES = {_SOURCE_QUENCH, ICMP_REDIRECT, *(kind for kind, _ in ERRORS.values())}
_LARGEST_ERROR = 576  # octets, with the IPv4 header: RFC 1812, section 4.3.2.3
_IPV4_OCTETS, _ICMP_OCTETS = 20, 8


class Quote(NamedTuple):
    """The packet inside an ICMP error: its header, and the octets behind it that were quoted."""

    header: IPv4Header
    payload: bytes


def read_quote(data: bytes) -> Quote:
    """Read a datagram of which only the beginning is there.

    Raises `PacketError` as `IPv4Header.parse` does, but not for a total length beyond the data.

    >>> beginning = IPv4Header(0, 1500, 1, 0, 0, 64, 17, 0, 0xC0000201, 0xC6336402).build()
    >>> header, payload = read_quote(beginning + bytes(8))
    >>> header.total_length, len(payload)
    (1500, 8)
    """
    header_octets = (data[0] & 0x0F) * 4 if data else 0
    if len(data) < max(_IPV4_OCTETS, header_octets):
        return Quote(IPv4Header.parse(data), b"")  # which raises: the header itself is cut short
    missing = max(0, int.from_bytes(data[2:4], "big") - len(data))
    header = IPv4Header.parse(data + bytes(missing))
    return Quote(header, header.payload(data))


def is_error(header: IPv4Header, payload: bytes) -> bool:
    """Return True for an ICMP error. An echo is none (RFC 1122, section 3.2.2).

    One that is too short to say, or a later fragment, is not told apart: see `why_not_told`.
    """
    return header.protocol == PROTOCOL_ICMP and payload[:1] != b"" and payload[0] in _ERROR_TYPES


def why_not_told(packet: Packet, broadcasts: frozenset[int]) -> str | None:
    """Return why no error may be sent about this packet, None if one may.

    `broadcasts` are the broadcast addresses of our links. RFC 1812, section 4.3.2.7.
    """
    header = packet.header
    if header is None:
        return "its header was not valid"
    if packet.arrived_on is None:
        return "it is our own"
    if is_error(header, packet.payload):
        return "it is an ICMP error itself"
    destination = header.destination
    if destination == LIMITED_BROADCAST or destination in broadcasts or is_multicast(destination):
        return "its destination is a broadcast or multicast"
    if packet.frame[0] & 1:
        return "it came as a link-layer broadcast or multicast"
    if is_invalid_source(header.source) or header.source in broadcasts:
        return "its source is not a single host"
    if header.fragment_offset:
        return "it is a fragment other than the first"
    return None


def error_message(kind: tuple[int, int], rest_of_header: int, datagram: bytes) -> bytes:
    """Return the ICMP message of this type and code that quotes `datagram`."""
    quoted = datagram[: _LARGEST_ERROR - _IPV4_OCTETS - _ICMP_OCTETS]
    return ICMPHeader(*kind, 0, rest_of_header).with_checksum(quoted).build() + quoted


class ErrorLimit:
    """How many errors the router may send: so many a second, and a few more in a burst.

    RFC 1812, section 4.3.2.8, asks for a limit and leaves the numbers to whoever builds it.

    >>> limit = ErrorLimit(per_s=2.0, burst=1)
    >>> limit.allows(0.0), limit.allows(0.1), limit.allows(0.6)
    (True, False, True)
    """

    def __init__(self, per_s: float = 100.0, burst: int = 20) -> None:
        if not per_s > 0 or burst < 1:
            raise ValueError(
                f"per_s must be more than 0 and burst at least 1, not {per_s}, {burst}"
            )
        self._per_s, self._burst = per_s, burst
        self._tokens, self._at_s = float(burst), -math.inf

    def allows(self, now_s: float) -> bool:
        """Return True, and count it, if one more may be sent now."""
        if self._per_s == math.inf:
            return True
        passed_s = max(0.0, now_s - self._at_s) if self._at_s > -math.inf else 0.0
        self._tokens = min(float(self._burst), self._tokens + passed_s * self._per_s)
        self._at_s = max(self._at_s, now_s)
        if self._tokens < 1:
            return False
        self._tokens -= 1
        return True
