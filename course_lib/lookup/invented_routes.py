"""Invented route tables of any size, with the shape of the Internet's, from a seed.

No real table is copied: the prefixes are drawn at random from nearly all of the unicast space, and
whoever holds such an address in the real world has nothing to do with it. Use them inside a
program or an isolated network only. (The ranges set aside for documentation by RFC 5737 have room
for three routes of length 24; a table of a million needs the whole space.)

Two traits of the Internet's table decide how hard a lookup is, and are imitated:

* how many prefixes have which length: `LENGTHS_PER_100_000`;
* nesting: half of the prefixes lie inside a shorter one that is in the table too.
"""

__all__ = ["LENGTHS_PER_100_000", "RouteTable", "invent_routes"]

from collections.abc import Callable
from functools import partial
from types import MappingProxyType
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import IPV4_BITS

# From memory, rounded: the weekly routing table report by Philip Smith ("prefixes announced per
# prefix length"), years around a million prefixes; it was not at hand for comparison. Prefixes
# longer than 24 bits are filtered between networks and occur mostly inside them. Here they are
# 0.07 % together, what Gupta, Lin, McKeown (INFOCOM 1998, figure 1) report for an exchange point;
# how these few are spread over 25 to 32 is our own choice.
LENGTHS_PER_100_000 = MappingProxyType(
    {
        8: 2, 9: 1, 10: 4, 11: 10, 12: 30, 13: 60, 14: 120, 15: 200, 16: 1_350, 17: 850, 18: 1_400,
        19: 2_500, 20: 4_400, 21: 5_100, 22: 11_200, 23: 10_000, 24: 62_703,
        25: 5, 26: 8, 27: 8, 28: 8, 29: 10, 30: 12, 31: 3, 32: 16,
    }
)  # fmt: skip

# From memory: reports on the Internet's table by Geoff Huston, year after year.
_SHARE_INSIDE_ANOTHER = 0.5
# First octets of unicast addresses, without "this network" (0) and loopback (127): RFC 6890.
_FIRST_OCTETS = np.array([octet for octet in range(1, 224) if octet != 127])
_ROUNDS = 40  # of drawing until there are enough different prefixes; two or three are usual

_Numbers: TypeAlias = NDArray[np.int64]


class RouteTable(NamedTuple):
    """Routes as three arrays of one length, sorted by prefix: entry i of each makes route i."""

    networks: NDArray[np.uint32]
    lengths: NDArray[np.uint8]
    next_hops: NDArray[np.int32]

    def prefixes(self) -> list[Prefix]:
        """Return the prefix of every route."""
        pairs = zip(self.networks.tolist(), self.lengths.tolist(), strict=True)
        return [Prefix(network, length) for network, length in pairs]


def invent_routes(size: int, seed: int, next_hop_count: int = 200) -> RouteTable:
    """Return `size` different prefixes, each with a next hop below `next_hop_count`.

    The same arguments give the same table. Up to a million and a half routes, half of them lie
    inside another; beyond that the space fills up and more do. Raises ValueError where it is full,
    before three million routes.

    >>> invent_routes(3, seed=1).prefixes()
    [Prefix(106.131.4.0/22), Prefix(106.131.4.0/24), Prefix(169.243.81.0/24)]
    """
    if size < 0:
        raise ValueError(f"a table cannot have {size} routes")
    rng = np.random.default_rng(seed)
    networks = lengths = np.empty(0, np.int64)
    outer = (networks, networks)  # first and last addresses of those inside no other
    for length, count in _counts(size).items():
        alone = count - int(count * _SHARE_INSIDE_ANOTHER) if networks.size else count
        outside = _different(partial(_draw_outside, rng, length, outer), alone)
        inside = _different(
            partial(_draw_inside, rng, length, networks, lengths), count - outside.size
        )
        if outside.size + inside.size < count:
            raise ValueError(
                f"no room for {count} prefixes of length {length}: ask for fewer routes"
            )
        outer = _with(outer, outside, length)
        networks = np.concatenate([networks, outside, inside])
        lengths = np.concatenate([lengths, np.full(count, length)])
    in_order = np.lexsort((lengths, networks))
    return RouteTable(
        networks[in_order].astype(np.uint32),
        lengths[in_order].astype(np.uint8),
        rng.integers(0, next_hop_count, size, dtype=np.int32),
    )


def _counts(size: int) -> dict[int, int]:
    """Return how many prefixes of each length make up `size`, by the largest remainders."""
    exact = {length: size * share / 100_000 for length, share in LENGTHS_PER_100_000.items()}
    counts = {length: int(number) for length, number in exact.items()}
    by_remainder = sorted(exact, key=lambda length: counts[length] - exact[length])
    for length in by_remainder[: size - sum(counts.values())]:
        counts[length] += 1
    return counts


def _different(draw: Callable[[int], _Numbers], count: int) -> _Numbers:
    """Draw until there are `count` different numbers, or as many as there seem to be."""
    found = np.empty(0, np.int64)
    for _ in range(_ROUNDS):
        if found.size == count:
            break
        found = np.sort(np.concatenate([found, draw(count - found.size)]))
        found = found[np.diff(found, prepend=-1) > 0]  # np.unique takes ten times as long here
    return found


def _draw_outside(
    rng: np.random.Generator, length: int, outer: tuple[_Numbers, _Numbers], count: int
) -> _Numbers:
    """Draw networks anywhere, and drop those inside one of the `outer` ranges."""
    drawn = rng.choice(_FIRST_OCTETS, count) << 24 | rng.integers(0, 1 << 24, count)
    drawn &= _mask(length)
    firsts, lasts = outer
    if not firsts.size:
        return drawn
    before = np.searchsorted(firsts, drawn, side="right") - 1
    return drawn[(before < 0) | (drawn > lasts[before])]


def _draw_inside(
    rng: np.random.Generator, length: int, networks: _Numbers, lengths: _Numbers, count: int
) -> _Numbers:
    """Draw networks inside prefixes, all of them shorter, that are in the table."""
    if not networks.size:
        return networks
    around = rng.integers(0, networks.size, count)
    free_bits = _mask(length) & ~_mask(lengths[around])
    drawn: _Numbers = networks[around] | rng.integers(0, 1 << IPV4_BITS, count) & free_bits
    return drawn


def _with(
    outer: tuple[_Numbers, _Numbers], more: _Numbers, length: int
) -> tuple[_Numbers, _Numbers]:
    """Add prefixes to the ranges in `outer`, which stay sorted and never overlap."""
    firsts = np.concatenate([outer[0], more])
    lasts = np.concatenate([outer[1], more + (1 << (IPV4_BITS - length)) - 1])
    in_order = np.argsort(firsts)
    return firsts[in_order], lasts[in_order]


def _mask(length: Any) -> Any:
    """Return the mask of one length, or of each in an array."""
    return -1 << (IPV4_BITS - length) & 0xFFFFFFFF
