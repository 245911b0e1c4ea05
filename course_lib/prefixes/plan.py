"""An address plan: hand out the parts of one block to places that need them.

A place asks for a prefix length, not for a number of addresses, because blocks come in powers of
two. The rules of the plan:

* every prefix lies inside the block, and no two overlap;
* the longest lengths (smallest blocks) are placed last, each into the smallest hole that takes it.
  With powers of two this never fails while a fitting plan exists.

How many hosts an IPv4 length has room for: RFC 950 and RFC 1812, section 4.2.2.11 (the all-zeros
and all-ones host numbers are taken); RFC 3021 for /31.
"""

__all__ = ["PlanError", "allocate", "check_plan", "free_space", "host_count", "length_for_hosts"]

from collections.abc import Iterable, Mapping
from itertools import pairwise

from course_lib.prefixes.prefix import Prefix, prefixes_of_range
from course_lib.prefixes.text import IPV4_BITS, PrefixError

_NOT_FOR_HOSTS = 2  # the network's own number and the directed broadcast
_POINT_TO_POINT = 31  # RFC 3021: a /31 needs neither


class PlanError(PrefixError):
    """A plan that overlaps, leaves its block or does not fit; the message names the place."""


def allocate(
    block: Prefix, lengths: Mapping[str, int], keep: Mapping[str, Prefix] | None = None
) -> dict[str, Prefix]:
    """Give every place a prefix of the length it asks for.

    keep: places that have their prefix already and stay where they are.

    Returns kept and new places, by first address. Raises PlanError if it cannot fit.

    >>> allocate(Prefix(0xC0000200, 24), {"Reed Pier": 26, "Lantern Pier": 25})
    {'Lantern Pier': Prefix(192.0.2.0/25), 'Reed Pier': Prefix(192.0.2.128/26)}
    """
    done = dict(keep or {})
    _check_requests(block, lengths, done)
    check_plan(block, done)
    holes = free_space(block, done.values())
    for place, length in sorted(lengths.items(), key=lambda request: request[1]):
        fitting = [hole for hole in holes if hole.length <= length]
        if not fitting:
            raise PlanError(_no_room(place, length, block, holes))
        # The smallest hole that takes it: a larger one stays whole for whoever needs it whole.
        hole = max(fitting, key=lambda candidate: candidate.length)
        done[place] = Prefix(hole.network, length, block.bits)
        holes.remove(hole)
        holes += free_space(hole, [done[place]])
    return dict(sorted(done.items(), key=lambda entry: entry[1]))


def check_plan(block: Prefix, places: Mapping[str, Prefix]) -> None:
    """Raise PlanError if a place lies outside the block or overlaps another place."""
    in_order = sorted(places.items(), key=lambda entry: entry[1])
    for place, prefix in in_order:
        if not block.covers(prefix):
            raise PlanError(f"{place}: {prefix} lies outside the block {block}")
    # Sorted, a covering prefix is followed at once by one that it covers: neighbours suffice.
    for (place, prefix), (other, inner) in pairwise(in_order):
        if prefix.covers(inner):
            raise PlanError(f"{other}: {inner} overlaps {prefix} of {place}; move one of them")


def free_space(block: Prefix, taken: Iterable[Prefix]) -> list[Prefix]:
    """Return what is left of `block`, as the fewest prefixes, in order.

    >>> free_space(Prefix(0xC0000200, 24), [Prefix(0xC0000240, 26)])
    [Prefix(192.0.2.0/26), Prefix(192.0.2.128/25)]
    """
    free: list[Prefix] = []
    start = block.first
    for prefix in sorted(taken):
        if prefix.first > start:
            free += prefixes_of_range(start, prefix.first - 1, block.bits)
        start = max(start, prefix.last + 1)
    if start <= block.last:
        free += prefixes_of_range(start, block.last, block.bits)
    return free


def host_count(prefix: Prefix) -> int:
    """Return how many hosts an IPv4 prefix has room for; 2 for a /31 (RFC 3021), 1 for a /32.

    >>> host_count(Prefix(0xC0000200, 24))
    254
    """
    if prefix.bits != IPV4_BITS:
        raise PrefixError(f"{prefix}: the host count follows IPv4's rules, this is IPv6")
    if prefix.length >= _POINT_TO_POINT:
        return prefix.size
    return prefix.size - _NOT_FOR_HOSTS


def length_for_hosts(hosts: int) -> int:
    """Return the length of the smallest IPv4 prefix for a link with that many hosts.

    Two addresses more are counted, which no host may have. A link that is known to have
    exactly two ends can do with 31 (RFC 3021), a lone address with 32: then ask for that.

    >>> length_for_hosts(62), length_for_hosts(63)
    (26, 25)
    """
    most = (1 << IPV4_BITS) - _NOT_FOR_HOSTS
    if not 1 <= hosts <= most:
        raise PlanError(f"number of hosts must be 1 to {most}, not {hosts}")
    return IPV4_BITS - (hosts + _NOT_FOR_HOSTS - 1).bit_length()


def _check_requests(block: Prefix, lengths: Mapping[str, int], keep: Mapping[str, Prefix]) -> None:
    for place, length in lengths.items():
        if place in keep:
            raise PlanError(f"{place} asks for a /{length} but keeps {keep[place]}: choose one")
        if not 0 <= length <= block.bits:
            raise PlanError(f"{place}: prefix length must be 0 to {block.bits}, not {length}")


def _no_room(place: str, length: int, block: Prefix, holes: list[Prefix]) -> str:
    left = ", ".join(str(hole) for hole in sorted(holes)) or "nothing"
    return f"{place} needs a /{length} and {block} has no hole of that size; still free: {left}"
