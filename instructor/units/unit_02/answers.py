"""Model answers for unit 02, checksums: written to be read out in front of a class.

Sources: RFC 791 section 3.1 (the field), RFC 1071 (the sum), RFC 1624 (the update),
RFC 768 (UDP), RFC 1812 section 5.3.1 (time to live).
"""

__all__ = [
    "fold",
    "header_checksum",
    "is_header_intact",
    "lower_time_to_live",
    "missed_pairs",
    "udp_checksum",
]

import struct

UDP = 17  # the protocol number, as in the IPv4 header


def fold(total: int) -> int:
    """Bring every carry above 16 bits back in until 16 bits are left.

    >>> hex(fold(0x2DDF0))  # RFC 1071, section 3
    '0xddf2'
    """
    while total > 0xFFFF:  # bringing a carry back in can itself carry, hence `while`
        total = (total & 0xFFFF) + (total >> 16)
    return total


def words_of(data: bytes) -> tuple[int, ...]:
    """Cut an even number of octets into 16-bit words, first octet first."""
    return struct.unpack(f"!{len(data) // 2}H", data)


def header_of(packet: bytes) -> bytes:
    """Return the header alone: its length stands in the low half of octet 0, in 32-bit words."""
    return packet[: (packet[0] & 0x0F) * 4]


def header_checksum(packet: bytes) -> int:
    """Return the checksum of the IPv4 header at the start of `packet`."""
    header = header_of(packet)
    without_field = header[:10] + header[12:]  # leaving a word out is adding zero
    return fold(sum(words_of(without_field))) ^ 0xFFFF


def is_header_intact(packet: bytes) -> bool:
    """Tell whether the header, its checksum field included, sums up to all ones."""
    return fold(sum(words_of(header_of(packet)))) == 0xFFFF


def udp_checksum(source: str, destination: str, datagram: bytes) -> int:
    """Return the checksum of a UDP datagram, pseudo header included."""
    length = len(datagram).to_bytes(2, "big")
    pseudo_header = address_octets(source) + address_octets(destination) + bytes([0, UDP]) + length
    without_field = datagram[:6] + datagram[8:]
    padding = bytes(len(datagram) % 2)  # summed, but not counted and not sent
    checksum = fold(sum(words_of(pseudo_header + without_field + padding))) ^ 0xFFFF
    return checksum or 0xFFFF  # zero in the field means that there is no checksum


def address_octets(address: str) -> bytes:
    """Return the four octets of an address in dotted decimals."""
    return bytes(int(part) for part in address.split("."))


def lower_time_to_live(header: bytes) -> bytes:
    """Return the header one hop on, or raise `ValueError` if it may not go on."""
    time_to_live = header[8]
    if time_to_live <= 1:
        raise ValueError(f"a packet with time to live {time_to_live} goes no further")
    old_word, old_checksum = words_of(header[8:12])
    new_word = old_word - 0x0100
    # RFC 1624, equation 3: HC' = ~(~HC + ~m + m')
    checksum = fold((old_checksum ^ 0xFFFF) + (old_word ^ 0xFFFF) + new_word) ^ 0xFFFF
    return header[:8] + struct.pack("!2H", new_word, checksum) + header[12:]


def missed_pairs(header: bytes) -> int:
    """Count the pairs of bits whose flips cancel: one 0 and one 1 in the same column."""
    words = words_of(header)
    missed = 0
    while any(words):  # count in the last column, then move the next one there
        ones = sum(word & 1 for word in words)
        missed += ones * (len(words) - ones)
        words = tuple(word >> 1 for word in words)
    return missed
