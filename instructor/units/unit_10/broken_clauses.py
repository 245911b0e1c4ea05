"""Answers that break one clause of a contract of unit 10, and keep all others: sums.

A clause is often broken just as a misconception has it; these are the others. Some look
contrived: they fall only where no other clause can.
"""

__all__ = [
    "fill_as_a_list",
    "fill_packets_in_floats",
    "tooth_as_a_list",
    "tooth_in_three_places",
    "tooth_of_a_line_that_is_never_idle",
    "tooth_that_jumps",
    "tooth_with_a_smaller_range",
    "tooth_without_a_last_packet",
    "wait_of_a_majority",
]

import math

# 10.1


def fill_as_a_list(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> list[int]:
    """Return a list."""
    octets = -(-rate * (there_ms + back_ms) // 8000)
    return [octets, -(-octets // packet_octets)]


def fill_packets_in_floats(
    rate: int, there_ms: int, back_ms: int, packet_octets: int
) -> tuple[int, int]:
    """Count packets by way of packets a second, in floats."""
    octets = -(-rate * (there_ms + back_ms) // 8000)
    seconds = (there_ms + back_ms) / 1000
    return octets, math.ceil(rate / 8 / packet_octets * seconds)


# 10.2


def right_tooth(pipe: int, room: int) -> tuple[int, int, float]:
    """Return what is right."""
    windows = range((pipe + room) // 2, pipe + room + 1)
    share = sum(windows) / sum(max(window, pipe) for window in windows)
    return windows[0], windows[-1], share


def tooth_as_a_list(pipe: int, room: int) -> list[float]:
    """Return a list."""
    return list(right_tooth(pipe, room))


def tooth_that_jumps(pipe: int, room: int) -> tuple[int, int, float]:
    """Grow by 1 until the pipe is full, and then at once to the highest window."""
    lowest, highest, share = right_tooth(pipe, room)
    if lowest >= pipe:
        return lowest, highest, share
    windows = [*range(lowest, min(pipe, highest)), *{pipe, highest}]
    return lowest, highest, sum(windows) / sum(max(window, pipe) for window in windows)


def tooth_of_a_line_that_is_never_idle(pipe: int, room: int) -> tuple[int, int, float]:
    """Subtract what is lacking from the lowest window on, even where nothing is."""
    lowest, highest, _ = right_tooth(pipe, room)
    sent = (lowest + highest) * (highest - lowest + 1) / 2
    short = pipe - lowest
    return lowest, highest, sent / (sent + short * (short + 1) / 2)


def tooth_without_a_last_packet(pipe: int, room: int) -> tuple[int, int, float]:
    """Leave the highest window out where no packet waits in it."""
    lowest, highest, share = right_tooth(pipe, room)
    if highest > pipe:
        return lowest, highest, share
    return lowest, highest, sum(range(lowest, highest)) / (pipe * (highest - lowest))


def tooth_in_three_places(pipe: int, room: int) -> tuple[int, int, float]:
    """Round the share."""
    lowest, highest, share = right_tooth(pipe, room)
    return lowest, highest, round(share, 3)


def tooth_with_a_smaller_range(pipe: int, room: int) -> tuple[int, int, float]:
    """Refuse what is legal: the end of the range."""
    if pipe >= 400:
        raise ValueError("pipe too large")
    return right_tooth(pipe, room)


# 10.5


def wait_of_a_majority(found: list[int], rate: int, percent: int) -> float:
    """Ask for more than half where the percentage is 50."""
    so_far = 0
    for ahead, packets in enumerate(found):
        so_far += packets
        if 100 * so_far >= percent * sum(found) + (percent == 50):
            return ahead * 12_000_000 / rate
    return (len(found) - 1) * 12_000_000 / rate
