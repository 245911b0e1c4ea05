"""Misconceptions about what fills a path: exercise 10.1."""

__all__ = ["FILL_PATH"]

import math
from collections.abc import Callable
from typing import Any

Pair = tuple[int, int]


def right_units(number: int, unit: int) -> int:
    """Return how many whole units the number needs."""
    return -(-number // unit)


def right_packets(octets: int, packet_octets: int) -> Pair:
    """Return octets, and the packets that they need."""
    return octets, right_units(octets, packet_octets)


def fill_with_bits(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that a rate in bit/s counts octets."""
    return right_packets(right_units(rate * (there_ms + back_ms), 1000), packet_octets)


def fill_packets_with_bits(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that a packet of 1500 octets takes 1500 of the bits."""
    bits = rate * (there_ms + back_ms)
    return right_units(bits, 8000), right_units(right_units(bits, 1000), packet_octets)


def fill_one_way(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that only the way there has to be full."""
    return right_packets(right_units(rate * there_ms, 8000), packet_octets)


def fill_the_way_back(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that only the wait for the acknowledgement counts."""
    return right_packets(right_units(rate * back_ms, 8000), packet_octets)


def fill_twice_there(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the way back takes as long as the way there."""
    return right_packets(right_units(rate * 2 * there_ms, 8000), packet_octets)


def fill_longer_way_twice(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the slower way counts for both."""
    octets = right_units(rate * 2 * max(there_ms, back_ms), 8000)
    return right_packets(octets, packet_octets)


def fill_mean_way(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the delay is the mean of both ways."""
    return right_packets(right_units(rate * (there_ms + back_ms), 16_000), packet_octets)


def fill_octets_rounded_down(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that a part of an octet does not count."""
    return right_packets(rate * (there_ms + back_ms) // 8000, packet_octets)


def fill_packets_rounded_down(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that a part of a packet does not count."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return octets, octets // packet_octets


def fill_rounded_down(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that no part of anything counts."""
    octets = rate * (there_ms + back_ms) // 8000
    return octets, octets // packet_octets


def fill_packets_of_whole_octets(
    rate: int, there_ms: int, back_ms: int, packet_octets: int
) -> Pair:
    """Believe that a part of an octet needs no packet."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return octets, right_units(rate * (there_ms + back_ms) // 8000, packet_octets)


def fill_floor_and_one(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that rounding up is to round down and add one, for octets and packets."""
    octets = rate * (there_ms + back_ms) // 8000 + 1
    return octets, octets // packet_octets + 1


def fill_octets_floor_and_one(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that octets are rounded up by adding one, whether anything is left or not."""
    octets = rate * (there_ms + back_ms) // 8000 + 1
    return octets, right_units(octets, packet_octets)


def fill_rounded(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the nearest whole number of packets will do."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return octets, (2 * octets + packet_octets) // (2 * packet_octets)


def fill_one_packet_more(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that rounding up adds one, whether anything is left or not."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return octets, octets // packet_octets + 1


def fill_each_way(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that each way may be rounded up alone."""
    octets = right_units(rate * there_ms, 8000) + right_units(rate * back_ms, 8000)
    return right_packets(octets, packet_octets)


def fill_whole_octets_first(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the rate may be cut to whole octets first."""
    return right_packets(right_units(rate // 8 * (there_ms + back_ms), 1000), packet_octets)


def fill_whole_seconds(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the delay may be cut to whole seconds first."""
    return right_packets(right_units(rate * ((there_ms + back_ms) // 1000), 8), packet_octets)


def fill_in_floats(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that floats hold what decimals say."""
    seconds = (there_ms + back_ms) / 1000
    return right_packets(math.ceil(rate * seconds / 8), packet_octets)


def fill_with_data(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that headers take no room on the line."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return octets, right_units(octets, packet_octets - 40)


def fill_with_headers_on_top(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that headers come on top of each packet."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return octets, right_units(octets, packet_octets + 40)


def fill_in_seconds(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the delays are in seconds."""
    return right_packets(right_units(rate * (there_ms + back_ms), 8), packet_octets)


def fill_packets_first(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the packets come first."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return right_units(octets, packet_octets), octets


FILL_PATH: dict[str, Callable[..., Any]] = {
    "bits-for-octets": fill_with_bits,
    "packets-of-bits": fill_packets_with_bits,
    "one-way-for-round-trip": fill_one_way,
    "way-back-alone": fill_the_way_back,
    "same-delay-both-ways": fill_twice_there,
    "longer-way-twice": fill_longer_way_twice,
    "mean-of-both-ways": fill_mean_way,
    "part-of-an-octet-left-out": fill_octets_rounded_down,
    "part-of-a-packet-left-out": fill_packets_rounded_down,
    "all-parts-left-out": fill_rounded_down,
    "nearest-whole-packet": fill_rounded,
    "always-one-packet-more": fill_one_packet_more,
    "packets-of-whole-octets": fill_packets_of_whole_octets,
    "always-one-more-of-both": fill_floor_and_one,
    "always-one-octet-more": fill_octets_floor_and_one,
    "each-way-rounded-up": fill_each_way,
    "rate-cut-to-whole-octets": fill_whole_octets_first,
    "delay-cut-to-whole-seconds": fill_whole_seconds,
    "floats-are-exact": fill_in_floats,
    "headers-take-no-room": fill_with_data,
    "headers-on-top": fill_with_headers_on_top,
    "milliseconds-as-seconds": fill_in_seconds,
    "packets-before-octets": fill_packets_first,
}
