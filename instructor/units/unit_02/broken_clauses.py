"""Answers that break one clause of a contract of unit 02 and keep all others.

Most clauses are broken by a misconception; here stands what nobody would believe, but a slip
can do.
"""

__all__ = [
    "checksum_as_float",
    "fold_of_zero",
    "fold_once_if_it_is_two_words",
    "fold_to_float",
    "lower_clears_the_fragment",
    "missed_as_far_as_octet_0_says",
    "missed_in_two_words_or_more",
    "udp_as_float",
]


def fold_to_float(total: int) -> float:
    """Return what is right, but not as a whole number."""
    return float(_fold(total))


def fold_of_zero(total: int) -> int:
    """Take 0 for a multiple of 0xFFFF like any other."""
    return (total - 1) % 0xFFFF + 1


def fold_once_if_it_is_two_words(total: int) -> int:
    """Take it that two words fold in one turn, and look again after more alone."""
    return _fold(total) if total >> 32 else (total & 0xFFFF) + (total >> 16)


def checksum_as_float(packet: bytes) -> float:
    """Return what is right, but not as a whole number."""
    header = packet[: 4 * (packet[0] & 0x0F)]
    return float(0xFFFF - _fold(_total(header[:10] + header[12:])))


def udp_as_float(source: str, destination: str, datagram: bytes) -> float:
    """Return what is right, but not as a whole number."""
    addresses = bytes(int(part) for part in f"{source}.{destination}".split("."))
    data = addresses + datagram[:6] + datagram[8:] + bytes(len(datagram) % 2)
    return float(0xFFFF - _fold(_total(data) + 17 + len(datagram)) or 0xFFFF)


def lower_clears_the_fragment(header: bytes) -> bytes:
    """Build the header anew, and forget flags and offset."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    start = header[:6] + bytes(2) + bytes([header[8] - 1, header[9]])
    field = 0xFFFF - _fold(_total(start + header[12:]))
    return start + field.to_bytes(2, "big") + header[12:]


def missed_as_far_as_octet_0_says(header: bytes) -> int:
    """Count as far as the low half of octet 0 says, as in a real header."""
    return _missed(header[: 4 * (header[0] & 0x0F)])


def missed_in_two_words_or_more(header: bytes) -> int:
    """Take it that there is always a second word."""
    if len(header) < 4:
        raise IndexError("no second word")
    return _missed(header)


def _fold(total: int) -> int:
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def _total(data: bytes) -> int:
    return 256 * sum(data[::2]) + sum(data[1::2])


def _missed(header: bytes) -> int:
    words = [256 * high + low for high, low in zip(header[::2], header[1::2], strict=True)]
    ones = [sum(word >> column & 1 for word in words) for column in range(16)]
    return sum(count * (len(words) - count) for count in ones)
