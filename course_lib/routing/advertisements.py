"""Link-state advertisements, and which of two is newer (RFC 2328, sections 12.1 and 13.1).

An advertisement says what one router sees around itself: its neighbours and its own networks, with
costs. Copies of it lie in every router, so each carries a header that settles which copy counts:

* the sequence number, a signed 32-bit number that only grows. It starts near the lowest value, not
  at 0, so that there is no wrap for centuries; the lowest value itself is not used;
* the age. It grows while a copy travels and while it is kept. A copy of the highest age is dead,
  and announcing the dead copy is how an advertisement is taken back;
* the checksum, which decides between two bodies of the same sequence number (a router that
  restarted can produce them), and shows damage.

Real routers: the checksum is Fletcher's, over octets (RFC 2328, section 12.1.7). Messages here are
values, so ours is a CRC-32 over the printed body.
"""

__all__ = [
    "FIRST_SEQUENCE",
    "HIGHEST_COST",
    "LAST_SEQUENCE",
    "MAX_AGE_DIFFERENCE_S",
    "MAX_AGE_S",
    "Advertisement",
    "AdvertisementHeader",
    "compare",
    "make_advertisement",
    "problem_with_advertisement",
    "problem_with_header",
]

import zlib
from typing import Generic, NamedTuple

from course_lib.routing.protocol import Destination, is_cost, is_hashable

# RFC 2328, appendix B.
FIRST_SEQUENCE = -0x7FFFFFFF  # 0x80000001 as a signed number; 0x80000000 is reserved
LAST_SEQUENCE = 0x7FFFFFFF
MAX_AGE_S = 3600
MAX_AGE_DIFFERENCE_S = 900  # copies whose ages differ by less count as the same

HIGHEST_COST = 0xFFFF  # RFC 2328, section A.4.2: a cost has 16 bits


class AdvertisementHeader(NamedTuple):
    """What identifies one copy of the advertisement of `router`."""

    router: str
    sequence: int
    age_s: float
    checksum: int


class Advertisement(NamedTuple, Generic[Destination]):
    """A header, the neighbours with the cost of reaching them, the own networks with theirs."""

    header: AdvertisementHeader
    neighbours: tuple[tuple[str, int], ...]
    networks: tuple[tuple[Destination, int], ...]

    def at_age(self, age_s: float) -> "Advertisement[Destination]":
        """Return a copy of this age, at most the highest."""
        return self._replace(header=self.header._replace(age_s=min(age_s, MAX_AGE_S)))


def make_advertisement(
    router: str,
    sequence: int,
    neighbours: tuple[tuple[str, int], ...],
    networks: tuple[tuple[Destination, int], ...],
) -> Advertisement[Destination]:
    """Return a fresh advertisement, of age 0 and with the right checksum."""
    checksum = _checksum(router, sequence, neighbours, networks)
    header = AdvertisementHeader(router, sequence, 0, checksum)
    return Advertisement(header, neighbours, networks)


def compare(one: AdvertisementHeader, other: AdvertisementHeader) -> int:
    """Return 1 if `one` is newer than `other`, -1 if it is older, 0 for the same instance.

    Age enters last, and only if it differs much: a copy that took a detour is a little older.

    >>> compare(AdvertisementHeader("Reed", 5, 1800, 0), AdvertisementHeader("Reed", 4, 0, 0))
    1
    """
    if one.sequence != other.sequence:
        return 1 if one.sequence > other.sequence else -1
    if one.checksum != other.checksum:
        return 1 if one.checksum > other.checksum else -1
    dead, other_dead = one.age_s >= MAX_AGE_S, other.age_s >= MAX_AGE_S
    if dead != other_dead:
        return 1 if dead else -1
    if abs(one.age_s - other.age_s) > MAX_AGE_DIFFERENCE_S:
        return 1 if one.age_s < other.age_s else -1
    return 0


def problem_with_header(header: object) -> str | None:
    """Say what is wrong with something that ought to be a header, or return None."""
    if not isinstance(header, AdvertisementHeader) or not isinstance(header.router, str):
        return f"malformed header {header!r}"
    place = f"advertisement of {header.router!r}"
    if not is_cost(header.sequence, FIRST_SEQUENCE, LAST_SEQUENCE):
        return (
            f"{place}: sequence number {header.sequence!r} is not from {FIRST_SEQUENCE} to "
            f"{LAST_SEQUENCE} (RFC 2328, section 12.1.6)"
        )
    if not isinstance(header.age_s, int | float) or not 0 <= header.age_s <= MAX_AGE_S:
        return (
            f"{place}: age {header.age_s!r} s is not from 0 to {MAX_AGE_S} "
            "(RFC 2328, section 12.1.1)"
        )
    if not isinstance(header.checksum, int):
        return f"{place}: malformed checksum {header.checksum!r}"
    return None


def problem_with_advertisement(value: object) -> str | None:
    """Say what is wrong with something that ought to be an advertisement, or return None."""
    if not isinstance(value, Advertisement):
        return f"malformed advertisement {value!r}"
    problem = problem_with_header(value.header)
    if problem is not None:
        return problem
    place = f"advertisement of {value.header.router!r}"
    problem = _problem_with_body(value)
    if problem is not None:
        return f"{place}: {problem}"
    router, sequence, _, checksum = value.header
    if checksum != _checksum(router, sequence, value.neighbours, value.networks):
        return f"{place}: checksum {checksum} does not fit the body: damaged on the way"
    return None


def _problem_with_body(advertisement: Advertisement[Destination]) -> str | None:
    """Check the two lists; a neighbour costs at least 1, a network at least 0 (12.4.1)."""
    lists = (("neighbour", advertisement.neighbours, 1), ("network", advertisement.networks, 0))
    for kind, items, lowest in lists:
        if not isinstance(items, tuple):
            return f"malformed list of {kind}s {items!r}"
        for place, item in enumerate(items, start=1):
            if not isinstance(item, tuple) or len(item) != 2 or not is_hashable(item[0]):
                return f"{kind} {place}: malformed {item!r}"
            name, cost = item
            if not is_cost(cost, lowest, HIGHEST_COST):
                return (
                    f"{kind} {place} ({name!r}): cost {cost!r} is not a whole number from {lowest} "
                    f"to {HIGHEST_COST} (RFC 2328, section 12.4.1)"
                )
            if kind == "neighbour" and name == advertisement.header.router:
                return f"neighbour {place} ({name!r}) is the router itself"
    return None


def _checksum(router: str, sequence: int, *body: object) -> int:
    """Return a check value over everything but the age, which changes on the way."""
    return zlib.crc32(repr((router, sequence, body)).encode())
