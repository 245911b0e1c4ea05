"""Misconceptions about errors and what they quote: exercise 5.5."""

__all__ = ["BUILD_ERROR"]

from collections.abc import Callable
from typing import Any

KINDS = {
    "net unreachable": (3, 0),
    "host unreachable": (3, 1),
    "fragmentation needed": (3, 4),
    "time exceeded": (11, 0),
}
START = bytes.fromhex("45c0 0000 0000 0000 4001 0000")
ROOM = 576 - 20 - 8


def own(address: str) -> bytes:
    """Return the octets of an address."""
    return bytes(map(int, address.split(".")))


def folded(data: bytes) -> int:
    """Add up 16-bit words and bring the carries back in."""
    total = sum(
        int.from_bytes(data[place : place + 2].ljust(2, b"\0"), "big")
        for place in range(0, len(data), 2)
    )
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def summed(data: bytes, place: int) -> bytes:
    """Put the checksum of all the octets into two of them that are zero."""
    return data[:place] + (0xFFFF ^ folded(data)).to_bytes(2, "big") + data[place + 2 :]


def whole(packet: bytes) -> bytes:
    """Return the packet without its padding."""
    return packet[: int.from_bytes(packet[2:4], "big")]


def quote_of(packet: bytes) -> bytes:
    """Return what is right to quote."""
    return whole(packet)[:ROOM]


def rest_of(reason: str, mtu: int) -> bytes:
    """Return the 4 octets in front of the quote."""
    return bytes(2) + (mtu if reason == "fragmentation needed" else 0).to_bytes(2, "big")


def header_for(
    packet: bytes, address: str, octets: int, start: bytes = START, ends: bytes | None = None
) -> bytes:
    """Return the header in front of so many octets, right but for what is given."""
    ends = own(address) + packet[12:16] if ends is None else ends
    return summed(start[:2] + (20 + octets).to_bytes(2, "big") + start[4:] + ends, 10)


def right_but_for(
    packet: bytes,
    reason: str,
    address: str,
    mtu: int,
    *,
    kinds: dict[str, tuple[int, int]] | None = None,
    rest: bytes | None = None,
    quote: bytes | None = None,
    start: bytes = START,
    ends: bytes | None = None,
) -> bytes:
    """Build the error, right but for what is given."""
    kind = bytes((kinds or KINDS)[reason])
    rest = rest_of(reason, mtu) if rest is None else rest
    quote = quote_of(packet) if quote is None else quote
    message = summed(kind + bytes(2) + rest + quote, 2)
    return header_for(packet, address, len(message), start, ends) + message


def error_to_receiver(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the error goes on to where the packet was going."""
    ends = own(address) + packet[16:20]
    return right_but_for(packet, reason, address, mtu, ends=ends)


def error_from_receiver(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the packet is turned round, so that the error comes from its destination."""
    ends = packet[16:20] + packet[12:16]
    return right_but_for(packet, reason, address, mtu, ends=ends)


def error_to_ourselves(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the source of the packet stays the source."""
    ends = packet[12:16] + own(address)
    return right_but_for(packet, reason, address, mtu, ends=ends)


def error_with_what_is_left(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the error has no longer to live than the packet had."""
    start = START[:8] + packet[8:9] + START[9:]
    return right_but_for(packet, reason, address, mtu, start=start)


def error_of_its_protocol(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the protocol is that of the packet."""
    start = START[:9] + packet[9:10] + START[10:]
    return right_but_for(packet, reason, address, mtu, start=start)


def error_with_net_and_host_exchanged(
    packet: bytes, reason: str, address: str, mtu: int = 0
) -> bytes:
    """Believe that code 0 is for the host and code 1 for the net."""
    kinds = KINDS | {"net unreachable": (3, 1), "host unreachable": (3, 0)}
    return right_but_for(packet, reason, address, mtu, kinds=kinds)


def error_type_3_only(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that all of them are kinds of unreachable."""
    return right_but_for(packet, reason, address, mtu, kinds=KINDS | {"time exceeded": (3, 11)})


def error_code_first(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the code stands in front of the type."""
    kinds = {name: (code, kind) for name, (kind, code) in KINDS.items()}
    return right_but_for(packet, reason, address, mtu, kinds=kinds)


def error_with_mtu_first(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the MTU stands in the first two of the four octets."""
    rest = rest_of(reason, mtu)
    return right_but_for(packet, reason, address, mtu, rest=rest[2:] + rest[:2])


def error_without_mtu(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the four octets are always zero."""
    return right_but_for(packet, reason, address, mtu, rest=bytes(4))


def error_with_mtu_little_endian(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the low octet of the MTU comes first."""
    rest = rest_of(reason, mtu)
    return right_but_for(packet, reason, address, mtu, rest=rest[:2] + rest[:1:-1])


def error_with_mtu_of_frames(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the MTU counts the Ethernet header as well."""
    return right_but_for(packet, reason, address, (mtu + 14) & 0xFFFF)


def error_with_8_octets(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that 8 octets behind the header are enough, as in RFC 792."""
    octets = 4 * (packet[0] & 15) + 8
    return right_but_for(packet, reason, address, mtu, quote=quote_of(packet)[:octets])


def error_with_28_octets(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe the same, and that a header always has 20 octets."""
    return right_but_for(packet, reason, address, mtu, quote=quote_of(packet)[:28])


def error_with_576_octets_quoted(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that 576 octets are quoted, and both headers come on top."""
    return right_but_for(packet, reason, address, mtu, quote=whole(packet)[:576])


def error_with_576_octets_of_icmp(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the ICMP message has at most 576 octets."""
    return right_but_for(packet, reason, address, mtu, quote=whole(packet)[: 576 - 8])


def error_with_all_of_it(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the whole packet is quoted, however long it is."""
    return right_but_for(packet, reason, address, mtu, quote=whole(packet))


def error_with_padding(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that all that came belongs to the packet."""
    return right_but_for(packet, reason, address, mtu, quote=packet[:ROOM])


def error_with_payload(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that what the packet carries is quoted, without its header."""
    quote = whole(packet)[4 * (packet[0] & 15) :][:ROOM]
    return right_but_for(packet, reason, address, mtu, quote=quote)


def error_with_lowered(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the packet is quoted as it would have gone on, with one hop less."""
    header = bytearray(packet[: 4 * (packet[0] & 15)])
    header[8] = max(0, header[8] - 1)
    header[10:12] = bytes(2)
    quote = summed(bytes(header), 10) + quote_of(packet)[len(header) :]
    return right_but_for(packet, reason, address, mtu, quote=quote)


def error_with_own_length(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the quoted header has to tell how much is quoted."""
    quote = quote_of(packet)
    quote = quote[:2] + len(quote).to_bytes(2, "big") + quote[4:]
    return right_but_for(packet, reason, address, mtu, quote=quote)


def error_summed_over_8(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the checksum of ICMP covers its first 8 octets alone."""
    start = summed(bytes(KINDS[reason]) + bytes(2) + rest_of(reason, mtu), 2)
    message = start + quote_of(packet)
    return header_for(packet, address, len(message)) + message


def error_not_turned(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the folded sum itself goes into the field of ICMP."""
    message = bytes(KINDS[reason]) + bytes(2) + rest_of(reason, mtu) + quote_of(packet)
    message = message[:2] + folded(message).to_bytes(2, "big") + message[4:]
    return header_for(packet, address, len(message)) + message


def error_padded_in_front(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the zero of an odd sum stands in front of the last octet."""
    message = bytes(KINDS[reason]) + bytes(2) + rest_of(reason, mtu) + quote_of(packet)
    even = len(message) // 2 * 2
    zero = b"\0" if len(message) % 2 else b""
    total = folded(message[:even] + zero + message[even:])
    message = message[:2] + (0xFFFF ^ total).to_bytes(2, "big") + message[4:]
    return header_for(packet, address, len(message)) + message


def error_of_its_own_length(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the total length is that of what follows the header."""
    right = right_but_for(packet, reason, address, mtu)
    size = (len(right) - 20).to_bytes(2, "big")
    return summed(right[:2] + size + right[4:10] + bytes(2) + right[12:20], 10) + right[20:]


def error_without_header(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Believe that the ICMP message alone is asked for."""
    return right_but_for(packet, reason, address, mtu)[20:]


BUILD_ERROR: dict[str, Callable[..., Any]] = {
    "to-the-receiver": error_to_receiver,
    "from-the-receiver": error_from_receiver,
    "source-stays-source": error_to_ourselves,
    "no-longer-to-live": error_with_what_is_left,
    "protocol-of-the-packet": error_of_its_protocol,
    "net-and-host-exchanged": error_with_net_and_host_exchanged,
    "all-are-unreachable": error_type_3_only,
    "code-before-type": error_code_first,
    "mtu-in-the-first-two": error_with_mtu_first,
    "no-mtu": error_without_mtu,
    "mtu-low-octet-first": error_with_mtu_little_endian,
    "mtu-counts-the-frame": error_with_mtu_of_frames,
    "eight-octets-quoted": error_with_8_octets,
    "twenty-eight-octets-quoted": error_with_28_octets,
    "headers-come-on-top": error_with_576_octets_quoted,
    "ip-header-comes-on-top": error_with_576_octets_of_icmp,
    "all-of-it-quoted": error_with_all_of_it,
    "padding-quoted": error_with_padding,
    "payload-quoted": error_with_payload,
    "quoted-with-one-hop-less": error_with_lowered,
    "quoted-length-put-right": error_with_own_length,
    "sum-over-eight-octets": error_summed_over_8,
    "sum-without-complement": error_not_turned,
    "zero-in-front-of-the-last": error_padded_in_front,
    "length-of-what-follows": error_of_its_own_length,
    "message-without-header": error_without_header,
}
