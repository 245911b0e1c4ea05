"""The datagrams that hosts and routers make: whole, with every length and checksum right.

Plain functions from values to octets. What a router may later change in a datagram (time to live,
header checksum, fragments) is not decided here.
"""

__all__ = [
    "INITIAL_TIME_TO_LIVE",
    "Datagram",
    "echo_reply",
    "echo_request",
    "quoted_echo_request",
    "udp",
    "udp_is_intact",
]

import struct
from typing import NamedTuple

from course_lib.checksum import checksum, is_intact
from course_lib.headers.assigned_numbers import (
    ICMP_ECHO,
    ICMP_ECHO_REPLY,
    PROTOCOL_ICMP,
    PROTOCOL_UDP,
)
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, UDPHeader
from course_lib.ip.icmp_errors import read_quote

INITIAL_TIME_TO_LIVE = 64  # RFC 1700, "IP TIME TO LIVE PARAMETER": the recommended default.
# RFC 1122, section 3.2.1.7, leaves the value to us.
_PSEUDO_HEADER = struct.Struct("!IIBBH")  # RFC 768, "Fields"


class Datagram(NamedTuple):
    """What somebody wants to send, but for what only the sender can add."""

    destination: int
    protocol: int
    content: bytes
    type_of_service: int = 0
    options: bytes = b""
    source: int | None = None  # None: the address of the interface by which it leaves
    time_to_live: int | None = None  # None: the usual one
    flags: int = 0

    def header(
        self, address: int, identification: int, usual: int = INITIAL_TIME_TO_LIVE
    ) -> IPv4Header:
        """Return the header that belongs in front of the content.

        address: of the interface by which it leaves.
        identification: the number of the datagram; the header holds its lowest 16 bits.
        usual: the time to live, if the datagram says nothing of it.
        """
        header = IPv4Header(
            type_of_service=self.type_of_service,
            total_length=20 + len(self.options) + len(self.content),
            identification=identification & 0xFFFF,
            flags=self.flags,
            fragment_offset=0,
            time_to_live=usual if self.time_to_live is None else self.time_to_live,
            protocol=self.protocol,
            checksum=0,
            source=address if self.source is None else self.source,
            destination=self.destination,
            options=self.options,
        )
        return header.with_checksum()


def echo_request(destination: int, identifier: int, sequence: int, data: bytes) -> Datagram:
    """Return a question that its receiver answers with the same data (RFC 792)."""
    header = ICMPHeader(ICMP_ECHO, 0, 0, identifier << 16 | sequence).with_checksum(data)
    return Datagram(destination, PROTOCOL_ICMP, header.build() + data)


def echo_reply(request: bytes) -> bytes:
    """Return the answer to an echo request: only type and checksum differ."""
    question = ICMPHeader.parse(request)
    data = question.payload(request)
    return question._replace(type=ICMP_ECHO_REPLY).with_checksum(data).build() + data


def quoted_echo_request(quoted: bytes) -> ICMPHeader | None:
    """Return the header of the echo request that an ICMP error quotes, None if it quotes no such.

    Raises `PacketError` for a quote that is none.
    """
    header, payload = read_quote(quoted)
    if header.protocol != PROTOCOL_ICMP or header.fragment_offset:
        return None
    message = ICMPHeader.parse(payload)
    return message if message.type == ICMP_ECHO else None


def udp(source: int, destination: int, ports: tuple[int, int], data: bytes) -> Datagram:
    """Return a UDP datagram; its checksum covers the addresses too (RFC 768)."""
    header = UDPHeader(*ports, 8 + len(data), 0)
    found = checksum(_pseudo_header(source, destination, header.length) + header.build() + data)
    header = header._replace(checksum=found or 0xFFFF)  # 0 would say that there is none
    return Datagram(destination, PROTOCOL_UDP, header.build() + data)


def udp_is_intact(header: IPv4Header, content: bytes) -> bool:
    """Return True if the checksum of a UDP datagram is right, or says that there is none."""
    found = UDPHeader.parse(content)
    pseudo = _pseudo_header(header.source, header.destination, found.length)
    return found.checksum == 0 or is_intact(pseudo + content[: found.length])


def _pseudo_header(source: int, destination: int, length: int) -> bytes:
    return _PSEUDO_HEADER.pack(source, destination, 0, PROTOCOL_UDP, length)
