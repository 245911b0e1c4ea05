"""Prefixes: parse, print, contain, split, aggregate (RFC 4632).

An address is a plain whole number here, so that masks and ranges are arithmetic and not text (see
`text`). A `Prefix` is the number of its first address together with its length in bits:

* the first `length` bits are fixed, the others run through all values;
* so a prefix of length n holds 2**(32 - n) addresses and starts at a multiple of that;
* so two prefixes are either disjoint, or one lies inside the other. They never half overlap.

Everything works for IPv6 too (`bits` is 128 then). What the prefixes are handed out for is the
business of `plan`, and which addresses are special that of `special`.
"""

__all__ = [
    "Prefix",
    "aggregate",
    "length_of_mask",
    "parse_prefix",
    "prefix_around",
    "prefixes_of_range",
    "split",
]

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple, Self

from course_lib.prefixes.text import (
    IPV4_BITS,
    IPV6_BITS,
    PrefixError,
    check_address,
    check_family,
    format_address,
    parse_address,
)

_LENGTH = re.compile(r"0|[1-9][0-9]{0,2}")


class _PrefixFields(NamedTuple):
    network: int
    length: int
    bits: int = IPV4_BITS


class Prefix(_PrefixFields):
    """All addresses that share their first `length` bits.

    network: number of the first address; the bits behind the prefix must be zero.
    bits: 32 for IPv4, 128 for IPv6.

    Prefixes sort by first address, a covering prefix before those inside it.
    Raises PrefixError for a length out of range or a network with host bits set.

    >>> str(Prefix(0x0A180000, 13))
    '10.24.0.0/13'
    """

    __slots__ = ()

    def __new__(cls, network: int, length: int, bits: int = IPV4_BITS) -> Self:
        """Check all three fields; only the inherited `_replace` and `_make` go around this."""
        check_family(bits)
        if not 0 <= length <= bits:
            raise PrefixError(f"prefix length must be 0 to {bits}, not {length}")
        check_address(network, bits)
        if network & _host_mask(length, bits):
            raise PrefixError(
                f"{format_address(network, bits)}/{length} has host bits set: bits behind the "
                f"first {length} must be zero; it lies in {prefix_around(network, length, bits)}"
            )
        return super().__new__(cls, network, length, bits)

    @property
    def first(self) -> int:
        """The lowest address inside."""
        return self.network

    @property
    def last(self) -> int:
        """The highest address inside (on an IPv4 link: the directed broadcast)."""
        return self.network | _host_mask(self.length, self.bits)

    @property
    def size(self) -> int:
        """How many addresses are inside (RFC 4632, section 3.1)."""
        return 1 << (self.bits - self.length)

    @property
    def mask(self) -> int:
        """The mask: `length` ones, then zeros."""
        return _mask(self.length, self.bits)

    def contains(self, address: int) -> bool:
        """Return True if `address` starts with the bits of this prefix."""
        return (address ^ self.network) >> (self.bits - self.length) == 0

    def covers(self, other: "Prefix") -> bool:
        """Return True if all of `other` lies inside; a prefix covers itself.

        An IPv4 prefix never covers an IPv6 prefix, nor the other way round.
        """
        shorter = self.bits == other.bits and self.length <= other.length
        return shorter and self.contains(other.network)

    def __str__(self) -> str:
        return f"{format_address(self.network, self.bits)}/{self.length}"

    def __repr__(self) -> str:
        return f"Prefix({self})"


def parse_prefix(text: str) -> Prefix:
    """Read a prefix such as 10.24.0.0/13, 10.24.0.0/255.248.0.0 or 2001:db8::/32.

    >>> parse_prefix("192.0.2.0/255.255.255.128")
    Prefix(192.0.2.0/25)
    """
    address, slash, behind = text.partition("/")
    if not slash:
        raise PrefixError(f"{text!r} has no length: write one behind a slash, as in 192.0.2.0/24")
    bits = IPV6_BITS if ":" in address else IPV4_BITS
    network = parse_address(address)
    if "." in behind and bits == IPV4_BITS:
        return Prefix(network, length_of_mask(parse_address(behind)), bits)
    return Prefix(network, _length_from_text(text, behind, bits), bits)


def prefix_around(address: int, length: int, bits: int = IPV4_BITS) -> Prefix:
    """Return the prefix of that length which holds `address`: the host bits are cleared.

    >>> prefix_around(parse_address("198.51.100.77"), 26)
    Prefix(198.51.100.64/26)
    """
    check_family(bits)
    check_address(address, bits)
    return Prefix(address & _mask(length, bits) if 0 <= length <= bits else 0, length, bits)


def length_of_mask(mask: int, bits: int = IPV4_BITS) -> int:
    """Return how many ones `mask` starts with; a one behind a zero is refused.

    RFC 950 still allowed such gaps; prefixes leave no room for them (RFC 4632, section 3.1).

    >>> length_of_mask(0xFFF80000)
    13
    """
    check_address(mask, bits)
    length = mask.bit_count()
    if mask != _mask(length, bits):
        raise PrefixError(
            f"mask {format_address(mask, bits)} is not contiguous: "
            "all ones must stand before the first zero"
        )
    return length


def split(prefix: Prefix, length: int) -> Iterator[Prefix]:
    """Cut `prefix` into all prefixes of the given, longer or equal, length, in order.

    >>> [str(part) for part in split(parse_prefix("192.0.2.0/24"), 25)]
    ['192.0.2.0/25', '192.0.2.128/25']
    """
    if not prefix.length <= length <= prefix.bits:
        raise PrefixError(
            f"{prefix} can be split into lengths {prefix.length} to {prefix.bits}, not {length}"
        )
    step = 1 << (prefix.bits - length)
    firsts = range(prefix.first, prefix.last + 1, step)
    return (Prefix(first, length, prefix.bits) for first in firsts)


def aggregate(prefixes: Iterable[Prefix]) -> list[Prefix]:
    """Return the fewest prefixes that hold exactly the same addresses, in order.

    Drops what another prefix covers and joins two halves into their whole, as long as either
    is possible. This says nothing of next hops: join only what is routed the same way.

    >>> aggregate([Prefix(0, 9), Prefix(1 << 23, 9), Prefix(0, 30)])
    [Prefix(0.0.0.0/8)]
    """
    kept: list[Prefix] = []
    for prefix in sorted(prefixes):
        if kept and kept[-1].covers(prefix):
            continue
        kept.append(prefix)
        while len(kept) > 1 and _are_halves(kept[-2], kept[-1]):
            whole = kept[-2]
            kept[-2:] = [Prefix(whole.network, whole.length - 1, whole.bits)]
    return kept


def prefixes_of_range(first: int, last: int, bits: int = IPV4_BITS) -> list[Prefix]:
    """Return the fewest prefixes that hold exactly the addresses `first` to `last`.

    At each step it takes the largest block that starts here and does not reach too far.
    """
    check_address(first, bits)
    check_address(last, bits)
    if first > last:
        raise PrefixError(
            f"range ends before it starts: {format_address(first, bits)} "
            f"to {format_address(last, bits)}"
        )
    found: list[Prefix] = []
    while first <= last:
        aligned = (first & -first).bit_length() - 1 if first else bits  # trailing zero bits
        room = (last - first + 1).bit_length() - 1
        found.append(Prefix(first, bits - min(aligned, room), bits))
        first = found[-1].last + 1
    return found


def _are_halves(left: Prefix, right: Prefix) -> bool:
    """Return True if the two together are exactly one prefix of one bit less."""
    same_kind = left.length == right.length and left.bits == right.bits
    return same_kind and left.network ^ right.network == left.size


def _mask(length: int, bits: int) -> int:
    return ((1 << length) - 1) << (bits - length)


def _host_mask(length: int, bits: int) -> int:
    return (1 << (bits - length)) - 1


def _length_from_text(text: str, behind: str, bits: int) -> int:
    """Read the length `behind` the slash of `text`: no sign, space or leading zero."""
    if not _LENGTH.fullmatch(behind) or int(behind) > bits:
        raise PrefixError(
            f"{text!r}: the prefix length is {behind!r}, "
            f"must be a number from 0 to {bits} without leading zeros"
        )
    return int(behind)
