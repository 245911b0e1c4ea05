"""Borrowed parts of unit 01: its exercises' contracts, kept by way of the library's headers.

The library takes whole headers apart; these functions hand it what the exercises give and pick out
what they ask for. A header that the library refuses raises `PacketError`, which is a `ValueError`.
"""

__all__ = [
    "build_packet",
    "fragment_fields",
    "list_options",
    "parse_frame",
    "parse_packet",
    "read_word",
]

from course_lib.headers.assigned_numbers import PROTOCOL_UDP
from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import TCPHeader, UDPHeader
from course_lib.ip.datagrams import Datagram
from course_lib.ip.fragmentation import DONT_FRAGMENT, MORE_FRAGMENTS
from course_lib.ip.options import split_options
from course_lib.prefixes.text import IPV4_BITS, format_address, format_mac, parse_address

_TAGGED = 0x8100  # the ether type of a VLAN tag: IEEE 802.1Q
_TAG_OCTETS = 4
_FILLER = 1  # the option that only fills a gap: RFC 791, section 3.1
_ANY_PACKET = IPv4Header(0, 20, 0, 0, 0, 64, 17, 0, 0, 0).build()
_ANY_SEGMENT = TCPHeader(0, 0, 0, 0, 0, 0, 0, 0, 0).build()


def read_word(data: bytes, offset: int) -> int:
    """Return the 16-bit word at an offset: exercise 1.1.

    It is put where a TCP header has its last field, and the library reads that.
    """
    if offset < 0:
        raise ValueError(f"octets are counted from 0; there is none at {offset}")
    return TCPHeader.parse(_ANY_SEGMENT[:-2] + data[offset : offset + 2]).urgent_pointer


def parse_frame(frame: bytes) -> tuple[str, str, int | None, int, bytes]:
    """Take an Ethernet frame apart, tagged or not: exercise 1.2.

    Without its tag a tagged frame is an ordinary one.
    """
    header, vlan = EthernetHeader.parse(frame), None
    if header.ether_type == _TAGGED:
        vlan = read_word(header.payload(frame), 0) % 0x1000
        frame = frame[:12] + frame[12 + _TAG_OCTETS :]
        header = EthernetHeader.parse(frame)
    addresses = format_mac(header.destination), format_mac(header.source)
    return *addresses, vlan, header.ether_type, header.payload(frame)


def fragment_fields(word: int) -> tuple[bool, bool, int]:
    """Take flags and fragment offset apart, the offset in octets: exercise 1.3."""
    whole = _ANY_PACKET[:6] + word.to_bytes(2, "big") + _ANY_PACKET[8:]
    header = IPv4Header.parse(whole)
    may_not, more = header.flags & DONT_FRAGMENT, header.flags & MORE_FRAGMENTS
    return may_not > 0, more > 0, 8 * header.fragment_offset


def parse_packet(packet: bytes) -> dict[str, str | int | bytes]:
    """Return the fields of an IPv4 packet by name, addresses as text: exercise 1.4."""
    header = IPv4Header.parse(packet)
    return {
        "source": format_address(header.source),
        "destination": format_address(header.destination),
        "protocol": header.protocol,
        "time_to_live": header.time_to_live,
        "options": header.options,
        "payload": header.payload(packet),
    }


def list_options(options: bytes) -> list[tuple[int, bytes]]:
    """Return type and data of each option that has data or could have: exercise 1.5."""
    return [(one.kind, one.octets[2:]) for one in split_options(options) if one.kind != _FILLER]


def build_packet(
    source: str,
    destination: str,
    source_port: int,
    destination_port: int,
    payload: bytes,
    options: bytes = b"",
) -> bytes:
    """Build an IPv4 packet that carries a UDP datagram, both checksums 0: exercise 1.6."""
    missing = -len(options) % 4  # the header counts in words of 4 octets
    options = options.ljust(len(options) + missing, b"\0")
    udp = UDPHeader(source_port, destination_port, 8 + len(payload), 0)
    content = udp.build() + payload
    datagram = Datagram(parse_address(destination, IPV4_BITS), PROTOCOL_UDP, content, 0, options)
    header = datagram.header(parse_address(source, IPV4_BITS), identification=0)
    return header._replace(checksum=0).build() + content
