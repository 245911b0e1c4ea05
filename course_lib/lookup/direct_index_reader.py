"""How an entry of the direct-index table is laid out, and the reading of many entries in one call.

Per address the work is one array read, seldom two. The loop below says just that, and Numba
compiles it; the processor then fetches the next entries while it waits for this one. In NumPy
alone the same takes several sweeps over the data, which is slower.

Numba is loaded at the first call and not on import, since loading takes its time. Where it is
missing, or finds no place to keep compiled code (a read-only system, a sandbox), the NumPy form
does the work. `engine()` tells which of the two runs, and why.
"""

__all__ = [
    "BLOCK",
    "LENGTH_SHIFT",
    "NUMBER",
    "Engine",
    "Entries",
    "engine",
    "read_with_loop",
    "read_with_numpy",
]

from collections.abc import Callable
from functools import cache
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from course_lib.lookup.protocol import NextHops

# An entry has 32 bits, from the left: 1 bit "see block", 6 bits prefix length, 25 bits number.
# The number is a next hop plus one, or the block to look into; an entry of 0 holds no route.
# So of two entries the one with the longer prefix is the larger number, and a block is larger
# than both: "the longest prefix wins" is a plain comparison.
BLOCK = np.uint32(1 << 31)
LENGTH_SHIFT = 25
NUMBER = np.uint32((1 << LENGTH_SHIFT) - 1)

Entries: TypeAlias = NDArray[np.uint32]
Reader: TypeAlias = Callable[[Entries, Entries, Entries, NextHops], None]

_LAST_OCTET_BITS = np.uint32(8)
_LAST_OCTET = np.uint32(0xFF)
_CHUNK = 1 << 14  # addresses; what NumPy sets aside for so many stays in the cache
_SIGNATURE = "void(uint32[::1], uint32[:, ::1], uint32[::1], int32[::1])"


class Engine(NamedTuple):
    """What does the reading: the name "numba" or "numpy", why, and the function itself."""

    name: str
    reason: str
    read: Reader


@cache
def engine() -> Engine:
    """Return the reader for this process: compiled if possible, otherwise NumPy's."""
    try:
        return Engine("numba", "Numba compiled the loop", _compiled())
    except (ImportError, OSError, RuntimeError) as error:
        return Engine("numpy", f"Numba cannot be used here: {error}", read_with_numpy)


def read_with_loop(first: Entries, second: Entries, addresses: Entries, hops: NextHops) -> None:
    """Fill `hops` with the next hop of each address. Plain Python, made to be compiled."""
    for i in range(addresses.size):
        address = addresses[i]
        entry = first[address >> _LAST_OCTET_BITS]
        if entry >= BLOCK:
            entry = second[entry & NUMBER, address & _LAST_OCTET]
        hops[i] = np.int32(entry & NUMBER) - 1


def read_with_numpy(first: Entries, second: Entries, addresses: Entries, hops: NextHops) -> None:
    """Fill `hops` like `read_with_loop`, in sweeps over a chunk of addresses at a time."""
    for start in range(0, addresses.size, _CHUNK):
        part = addresses[start : start + _CHUNK]
        entries = first[part >> _LAST_OCTET_BITS]
        inside = np.flatnonzero(entries >= BLOCK)
        entries[inside] = second[entries[inside] & NUMBER, part[inside] & _LAST_OCTET]
        hops[start : start + _CHUNK] = (entries & NUMBER).astype(np.int32) - 1


def _compiled() -> Reader:
    import numba  # not at the top: see the docstring of this module

    if getattr(numba.config, "DISABLE_JIT", False):
        raise RuntimeError("NUMBA_DISABLE_JIT is set")
    # Naming the types makes it compile here and now, where a failure can still be caught.
    compiled: Reader = numba.njit(_SIGNATURE, cache=True)(read_with_loop)
    return compiled
