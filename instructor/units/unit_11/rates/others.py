"""Other right answers to exercise 11.5, each in a way of its own."""

__all__ = ["OTHERS"]

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy as np

Rate = tuple[int, float, float]


def rate_by_formula(
    every: int, packets_per_ack: int, packet_octets: int, round_trip_ms: int, timeout_ms: int
) -> Rate:
    """Sum teeth by the formula of even steps, and halve the range in which the highest lies."""

    def tooth(highest: int) -> tuple[int, int]:
        low = max(1, highest // 2)
        steps = highest - low + 1
        return packets_per_ack * steps * (low + highest) // 2, packets_per_ack * steps

    fits, too_large = 1, every + 2
    while too_large - fits > 1:
        middle = (fits + too_large) // 2
        if tooth(middle)[0] <= every:
            fits = middle
        else:
            too_large = middle
    packets, trips = tooth(fits)
    time_s = (trips * round_trip_ms + (timeout_ms if fits <= 3 else 0)) / 1000
    return fits, packets**0.5 / trips, packets * packet_octets * 8 / time_s


def rate_trip_by_trip(
    every: int, packets_per_ack: int, packet_octets: int, round_trip_ms: int, timeout_ms: int
) -> Rate:
    """Go through a tooth in time, one round trip after the other; try ever higher ones."""
    best: Rate | None = None
    highest = 0
    while True:
        highest += 1
        window, sent, trips, now_ms = max(highest // 2, 1), 0, 0, 0
        while window <= highest:
            for _ in range(packets_per_ack):
                sent, trips, now_ms = sent + window, trips + 1, now_ms + round_trip_ms
            window += 1
        if sent > every:
            assert best is not None
            return best
        if highest in (1, 2, 3):
            now_ms += timeout_ms
        best = (highest, sent / trips * (1 / sent) ** 0.5, 8000 * packet_octets * sent / now_ms)


def rate_by_table(
    every: int, packets_per_ack: int, packet_octets: int, round_trip_ms: int, timeout_ms: int
) -> Rate:
    """Look the highest window up in a table of all teeth that could be."""
    highest = np.arange(1, 1640)
    low = np.maximum(1, highest // 2)
    steps = highest - low + 1
    packets = steps * (low + highest) // 2 * packets_per_ack
    place = int(np.searchsorted(packets, every, side="right")) - 1
    sent, trips = int(packets[place]), int(steps[place]) * packets_per_ack
    time_ms = Fraction(trips * round_trip_ms + (timeout_ms if place < 3 else 0))
    rate = float(Fraction(sent * packet_octets * 8000) / time_ms)
    return place + 1, sent / trips / sent**0.5, rate


OTHERS: tuple[Callable[..., Any], ...] = (rate_by_formula, rate_trip_by_trip, rate_by_table)
