"""Other right answers for exercise 11.4: windows round trip by round trip."""

__all__ = ["OTHERS"]

from bisect import bisect_left
from collections.abc import Callable, Iterator
from itertools import islice
from typing import Any


def generated(
    lost: list[int], rounds: int, threshold: int, largest: int, timeout_rounds: int
) -> list[int]:
    """Yield round trips without end, and take as many as are asked for."""

    def trips(limit: int) -> Iterator[int]:
        window, sent, in_a_row = 1, 0, 0
        while True:
            flight = largest if window > largest else window
            yield flight
            fates = [number not in lost for number in range(sent + 1, sent + flight + 1)]
            sent += flight
            if all(fates):
                in_a_row = 0
                window = window + 1 if window >= limit else min(limit, window + flight)
            elif sum(fates[fates.index(False) :]) > 2:
                in_a_row = 0
                window = limit = flight // 2
            else:
                yield from [0] * timeout_rounds * 2**in_a_row
                window, limit, in_a_row = 1, flight // 2, in_a_row + 1

    return list(islice(trips(threshold), rounds))


def simulated(
    lost: list[int], rounds: int, threshold: int, largest: int, timeout_rounds: int
) -> list[int]:
    """Go from round trip to round trip by a count of those that are still to be waited for."""
    gone = set(lost)
    window, number, waiting, wait = 1, 0, 0, timeout_rounds
    result = []
    for _ in range(rounds):
        if waiting:
            waiting -= 1
            result.append(0)
            continue
        arrived_behind, missing, flight = 0, False, 0
        while flight < window and flight < largest:
            flight += 1
            number += 1
            if number in gone:
                missing = True
            elif missing:
                arrived_behind += 1
        result.append(flight)
        if missing and arrived_behind < 3:
            waiting, wait = wait, wait + wait
            threshold, window = flight >> 1, 1
            continue
        wait = timeout_rounds
        if missing:
            threshold = window = flight >> 1
        elif window < threshold:
            window += min(flight, threshold - window)
        else:
            window += 1
    return result


def by_bisection(
    lost: list[int], rounds: int, threshold: int, largest: int, timeout_rounds: int
) -> list[int]:
    """Look losses up in their order, and call itself for the next round trip."""

    def go_on(window: int, limit: int, number: int, wait: int, left: int) -> list[int]:
        if left <= 0:
            return []
        flight = min(window, largest)
        behind = number + flight
        first, end = bisect_left(lost, number), bisect_left(lost, behind)
        if first == end:
            grown = min(window + flight, limit) if window < limit else window + 1
            return [flight, *go_on(grown, limit, behind, timeout_rounds, left - 1)]
        half = flight // 2
        if behind - lost[first] - (end - first) >= 3:
            return [flight, *go_on(half, half, behind, timeout_rounds, left - 1)]
        pause = min(wait, left - 1)
        return [flight, *[0] * pause, *go_on(1, half, behind, 2 * wait, left - 1 - pause)]

    return go_on(1, threshold, 1, timeout_rounds, rounds)


OTHERS: tuple[Callable[..., Any], ...] = (generated, simulated, by_bisection)
