"""What every lookup table promises, and the checks that all of them share.

A table maps prefixes to next hops. A next hop is a small number here, an index into whatever list
of neighbours the router keeps; the table does not care what stands there.

The answer for an address is the next hop of the longest prefix that holds it. Two different
prefixes of one length never hold the same address, so there is never a tie.
"""

__all__ = [
    "MAX_NEXT_HOP",
    "NO_ROUTE",
    "Addresses",
    "LookupTable",
    "NextHops",
    "check_next_hop",
    "check_prefix",
    "no_such_route",
]

from collections.abc import Iterable
from typing import Any, Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from course_lib.prefixes.prefix import Prefix

NO_ROUTE = -1  # "no prefix holds this address", in an array, which cannot hold None
MAX_NEXT_HOP = (1 << 25) - 2  # the same for all tables; `direct_index` tells where it comes from

Addresses: TypeAlias = Iterable[int] | NDArray[np.integer[Any]]
NextHops: TypeAlias = NDArray[np.int32]


class LookupTable(Protocol):
    """Longest prefix match over prefixes of one family."""

    bits: int  # 32 for IPv4, 128 for IPv6

    def insert(self, prefix: Prefix, next_hop: int) -> None:
        """Add a route, or give the route with this very prefix another next hop.

        Raises ValueError if the prefix is of the other family or the next hop is out of range.
        """

    def withdraw(self, prefix: Prefix) -> None:
        """Remove the route with exactly this prefix.

        Raises KeyError if there is none, even if a shorter prefix covers it.
        """

    def lookup(self, address: int) -> int | None:
        """Return the next hop for one address, None if no prefix holds it.

        Raises ValueError if the number is no address of this family.
        """

    def lookup_many(self, addresses: Addresses) -> NextHops:
        """Return the next hop for each address, `NO_ROUTE` where no prefix holds it.

        Here they are looked up one after the other, for tables that know no faster way.
        """
        # NumPy's own integers are slow one at a time and overflow; Python's do neither.
        numbers = addresses.tolist() if isinstance(addresses, np.ndarray) else addresses
        answers = map(self.lookup, numbers)
        return np.fromiter((NO_ROUTE if hop is None else hop for hop in answers), np.int32)

    def __len__(self) -> int:
        """Return the number of routes."""


def check_prefix(prefix: Prefix, bits: int) -> None:
    """Raise ValueError unless the prefix is of the family of a table with that many bits."""
    if prefix.bits != bits:
        raise ValueError(
            f"{prefix} has {prefix.bits}-bit addresses, this table has {bits}-bit ones"
        )


def check_next_hop(next_hop: int) -> None:
    """Raise ValueError unless every table can hold this next hop."""
    if not 0 <= next_hop <= MAX_NEXT_HOP:
        raise ValueError(f"next hop must be 0 to {MAX_NEXT_HOP}, not {next_hop}")


def no_such_route(prefix: Prefix) -> KeyError:
    """Return the error for withdrawing a route that is not there."""
    return KeyError(f"no route with the prefix {prefix} to withdraw")
