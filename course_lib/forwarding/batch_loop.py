"""What validate, decide and rewrite do with a plain header, as one loop over many of them.

Everything about a header is in its five words of 32 bits, so the loop reads them once and is done
with the packet. Numba compiles it (see `course_lib.engine`).
"""

__all__ = ["Flags", "forward_headers"]

from typing import TypeAlias

import numpy as np

from course_lib.engine.machine_types import Counts, CountTable

Flags: TypeAlias = np.ndarray[tuple[int], np.dtype[np.bool_]]
_Hops: TypeAlias = np.ndarray[tuple[int], np.dtype[np.int32]]

_ALL_ONES = 0xFFFF
_PLAIN_BEGINNING = 0x45  # version 4, five words, so no options


def forward_headers(
    words: CountTable,
    lengths: Counts,
    entries: _Hops,
    most: Counts,
    usual: Flags,
    special: Counts,
    marked: Flags,
    plain: Flags,
) -> None:
    """Note which headers are plain, and lower their time to live, in place.

    words: the five words of each header. lengths: the octets that came with each. entries: what was
    looked up for each; `most[entry]` octets may leave that way (the last one, for -1: none).
    usual: for each first octet, whether an address that begins with it can be one single host's.
    special: addresses that are ours or broadcasts; `marked` tells their last octets.
    """
    for i in range(len(words)):
        first, source, destination = words[i, 0], words[i, 3], words[i, 4]
        total, life = first & _ALL_ONES, words[i, 2] >> 24
        # In base 0x10000 each digit counts as much as any other: see `course_lib.checksum`.
        is_intact = (first + words[i, 1] + words[i, 2] + source + destination) % _ALL_ONES == 0
        is_plain = (
            is_intact
            and first >> 24 == _PLAIN_BEGINNING
            and 20 <= total <= lengths[i]
            and life > 1
            and usual[source >> 24]
            and usual[destination >> 24]
            and total <= most[entries[i]]
        )
        if is_plain and (marked[source & 0xFF] or marked[destination & 0xFF]):
            for address in special:
                is_plain = is_plain and source != address and destination != address
        plain[i] = is_plain
        if is_plain:
            # The update of RFC 1624, equation 3, with ~m + m' = -0x0100; then the carry comes in.
            kept = (words[i, 2] & _ALL_ONES ^ _ALL_ONES) + (_ALL_ONES - 0x0100)
            kept = (kept & _ALL_ONES) + (kept >> 16)
            words[i, 2] = ((words[i, 2] >> 16) - 0x0100) << 16 | kept ^ _ALL_ONES
