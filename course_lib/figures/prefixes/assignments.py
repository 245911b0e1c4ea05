"""Which prefix is whose, and what a router announces for all of them.

Assignments never overlap. Each of them has a holder; a holder may have several. What is announced
has no holders: it is the fewest prefixes that hold the same addresses.
"""

__all__ = ["Assigned", "ChangeError", "checked", "holder_of", "joined", "moved", "split_up"]

from collections.abc import Mapping
from itertools import pairwise

from course_lib.prefixes.prefix import Prefix, prefix_around, split

Assigned = Mapping[Prefix, str]  # prefix and holder, by address


class ChangeError(ValueError):
    """A change that makes no sense; the message says why, for who wanted it."""


def checked(assigned: Assigned) -> Assigned:
    """Return assignments by address; raise `ChangeError` where two of them overlap.

    >>> checked({Prefix(8, 32): "Gull", Prefix(0, 30): "Reed"})
    {Prefix(0.0.0.0/30): 'Reed', Prefix(0.0.0.8/32): 'Gull'}
    """
    in_order = dict(sorted(assigned.items()))
    for one, other in pairwise(in_order):
        if one.covers(other):
            raise ChangeError(f"{other} of {assigned[other]} lies in {one} of {assigned[one]}")
    return in_order


def holder_of(assigned: Assigned, address: int) -> Prefix | None:
    """Return the assigned prefix in which an address lies; None if it is nobody's."""
    return next((prefix for prefix in assigned if prefix.contains(address)), None)


def split_up(assigned: Assigned, prefix: Prefix) -> Assigned:
    """Cut a prefix into its two halves; both stay with the holder."""
    if prefix.length == prefix.bits:
        raise ChangeError(f"{prefix} is one address, and has no halves")
    halves = dict.fromkeys(split(prefix, prefix.length + 1), assigned[prefix])
    return checked({**_without(assigned, prefix), **halves})


def joined(assigned: Assigned, prefix: Prefix) -> tuple[Assigned, Prefix]:
    """Join a prefix with the other half of their whole; return the whole as well.

    Two prefixes side by side are not always halves of one: the whole begins at the lower half.
    """
    if prefix.length == 0:
        raise ChangeError(f"{prefix} is all there is")
    whole = prefix_around(prefix.network, prefix.length - 1)
    other = next(half for half in split(whole, prefix.length) if half != prefix)
    holder = assigned[prefix]
    if assigned.get(other) != holder:
        raise ChangeError(f"{prefix} joins only with {other}, and {_why_not(assigned, other)}")
    return checked({**_without(_without(assigned, prefix), other), whole: holder}), whole


def moved(assigned: Assigned, prefix: Prefix, to: int, among: range) -> tuple[Assigned, Prefix]:
    """Move a prefix to another place; places count prefixes of that length from 0.0.0.0 on.

    If the place is taken, it goes on to the next free one in the same direction, as far as there
    are places `among` which to choose.
    """
    rest = 32 - prefix.length
    others = _without(assigned, prefix)
    way = 1 if to << rest >= prefix.network else -1
    while to in among:
        new = Prefix(to << rest, prefix.length)
        if not any(new.covers(one) or one.covers(new) for one in others):
            return checked({**others, new: assigned[prefix]}), new
        to += way
    raise ChangeError(f"further on there is no free place for {prefix}")


def _without(assigned: Assigned, prefix: Prefix) -> dict[Prefix, str]:
    return {one: holder for one, holder in assigned.items() if one != prefix}


def _why_not(assigned: Assigned, other: Prefix) -> str:
    if other in assigned:
        return f"that belongs to {assigned[other]}"
    if any(other.covers(one) for one in assigned):
        return "that is not in one piece"
    return "that is not assigned as a whole"
