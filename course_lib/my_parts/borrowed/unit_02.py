"""Borrowed parts of unit 02: its exercises' contracts, kept by way of the library's checksum.

Not here: `missed_pairs`, which counts errors and is no part of a router.
"""

__all__ = [
    "fold",
    "header_checksum",
    "is_header_intact",
    "lower_time_to_live",
    "udp_checksum",
]

from course_lib.checksum import checksum, is_intact, ones_complement_sum, update_checksum
from course_lib.headers.transport import UDPHeader
from course_lib.ip.datagrams import udp
from course_lib.my_parts.borrowed.unit_01 import read_word
from course_lib.prefixes.text import IPV4_BITS, parse_address

_ONE_HOP = 0x0100  # time to live is the high octet of its word


def fold(total: int) -> int:
    """Bring all carries above 16 bits back in: exercise 2.1.

    The words of which the total itself is made have, as a sum, the same remainder.
    """
    words = (total.bit_length() + 15) // 16
    return ones_complement_sum(total.to_bytes(2 * words, "big"))


def header_checksum(packet: bytes) -> int:
    """Return the checksum that belongs into an IPv4 header: exercise 2.2."""
    return checksum(packet[:10] + bytes(2) + packet[12 : _end_of_header(packet)])


def is_header_intact(packet: bytes) -> bool:
    """Tell whether an IPv4 header passes the check: exercise 2.3."""
    return is_intact(packet[: _end_of_header(packet)])


def udp_checksum(source: str, destination: str, datagram: bytes) -> int:
    """Return the checksum that belongs into a UDP datagram: exercise 2.4.

    The same datagram is made once more, by the function with which hosts send; if its length
    field says something else, that word is updated. A 0 is sent as all ones (RFC 768).
    """
    ports = read_word(datagram, 0), read_word(datagram, 2)
    made = udp(
        parse_address(source, IPV4_BITS), parse_address(destination, IPV4_BITS), ports, datagram[8:]
    )
    header = UDPHeader.parse(made.content)
    return update_checksum(header.checksum, header.length, read_word(datagram, 4)) or 0xFFFF


def lower_time_to_live(header: bytes) -> bytes:
    """Return an intact IPv4 header as it leaves for the next hop: exercise 2.5."""
    hops = read_word(header, 8)
    if hops < 2 * _ONE_HOP:
        raise ValueError(f"time to live {hops // _ONE_HOP} ends here: the packet goes no further")
    left = hops - _ONE_HOP
    updated = update_checksum(read_word(header, 10), hops, left)
    return header[:8] + left.to_bytes(2, "big") + updated.to_bytes(2, "big") + header[12:]


def _end_of_header(packet: bytes) -> int:
    """Return the first octet behind a header, by its own length field; nothing else is looked at.

    The library's parser would refuse a header without its payload, which is what comes in here.
    """
    return packet[0] % 16 * 4
