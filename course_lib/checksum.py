"""The Internet checksum (RFC 1071), as IPv4, ICMP, UDP and TCP use it.

The checksum is the inverted ones' complement sum of the 16-bit words: a carry out of the top bit
comes back in at the bottom. Data whose checksum field holds the right value sum up to 0xFFFF.

The sum is found here without a loop over carries. To bring a carry back in means to take 0x10000
away and to add 1, so it takes 0xFFFF away and leaves the remainder of a division by 0xFFFF as it
is. And since 0x10000 leaves the remainder 1, so does each of its powers: a whole packet, read as
one large number in base 0x10000, leaves the same remainder as the sum of its words. (In the
decimal system this is casting out nines.) One thing is left to settle. A remainder of 0 can stand
for a sum of 0x0000 or of 0xFFFF, the two zeros of ones' complement. A sum to which anything but
zero was added never gets back to 0x0000; so it is 0xFFFF, except for data that are zero throughout.

What the sum cannot see: two words that trade places, or a word 0x0000 in place of 0xFFFF.

Real routers: an adder in hardware that takes many words of a header at once.
"""

from __future__ import annotations  # NumPy's types are named here, but NumPy is loaded on use

__all__ = [
    "are_intact",
    "checksum",
    "checksums",
    "is_intact",
    "ones_complement_sum",
    "ones_complement_sums",
    "update_checksum",
]

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_ALL_ONES = 0xFFFF
_number_from = int.from_bytes  # most significant octet first; looked up once, for speed


def ones_complement_sum(data: bytes) -> int:
    """Add up the 16-bit big-endian words of `data` in ones' complement.

    A last odd octet counts as the high half of a word (RFC 1071, section 1).

    >>> hex(ones_complement_sum(bytes.fromhex("0001 f203 f4f5 f6f7")))
    '0xddf2'
    """
    number = _number_from(data)
    if len(data) % 2:
        number <<= 8
    return number % _ALL_ONES or (_ALL_ONES if number else 0)


def checksum(data: bytes) -> int:
    """Return the checksum of `data`, whose checksum field must hold zero.

    It is what the sum lacks of 0xFFFF, hence the remainder of the negative number.
    """
    number = _number_from(data)
    if len(data) % 2:
        number <<= 8
    return -number % _ALL_ONES if number else _ALL_ONES


def is_intact(data: bytes) -> bool:
    """Return True if `data`, checksum field included, pass the check."""
    return ones_complement_sum(data) == _ALL_ONES


def update_checksum(checksum: int, old_word: int, new_word: int) -> int:
    """Return the checksum after one 16-bit word of the data changed, without seeing the rest.

    This is equation 3 of RFC 1624, HC' = ~(~HC + ~m + m'). The older equation 2, HC + m + ~m',
    gives 0xFFFF where the whole sum would give 0x0000, because what it adds up is never zero.
    In equation 3 the sum is inverted last, so it can be 0xFFFF and the result 0x0000. Data that
    *become* zero throughout are the one case that differs: their own checksum is 0xFFFF, the
    update gives 0x0000. A header is never zero throughout, as it begins with a version.

    Raises `ValueError` for a number that is not a 16-bit word.

    >>> hex(update_checksum(0xDD2F, 0x5555, 0x3285))  # RFC 1624, section 4
    '0x0'
    """
    if (checksum | old_word | new_word) >> 16:
        raise ValueError(
            "checksum, old word and new word must be 0 to 65535, "
            f"not {checksum}, {old_word} and {new_word}"
        )
    total = (checksum ^ _ALL_ONES) + (old_word ^ _ALL_ONES) + new_word
    return (total % _ALL_ONES or (_ALL_ONES if total else 0)) ^ _ALL_ONES


def ones_complement_sums(rows: NDArray[Any]) -> NDArray[np.uint16]:
    """Return the sum of each row, as `ones_complement_sum` would.

    `rows` has two dimensions and one row per packet. Unsigned 8-bit elements are octets, unsigned
    16-bit elements are words (numbers, not octets in the order of the wire). Packets of different
    lengths can share an array if the short ones are filled up with zeros, which do not count.

    >>> import numpy as np
    >>> ones_complement_sums(np.array([[0, 1, 0xF2, 3, 0xF4, 0xF5, 0xF6, 0xF7]], np.uint8)).item()
    56818
    """
    import numpy as np

    totals = _words(rows).sum(axis=1, dtype=np.uint64)
    remainders = totals % _ALL_ONES
    remainders[(remainders == 0) & (totals != 0)] = _ALL_ONES
    sums: NDArray[np.uint16] = remainders.astype(np.uint16)
    return sums


def checksums(rows: NDArray[Any]) -> NDArray[np.uint16]:
    """Return the checksum of each row, whose checksum field must hold zero."""
    return ~ones_complement_sums(rows)


def are_intact(rows: NDArray[Any]) -> NDArray[np.bool_]:
    """Return, for each row, checksum field included, whether it passes the check."""
    intact: NDArray[np.bool_] = ones_complement_sums(rows) == _ALL_ONES
    return intact


def _words(rows: NDArray[Any]) -> NDArray[Any]:
    import numpy as np

    if rows.ndim != 2 or rows.dtype.kind != "u" or rows.dtype.itemsize > 2:
        raise ValueError(
            "packets must be a 2-D array of uint8 (octets) or uint16 (words), "
            f"not a {rows.ndim}-D array of {rows.dtype}"
        )
    if rows.dtype.itemsize == 2:
        return rows
    odd = rows.shape[1] % 2
    padded = np.pad(rows, ((0, 0), (0, 1))) if odd else np.ascontiguousarray(rows)
    return padded.view(">u2")
