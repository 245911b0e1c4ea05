"""Misconceptions about how many packets a router should let wait: exercise 10.4."""

__all__ = ["SMALLEST_BUFFER"]

import math
from collections.abc import Callable
from typing import Any


def right_pipe(rate: int, round_trip_ms: int) -> float:
    """Return rate times delay in packets of 1500 octets."""
    return rate * round_trip_ms / 12_000_000


def right_root(flows: int, in_step: bool) -> float:
    """Return what the pipe is divided by."""
    return 1 if in_step else math.sqrt(flows)


def buffer_for_each_flow(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that every flow needs a buffer of its own."""
    return math.ceil(right_pipe(rate, round_trip_ms) * flows)


def buffer_for_each_in_step(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that flows in step each need a whole pipe."""
    pipe = right_pipe(rate, round_trip_ms)
    return math.ceil(pipe * flows if in_step else pipe / math.sqrt(flows))


def buffer_by_flows(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that twice as many flows need half the buffer."""
    return math.ceil(right_pipe(rate, round_trip_ms) / (1 if in_step else flows))


def buffer_of_the_root_always(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the square root helps flows in step too."""
    return math.ceil(right_pipe(rate, round_trip_ms) / math.sqrt(flows))


def buffer_turned_round(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that flows in step are those that smooth each other out."""
    return math.ceil(right_pipe(rate, round_trip_ms) / right_root(flows, not in_step))


def buffer_of_the_thumb(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the number of flows plays no part."""
    return math.ceil(right_pipe(rate, round_trip_ms))


def buffer_the_wrong_way(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that more flows need more buffer, by the root."""
    return math.ceil(right_pipe(rate, round_trip_ms) * right_root(flows, in_step))


def buffer_of_the_root_of_all(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the root is taken of the whole quotient."""
    pipe = right_pipe(rate, round_trip_ms)
    return math.ceil(pipe if in_step else math.sqrt(pipe / flows))


def buffer_of_bits(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that a packet of 1500 octets takes 1500 bits."""
    pipe = rate * round_trip_ms / 1_500_000
    return math.ceil(pipe / right_root(flows, in_step))


def buffer_in_octets(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that octets are asked for."""
    octets = rate * round_trip_ms / 8000
    return math.ceil(octets / right_root(flows, in_step))


def buffer_of_data(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the 40 octets of headers take no room."""
    pipe = rate * round_trip_ms / (8000 * 1460)
    return math.ceil(pipe / right_root(flows, in_step))


def buffer_in_seconds(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the delay is in seconds."""
    return math.ceil(rate * round_trip_ms / 12_000 / right_root(flows, in_step))


def buffer_of_one_way(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the delay of one way, half a round trip, is what counts."""
    pipe = right_pipe(rate, round_trip_ms) / 2
    return math.ceil(pipe / right_root(flows, in_step))


def buffer_of_two_round_trips(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the delay is that of one way, so that it counts twice."""
    pipe = right_pipe(rate, round_trip_ms) * 2
    return math.ceil(pipe / right_root(flows, in_step))


def buffer_rounded_down(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that a part of a packet can be left out."""
    return math.floor(right_pipe(rate, round_trip_ms) / right_root(flows, in_step))


def buffer_rounded(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the nearest whole number of packets will do."""
    return round(right_pipe(rate, round_trip_ms) / right_root(flows, in_step))


def buffer_rounded_early(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the pipe is rounded up first, and the buffer once more."""
    return math.ceil(math.ceil(right_pipe(rate, round_trip_ms)) / right_root(flows, in_step))


def buffer_of_a_whole_root(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that a root is a whole number."""
    return math.ceil(right_pipe(rate, round_trip_ms) / math.isqrt(1 if in_step else flows))


def buffer_with_one_more(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that rounding up adds one, whether anything is left or not."""
    return math.floor(right_pipe(rate, round_trip_ms) / right_root(flows, in_step)) + 1


SMALLEST_BUFFER: dict[str, Callable[..., Any]] = {
    "buffer-for-each-flow": buffer_for_each_flow,
    "in-step-adds-up": buffer_for_each_in_step,
    "flows-instead-of-root": buffer_by_flows,
    "root-for-flows-in-step": buffer_of_the_root_always,
    "in-step-turned-round": buffer_turned_round,
    "flows-do-not-matter": buffer_of_the_thumb,
    "more-flows-more-buffer": buffer_the_wrong_way,
    "root-of-the-whole": buffer_of_the_root_of_all,
    "bits-for-octets": buffer_of_bits,
    "octets-for-packets": buffer_in_octets,
    "headers-take-no-room": buffer_of_data,
    "milliseconds-as-seconds": buffer_in_seconds,
    "one-way-for-round-trip": buffer_of_one_way,
    "round-trip-twice": buffer_of_two_round_trips,
    "rounds-down": buffer_rounded_down,
    "nearest-whole-packet": buffer_rounded,
    "rounds-up-too-early": buffer_rounded_early,
    "root-is-whole": buffer_of_a_whole_root,
    "always-one-packet-more": buffer_with_one_more,
}
