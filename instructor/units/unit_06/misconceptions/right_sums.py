"""The words and sums of a header as they are right: exercises 6.1 and 6.2."""

__all__ = ["right_sum", "right_total", "right_word"]


def right_word(data: bytes, place: int) -> int:
    """Return the 16-bit word that begins at an octet; what is missing counts as zero."""
    return int.from_bytes(data[place : place + 2].ljust(2, b"\0"), "big")


def right_total(data: bytes) -> int:
    """Add up words, and fold nothing."""
    return sum(right_word(data, place) for place in range(0, len(data), 2))


def right_sum(data: bytes) -> int:
    """Add up words and fold."""
    total = right_total(data)
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total
