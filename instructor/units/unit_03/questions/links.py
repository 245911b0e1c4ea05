"""Questions of exercise 3.2: mask, ends and hosts of a link.

Host bits are never all zeros or all ones where that would hide something.
"""

__all__ = ["LINKS", "link_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import ask, printed, text

OCTETS = "whole octets"
INSIDE = "inside an octet"
EXTREME = "extreme lengths"
RFC_4632 = "RFC 4632, section 6.1 (the hosts are its addresses without two)"
CUSTOMERS = "RFC 4632, section 6.1, a customer's assignment (the hosts are its addresses without 2)"
RFC_950_1 = "RFC 950, appendix II, example 1 (hosts: section 2.1)"
RFC_950_2 = "RFC 950, appendix II, example 2 (its ends and hosts follow from the mask)"
RFC_3021 = "RFC 3021, section 2: both addresses are hosts"


def _printed(aspect: str, source: str, value: tuple[Any, ...], *arguments: Any) -> Question:
    return printed(aspect, source, value, *arguments)


LINKS = (
    ask(OCTETS, "203.0.113.77", 24),
    ask(OCTETS, "192.0.2.1", 24),
    ask(OCTETS, "10.20.30.40", 16),
    ask(OCTETS, "172.16.5.9", 24),
    ask(OCTETS, "10.20.30.40", 8),
    _printed(OCTETS, RFC_950_1, ("255.255.0.0", "36.40.0.0", "36.40.255.255", 65534),
             "36.40.0.123", 16),
    ask(INSIDE, "203.0.113.77", 26),
    ask(INSIDE, "198.51.100.130", 25),
    ask(INSIDE, "192.0.2.7", 30),
    ask(INSIDE, "192.0.2.69", 29),
    ask(INSIDE, "172.16.37.200", 20),
    ask(INSIDE, "10.1.2.255", 23),
    ask(INSIDE, "10.77.130.9", 10),
    ask(INSIDE, "10.99.98.97", 6),
    _printed(INSIDE, RFC_4632, ("255.248.0.0", "10.24.0.0", "10.31.255.255", 524286),
             "10.24.0.0", 13),
    _printed(INSIDE, CUSTOMERS, ("255.255.248.0", "10.24.0.0", "10.24.7.255", 2046),
             "10.24.0.0", 21),
    _printed(INSIDE, CUSTOMERS, ("255.255.252.0", "10.24.12.0", "10.24.15.255", 1022),
             "10.24.12.0", 22),
    _printed(INSIDE, RFC_950_2, ("255.255.252.0", "128.99.4.0", "128.99.7.255", 1022),
             "128.99.4.123", 22),
    ask(EXTREME, "203.0.113.7", 31),
    ask(EXTREME, "198.51.100.64", 31),
    _printed(EXTREME, RFC_3021, ("255.255.255.254", "192.0.2.0", "192.0.2.1", 2),
             "192.0.2.0", 31),
    ask(EXTREME, "203.0.113.7", 32),
    ask(EXTREME, "192.0.2.0", 32),
    ask(EXTREME, "198.51.100.255", 32),
    ask(EXTREME, "203.0.113.7", 0),
    ask(EXTREME, "10.20.30.40", 0),
)  # fmt: skip


def link_questions(rng: random.Random) -> list[Question]:
    """Draw links of every kind of length, each by some address in it."""
    drawn = [(OCTETS, length) for length in (8, 16, 16, 24, 24)]
    drawn += [(INSIDE, rng.randint(low, low + 4)) for low in (2, 10, 10, 18, 18, 26)]
    drawn += [(INSIDE, 30), (INSIDE, rng.choice((23, 22))), (INSIDE, rng.choice((7, 15)))]
    drawn += [(EXTREME, length) for length in (0, 0, 31, 31, 31, 32, 32, 32)]
    return [ask(aspect, _some_address(rng, length), length) for aspect, length in drawn]


def _some_address(rng: random.Random, length: int) -> str:
    """Draw an address with host bits of both kinds in it, as far as there are any.

    It lies in no range that ends with the last address of all.
    """
    free = 32 - length
    host = rng.randint(1, (1 << free) - 2) if free > 1 else rng.getrandbits(1) if free else 0
    while True:
        network = rng.randint(1 << 24, 0xDFFFFFFF) >> free << free if length > 3 else 1 << 29
        if length <= 3 or network >> 24 not in (0, 127):
            return text((network if length else 0) | host)
