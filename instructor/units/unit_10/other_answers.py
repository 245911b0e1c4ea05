"""Other right answers for unit 10: other methods, other styles, other types of result.

None of them may lose a point. Each stands alone, as a student's cell would. Where a contract asks
for exact results, floats are still right as long as they multiply first and divide last.
"""

__all__ = ["OTHERS"]

import math
from bisect import bisect_left
from collections.abc import Callable, Mapping
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from typing import Any

import numpy as np

from instructor.units.unit_10.other_objects import NEW_SENDER, NEW_WATCH

# 10.1 fill_path


def fill_path_with_floats(
    rate: int, there_ms: int, back_ms: int, packet_octets: int
) -> tuple[int, int]:
    """Multiply first, divide by the thousand last, and round up."""
    octets = rate * (there_ms + back_ms) / 1000 / 8
    return math.ceil(octets), math.ceil(octets / packet_octets)


def fill_path_with_fractions(
    rate: int, there_ms: int, back_ms: int, packet_octets: int
) -> tuple[int, int]:
    """Keep everything exact."""
    octets = Fraction(rate, 8) * Fraction(there_ms + back_ms, 1000)
    return math.ceil(octets), math.ceil(octets / packet_octets)


def fill_path_with_remainders(
    rate: int, there_ms: int, back_ms: int, packet_octets: int
) -> tuple[int, int]:
    """Divide with a remainder, and add one if there is any."""
    octets, left = divmod(rate * there_ms + rate * back_ms, 8000)
    octets += left > 0
    packets, left = divmod(octets, packet_octets)
    return octets, packets + (1 if left else 0)


def fill_path_with_numpy(rate: int, there_ms: int, back_ms: int, packet_octets: int) -> Any:
    """Return a tuple of NumPy's whole numbers."""
    bits = np.int64(rate) * np.int64(there_ms + back_ms)
    return (bits + 7999) // 8000, (bits - 1) // (8000 * packet_octets) + 1


# 10.2 one_tooth


def one_tooth_step_by_step(pipe: int, room: int) -> tuple[int, int, float]:
    """Follow the flow round trip by round trip; count what waits."""
    window = (pipe + room) // 2
    sent = idle = 0
    while window <= pipe + room:
        sent += window
        idle += max(0, pipe - window)
        window += 1
    return (pipe + room) // 2, window - 1, sent / (sent + idle)


def one_tooth_in_sums(pipe: int, room: int) -> tuple[float, float, float]:
    """Use the sum of a row of numbers; the windows are floats."""
    highest = pipe + room
    lowest = highest // 2
    sent = (lowest + highest) * (highest - lowest + 1) / 2
    short = max(0, pipe - lowest)  # round trips in which the line has nothing to do for a while
    share = 1 - short * (short + 1) / 2 / (sent + short * (short + 1) / 2)
    return float(lowest), float(highest), share


def one_tooth_with_numpy(pipe: int, room: int) -> tuple[Any, Any, Any]:
    """Use arrays; return NumPy's numbers."""
    windows = np.arange((pipe + room) // 2, pipe + room + 1)
    share = windows.sum() / np.maximum(windows, pipe).sum()
    return windows.min(), windows.max(), share


def one_tooth_by_recursion(pipe: int, room: int) -> tuple[int, int, float]:
    """Come down from the highest window to its half."""
    highest = pipe + room

    def down(window: int) -> tuple[int, int]:
        if window < highest // 2:
            return 0, 0
        sent, could = down(window - 1)
        return sent + window, could + (window if window > pipe else pipe)

    sent, could = down(highest)
    return highest // 2, highest, float(Fraction(sent, could))


# 10.4 smallest_buffer


def smallest_buffer_with_fractions(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Search among whole numbers, without any root: k packets will do if k * k * n is enough."""
    pipe = Fraction(rate * round_trip_ms, 12_000_000)
    senders = 1 if in_step else flows
    low, high = 0, math.ceil(pipe)
    while low < high:
        middle = (low + high) // 2
        if middle * middle * senders >= pipe * pipe:
            high = middle
        else:
            low = middle + 1
    return low


def smallest_buffer_with_decimals(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Use decimal numbers, which round up when told to."""
    pipe = Decimal(rate) * Decimal(round_trip_ms) / Decimal(12_000_000)
    share = pipe if in_step else pipe / Decimal(flows).sqrt()
    return int(share.to_integral_value(rounding=ROUND_CEILING))


def smallest_buffer_in_seconds(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> Any:
    """Compute in octets and seconds, with a power for the root; return a NumPy integer."""
    octets = rate / 8 * (round_trip_ms / 1000)
    if not in_step:
        octets *= flows**-0.5
    return np.int64(np.ceil(octets / 1500))


def smallest_buffer_by_squares(rate: int, round_trip_ms: int, flows: int, in_step: bool) -> int:
    """Take the root of the quotient of squares, in whole numbers."""
    top = (rate * round_trip_ms) ** 2
    bottom = 12_000_000**2 * (1 if in_step else flows)
    root = math.isqrt(top // bottom)
    return root if root * root * bottom == top else root + 1


# 10.5 wait_ms


def wait_ms_by_sorting(found: list[int], rate: int, percent: int) -> float:
    """Write every packet down and look at one place in the row."""
    row = [ahead for ahead, packets in enumerate(found) for _ in range(packets)]
    place = -(-percent * len(row) // 100)
    return row[max(place, 1) - 1] * 1500 * 8 / rate * 1000


def wait_ms_by_bisection(found: list[int], rate: int, percent: int) -> float:
    """Look the place up among the sums."""
    sums = [sum(found[: place + 1]) for place in range(len(found))]
    return 12_000 * bisect_left(sums, Fraction(percent * sums[-1], 100)) / (rate / 1000)


def wait_ms_with_numpy(found: list[int], rate: int, percent: int) -> Any:
    """Use sums of NumPy; return one of its numbers."""
    sums = np.cumsum(found)
    return np.argmax(100 * sums >= percent * sums[-1]) * 12e6 / rate


def wait_ms_from_above(found: list[int], rate: int, percent: int) -> float:
    """Take the longest waits away as long as enough packets are left."""
    left, ahead = sum(found), len(found) - 1
    while ahead > 0 and 100 * (left - found[ahead]) >= percent * sum(found):
        left -= found[ahead]
        ahead -= 1
    return ahead * (1500 * 8 / rate) * 1000


OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "10.1": (
        fill_path_with_floats,
        fill_path_with_fractions,
        fill_path_with_remainders,
        fill_path_with_numpy,
    ),
    "10.2": (
        one_tooth_step_by_step,
        one_tooth_in_sums,
        one_tooth_with_numpy,
        one_tooth_by_recursion,
    ),
    "10.3": NEW_SENDER,
    "10.4": (
        smallest_buffer_with_fractions,
        smallest_buffer_with_decimals,
        smallest_buffer_in_seconds,
        smallest_buffer_by_squares,
    ),
    "10.5": (wait_ms_by_sorting, wait_ms_by_bisection, wait_ms_with_numpy, wait_ms_from_above),
    "10.6": NEW_WATCH,
}
