"""The right ones' complement sum in parts, some of which each misconception of unit 02 bends."""

__all__ = ["field_out", "right_fold", "right_header", "right_sum", "right_words"]


def right_fold(total: int) -> int:
    """Bring all carries back in."""
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def right_words(data: bytes) -> list[int]:
    """Cut data into 16-bit words, the last one padded behind."""
    data = data + bytes(len(data) % 2)
    return [int.from_bytes(data[place : place + 2], "big") for place in range(0, len(data), 2)]


def right_sum(data: bytes) -> int:
    """Add up the words of data in ones' complement."""
    return right_fold(sum(right_words(data)))


def right_header(packet: bytes) -> bytes:
    """Cut the header off a packet."""
    return packet[: (packet[0] & 0x0F) * 4]


def field_out(header: bytes) -> bytes:
    """Put zero into the checksum field of an IPv4 header."""
    return header[:10] + bytes(2) + header[12:]
