"""Checks of whole arrays of addresses and routes, before the direct-index table believes them.

NumPy would take much of what is refused here without a word: it wraps a number that is too large,
counts a negative index from the end, and cuts off what stands behind the point.
"""

__all__ = ["as_addresses", "in_order"]

from operator import index
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course_lib.lookup.protocol import MAX_NEXT_HOP, Addresses, check_next_hop
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import IPV4_BITS, check_address

_HOP_BITS = MAX_NEXT_HOP.bit_length()
_HOST_MASKS = np.array([(1 << (IPV4_BITS - n)) - 1 for n in range(IPV4_BITS + 1)], np.uint32)


def as_addresses(addresses: Addresses) -> NDArray[np.uint32]:
    """Return IPv4 addresses as one row of `uint32`; not a copy if they are just that already.

    Raises ValueError for a number that is no address, TypeError for what is no whole number.
    """
    if not isinstance(addresses, np.ndarray):
        addresses = np.array([index(address) for address in addresses], dtype=object)
    else:
        _check_whole(addresses)
    if addresses.ndim != 1:
        raise ValueError(f"addresses must be one row of numbers, not {addresses.ndim} dimensions")
    if addresses.dtype != np.uint32 and addresses.size:
        check_address(int(addresses.min()), IPV4_BITS)
        check_address(int(addresses.max()), IPV4_BITS)
    return np.require(addresses, np.uint32, ["C", "W"])


def in_order(
    networks: NDArray[Any], lengths: NDArray[Any], next_hops: NDArray[Any]
) -> tuple[NDArray[np.int64], NDArray[np.uint32], list[int]]:
    """Check routes and sort them, the shortest prefixes first, those of one length by address.

    Returns networks, next hops, and for each length n how many routes are at most n long.

    Raises ValueError if some route makes no sense, with its place, or if a prefix comes twice;
    TypeError if an array holds anything but whole numbers.
    """
    for array in (networks, lengths, next_hops):
        _check_whole(array)
    if not networks.shape == lengths.shape == next_hops.shape == (networks.size,):
        shapes = f"{networks.shape}, {lengths.shape}, {next_hops.shape}"
        raise ValueError(f"networks, lengths and next hops must be three equal rows, not {shapes}")
    if not (_in_range(networks, 0xFFFFFFFF) and _in_range(lengths, IPV4_BITS)):
        _refuse_first_bad(networks, lengths, next_hops)
    firsts = networks.astype(np.uint32, copy=False)
    if not _in_range(next_hops, MAX_NEXT_HOP) or (firsts & _HOST_MASKS[lengths]).any():
        _refuse_first_bad(networks, lengths, next_hops)
    # Sorting one row of numbers is far quicker than sorting three rows alike.
    routes = lengths.astype(np.int64)
    for column, bits in ((firsts, IPV4_BITS), (next_hops.astype(np.int32, copy=False), _HOP_BITS)):
        routes <<= bits  # in place: fresh memory costs as much as the arithmetic
        routes |= column
    routes.sort()
    prefixes = routes >> _HOP_BITS
    _check_different(prefixes)
    ends = np.searchsorted(prefixes, np.arange(1, IPV4_BITS + 2) << IPV4_BITS).tolist()
    routes &= (1 << _HOP_BITS) - 1
    prefixes &= 0xFFFFFFFF
    return prefixes, routes.astype(np.uint32), ends


def _check_whole(array: NDArray[Any]) -> None:
    if array.dtype.kind not in "iu":
        raise TypeError(f"the array must hold whole numbers, not {array.dtype}")


def _in_range(array: NDArray[Any], most: int) -> bool:
    return not array.size or (int(array.min()) >= 0 and int(array.max()) <= most)


def _refuse_first_bad(
    networks: NDArray[Any], lengths: NDArray[Any], next_hops: NDArray[Any]
) -> None:
    """Raise what building the first bad route by hand would raise, together with its place."""
    routes = zip(networks.tolist(), lengths.tolist(), next_hops.tolist(), strict=True)
    for place, (network, length, next_hop) in enumerate(routes):
        try:
            Prefix(network, length)
            check_next_hop(next_hop)
        except ValueError as error:
            raise ValueError(f"route {place}: {error}") from error


def _check_different(prefixes: NDArray[np.int64]) -> None:
    twice = prefixes[1:][prefixes[1:] == prefixes[:-1]]
    if twice.size:
        prefix = Prefix(int(twice[0]) & 0xFFFFFFFF, int(twice[0]) >> IPV4_BITS)
        raise ValueError(f"{prefix} is given twice")
