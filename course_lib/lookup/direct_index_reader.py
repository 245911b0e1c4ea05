"""How an entry of the direct-index table is laid out, and the reading of many entries in one call.

Per address the work is one array read, seldom two. The loop below says just that, and Numba
compiles it (see `course_lib.engine`); the processor then fetches the next entries while it waits
for this one. In NumPy alone the same takes several sweeps over the data, which is slower; it does
the work where nothing can be compiled. `engine()` tells which of the two runs, and why.
"""

__all__ = [
    "BLOCK",
    "LENGTH_SHIFT",
    "NUMBER",
    "Blocks",
    "Entries",
    "read_entries",
    "read_with_loop",
    "read_with_numpy",
]

from typing import TypeAlias

import numpy as np

from course_lib.engine.compiled import engine, ready
from course_lib.engine.waiting_note import silence

# An entry has 32 bits, from the left: 1 bit "see block", 6 bits prefix length, 25 bits number.
# The number is a next hop plus one, or the block to look into; an entry of 0 holds no route.
# So of two entries the one with the longer prefix is the larger number, and a block is larger
# than both: "the longest prefix wins" is a plain comparison.
BLOCK = np.uint32(1 << 31)
LENGTH_SHIFT = 25
NUMBER = np.uint32((1 << LENGTH_SHIFT) - 1)

Entries: TypeAlias = np.ndarray[tuple[int], np.dtype[np.uint32]]
Blocks: TypeAlias = np.ndarray[tuple[int, int], np.dtype[np.uint32]]
_Hops: TypeAlias = np.ndarray[tuple[int], np.dtype[np.int32]]

_LAST_OCTET_BITS = np.uint32(8)
_LAST_OCTET = np.uint32(0xFF)
_CHUNK = 1 << 14  # addresses; what NumPy sets aside for so many stays in the cache


def read_entries(first: Entries, second: Blocks, addresses: Entries, hops: _Hops) -> None:
    """Fill `hops` with the next hop of each address, in the quickest way there is here."""
    with silence():  # whoever wants to be told how the compiling goes on calls `prepare` before
        read = ready(read_with_loop) if engine().compiled else read_with_numpy
    read(first, second, addresses, hops)


def read_with_loop(first: Entries, second: Blocks, addresses: Entries, hops: _Hops) -> None:
    """Fill `hops` with the next hop of each address. Plain Python, made to be compiled."""
    for i in range(addresses.size):
        address = addresses[i]
        entry = first[address >> _LAST_OCTET_BITS]
        if entry >= BLOCK:
            entry = second[entry & NUMBER, address & _LAST_OCTET]
        # 0, the entry that holds no route, becomes -1: that is `NO_ROUTE`.
        hops[i] = np.int32(entry & NUMBER) - 1


def read_with_numpy(first: Entries, second: Blocks, addresses: Entries, hops: _Hops) -> None:
    """Fill `hops` like `read_with_loop`, in sweeps over a chunk of addresses at a time."""
    for start in range(0, addresses.size, _CHUNK):
        part = addresses[start : start + _CHUNK]
        entries = first[part >> _LAST_OCTET_BITS]
        inside = np.flatnonzero(entries >= BLOCK)
        entries[inside] = second[entries[inside] & NUMBER, part[inside] & _LAST_OCTET]
        hops[start : start + _CHUNK] = (entries & NUMBER).astype(np.int32) - 1
