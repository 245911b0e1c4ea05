"""Misconceptions about what a path and its buffer hold: exercises 10.1, 10.2 and 10.4."""

__all__ = ["FILL_PATH", "ONE_TOOTH", "SMALLEST_BUFFER"]

import math
from collections.abc import Callable
from typing import Any

Pair = tuple[int, int]
Tooth = tuple[int, int, float]


# 10.1 fill_path


def right_units(number: int, unit: int) -> int:
    """Return how many whole units the number needs."""
    return -(-number // unit)


def fill_with_bits(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that a rate in bit/s counts octets."""
    octets = right_units(rate * (there_ms + back_ms), 1000)
    return octets, right_units(octets, packet_octets)


def fill_packets_with_bits(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that a packet of 1500 octets takes 1500 of the bits."""
    bits = rate * (there_ms + back_ms)
    return right_units(bits, 8000), right_units(right_units(bits, 1000), packet_octets)


def fill_one_way(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that only the way there has to be full."""
    octets = right_units(rate * there_ms, 8000)
    return octets, right_units(octets, packet_octets)


def fill_twice_there(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the way back takes as long as the way there."""
    octets = right_units(rate * 2 * there_ms, 8000)
    return octets, right_units(octets, packet_octets)


def fill_rounded_down(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that a part of a packet does not count."""
    octets = rate * (there_ms + back_ms) // 8000
    return octets, octets // packet_octets


def fill_rounded(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the nearest whole number will do."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return octets, (2 * octets + packet_octets) // (2 * packet_octets)


def fill_with_data(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that headers take no room on the line."""
    octets = right_units(rate * (there_ms + back_ms), 8000)
    return octets, right_units(octets, packet_octets - 40)


def fill_in_seconds(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Pair:
    """Believe that the delays are in seconds."""
    octets = right_units(rate * (there_ms + back_ms), 8)
    return octets, right_units(octets, packet_octets)


FILL_PATH: dict[str, Callable[..., Any]] = {
    "bits-for-octets": fill_with_bits,
    "packets-of-bits": fill_packets_with_bits,
    "one-way-for-round-trip": fill_one_way,
    "same-delay-both-ways": fill_twice_there,
    "part-of-a-packet-left-out": fill_rounded_down,
    "nearest-whole-packet": fill_rounded,
    "headers-take-no-room": fill_with_data,
    "milliseconds-as-seconds": fill_in_seconds,
}


# 10.2 one_tooth


def right_share(windows: range, pipe: int) -> float:
    """Return what was sent as a share of what could have been sent."""
    return sum(windows) / sum(max(window, pipe) for window in windows)


def tooth_by_round_trips(pipe: int, room: int) -> Tooth:
    """Believe that each round trip takes as long, whether packets wait or not."""
    windows = range((pipe + room) // 2, pipe + room + 1)
    shares = [min(1.0, window / pipe) for window in windows]
    return windows[0], windows[-1], sum(shares) / len(shares)


def tooth_above_the_line(pipe: int, room: int) -> Tooth:
    """Believe that what waits is being sent as well."""
    windows = range((pipe + room) // 2, pipe + room + 1)
    return windows[0], windows[-1], sum(windows) / (len(windows) * pipe)


def tooth_without_the_buffer(pipe: int, room: int) -> Tooth:
    """Believe that a window ends where the pipe is full."""
    windows = range(pipe // 2, pipe + 1)
    return windows[0], windows[-1], right_share(windows, pipe)


def tooth_halving_the_pipe(pipe: int, room: int) -> Tooth:
    """Believe that after a loss half the pipe is left, however much was under way."""
    windows = range(pipe // 2, pipe + room + 1)
    return windows[0], windows[-1], right_share(windows, pipe)


def tooth_from_one(pipe: int, room: int) -> Tooth:
    """Believe that each loss makes the sender begin again with one packet."""
    windows = range(1, pipe + room + 1)
    return windows[0], windows[-1], right_share(windows, pipe)


def tooth_of_the_top(pipe: int, room: int) -> Tooth:
    """Believe that a line that gets full is full all the time."""
    return (pipe + room) // 2, pipe + room, 1.0


def tooth_of_the_bottom(pipe: int, room: int) -> Tooth:
    """Believe that the lowest window decides."""
    lowest = (pipe + room) // 2
    return lowest, pipe + room, min(1.0, lowest / pipe)


def tooth_without_its_top(pipe: int, room: int) -> Tooth:
    """Believe that the highest window is not used any more."""
    windows = range((pipe + room) // 2, pipe + room)
    return windows[0], pipe + room, right_share(windows, pipe)


ONE_TOOTH: dict[str, Callable[..., Any]] = {
    "round-trips-take-as-long": tooth_by_round_trips,
    "waiting-counts-as-sent": tooth_above_the_line,
    "buffer-holds-no-window": tooth_without_the_buffer,
    "halves-the-pipe": tooth_halving_the_pipe,
    "starts-again-at-one": tooth_from_one,
    "full-once-means-full": tooth_of_the_top,
    "lowest-window-decides": tooth_of_the_bottom,
    "highest-window-left-out": tooth_without_its_top,
}


# 10.4 smallest_buffer


def right_pipe(rate: int, round_trip_ms: int) -> float:
    """Return rate times delay in packets of 1500 octets."""
    return rate * round_trip_ms / 12_000_000


def buffer_for_each_flow(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that every flow needs a buffer of its own."""
    return math.ceil(right_pipe(rate, round_trip_ms) * flows)


def buffer_by_flows(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that twice as many flows need half the buffer."""
    return math.ceil(right_pipe(rate, round_trip_ms) / (1 if in_step else flows))


def buffer_of_the_root_always(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the square root helps flows in step too."""
    return math.ceil(right_pipe(rate, round_trip_ms) / math.sqrt(flows))


def buffer_of_the_thumb(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the number of flows plays no part."""
    return math.ceil(right_pipe(rate, round_trip_ms))


def buffer_the_wrong_way(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that more flows need more buffer, by the root."""
    factor = 1 if in_step else math.sqrt(flows)
    return math.ceil(right_pipe(rate, round_trip_ms) * factor)


def buffer_of_the_root_of_all(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the root is taken of the whole quotient."""
    pipe = right_pipe(rate, round_trip_ms)
    return math.ceil(pipe if in_step else math.sqrt(pipe / flows))


def buffer_of_bits(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that a packet of 1500 octets takes 1500 bits."""
    pipe = rate * round_trip_ms / 1_500_000
    return math.ceil(pipe / (1 if in_step else math.sqrt(flows)))


def buffer_of_one_way(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that the delay of one way, half a round trip, is what counts."""
    pipe = right_pipe(rate, round_trip_ms) / 2
    return math.ceil(pipe / (1 if in_step else math.sqrt(flows)))


def buffer_rounded_down(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Believe that a part of a packet can be left out."""
    pipe = right_pipe(rate, round_trip_ms)
    return math.floor(pipe / (1 if in_step else math.sqrt(flows)))


SMALLEST_BUFFER: dict[str, Callable[..., Any]] = {
    "buffer-for-each-flow": buffer_for_each_flow,
    "flows-instead-of-root": buffer_by_flows,
    "root-for-flows-in-step": buffer_of_the_root_always,
    "flows-do-not-matter": buffer_of_the_thumb,
    "more-flows-more-buffer": buffer_the_wrong_way,
    "root-of-the-whole": buffer_of_the_root_of_all,
    "bits-for-octets": buffer_of_bits,
    "one-way-for-round-trip": buffer_of_one_way,
    "rounds-down": buffer_rounded_down,
}
