"""Misconceptions about how long packets wait: exercise 10.5."""

__all__ = ["WAIT_MS"]

from collections.abc import Callable
from typing import Any


def right_ahead(found: list[int], percent: float) -> int:
    """Return how many packets are ahead of one at this place in the order of waits."""
    so_far = 0
    for ahead, packets in enumerate(found):
        so_far += packets
        if 100 * so_far >= percent * sum(found):
            return ahead
    return len(found) - 1


def right_ms(ahead: float, rate: int) -> float:
    """Return how long so many packets take."""
    return ahead * 12_000_000 / rate


def wait_of_the_mean(found: list[int], rate: int, percent: int) -> float:
    """Believe that the mean stands for all."""
    mean = sum(ahead * packets for ahead, packets in enumerate(found)) / sum(found)
    return right_ms(mean, rate)


def wait_share_of_the_longest(found: list[int], rate: int, percent: int) -> float:
    """Believe that 99 % of the packets wait up to 99 % of the longest wait."""
    return right_ms(percent / 100 * right_ahead(found, 100), rate)


def wait_of_the_longest(found: list[int], rate: int, percent: int) -> float:
    """Believe that the worst case is asked for, whatever the percentage."""
    return right_ms(right_ahead(found, 100), rate)


def wait_of_the_others(found: list[int], rate: int, percent: int) -> float:
    """Believe that the percentage counts from the long waits down."""
    return right_ms(right_ahead(found, 100 - percent), rate)


def wait_of_lengths(found: list[int], rate: int, percent: int) -> float:
    """Believe that each length counts once, however many packets found it."""
    return right_ms(right_ahead([int(packets > 0) for packets in found], percent), rate)


def wait_and_send(found: list[int], rate: int, percent: int) -> float:
    """Believe that a packet waits for itself, too."""
    return right_ms(right_ahead(found, percent) + 1, rate)


def wait_for_the_next(found: list[int], rate: int, percent: int) -> float:
    """Believe that more than the percentage has to be reached."""
    so_far = 0
    for ahead, packets in enumerate(found):
        so_far += packets
        if 100 * so_far > percent * sum(found):
            return right_ms(ahead, rate)
    return right_ms(len(found), rate)


def wait_in_octets(found: list[int], rate: int, percent: int) -> float:
    """Believe that a rate in bit/s sends so many octets."""
    return right_ms(right_ahead(found, percent), rate) / 8


def wait_of_the_most(found: list[int], rate: int, percent: int) -> float:
    """Believe that the most frequent wait is the one that counts."""
    return right_ms(found.index(max(found)), rate)


def wait_in_packets(found: list[int], rate: int, percent: int) -> float:
    """Believe that the packets ahead are the wait."""
    return right_ahead(found, percent)


def wait_in_seconds(found: list[int], rate: int, percent: int) -> float:
    """Believe that rates in bit/s give milliseconds."""
    return right_ms(right_ahead(found, percent), rate) / 1000


def wait_in_whole_ms(found: list[int], rate: int, percent: int) -> float:
    """Believe that whole milliseconds are enough."""
    return round(right_ms(right_ahead(found, percent), rate))


def wait_of_sums_in_floats(found: list[int], rate: int, percent: int) -> float:
    """Believe that floats hold what decimals say."""
    so_far = 0
    for ahead, packets in enumerate(found):
        so_far += packets
        if so_far >= sum(found) * (percent / 100):
            return right_ms(ahead, rate)
    return right_ms(len(found) - 1, rate)


def wait_without_empty_places(found: list[int], rate: int, percent: int) -> float:
    """Believe that lengths that nobody found take no place in the list."""
    return right_ms(right_ahead([packets for packets in found if packets], percent), rate)


def wait_of_the_end(found: list[int], rate: int, percent: int) -> float:
    """Believe that the list ends with the longest wait."""
    return right_ms(len(found) - 1 if percent == 100 else right_ahead(found, percent), rate)


def wait_over_empty_places(found: list[int], rate: int, percent: int) -> float:
    """Believe that a length that nobody found is waited for, too."""
    ahead = right_ahead(found, percent)
    while ahead + 1 < len(found) and found[ahead + 1] == 0:
        ahead += 1
    return right_ms(ahead, rate)


def wait_of_one_count(found: list[int], rate: int, percent: int) -> float:
    """Believe that a single count must reach the percentage."""
    enough = [k for k, packets in enumerate(found) if 100 * packets >= percent * sum(found)]
    return right_ms(enough[0] if enough else right_ahead(found, 100), rate)


def wait_of_those_who_wait(found: list[int], rate: int, percent: int) -> float:
    """Believe that packets that find nobody are not counted."""
    waiting = [0, *found[1:]]
    return right_ms(right_ahead(waiting, percent) if any(waiting) else 0, rate)


def wait_between_two(found: list[int], rate: int, percent: int) -> float:
    """Believe that a quantile lies between two waits, in proportion."""
    row = [k for k, packets in enumerate(found) for _ in range(packets)]
    place, left = divmod(percent * (len(row) - 1), 100)
    after = row[min(place + 1, len(row) - 1)]
    return right_ms(row[place] + (after - row[place]) * left / 100, rate)


def wait_one_before(found: list[int], rate: int, percent: int) -> float:
    """Believe that the last wait below the percentage is the one."""
    return right_ms(max(right_ahead(found, percent) - 1, 0), rate)


def wait_of_the_list(found: list[int], rate: int, percent: int) -> float:
    """Believe that the list holds one wait for each packet."""
    row = sorted(found)
    return right_ms(row[-(-percent * len(row) // 100) - 1], rate)


WAIT_MS: dict[str, Callable[..., Any]] = {
    "mean-for-distribution": wait_of_the_mean,
    "share-of-the-longest": wait_share_of_the_longest,
    "longest-wait": wait_of_the_longest,
    "counts-from-the-top": wait_of_the_others,
    "each-length-once": wait_of_lengths,
    "waits-for-itself": wait_and_send,
    "more-than-the-percentage": wait_for_the_next,
    "octets-for-bits": wait_in_octets,
    "most-frequent-wait": wait_of_the_most,
    "packets-for-milliseconds": wait_in_packets,
    "seconds-for-milliseconds": wait_in_seconds,
    "whole-milliseconds": wait_in_whole_ms,
    "floats-are-exact": wait_of_sums_in_floats,
    "empty-lengths-skipped": wait_without_empty_places,
    "list-ends-with-the-longest": wait_of_the_end,
    "goes-on-over-zeros": wait_over_empty_places,
    "one-count-alone": wait_of_one_count,
    "only-those-who-wait": wait_of_those_who_wait,
    "between-two-waits": wait_between_two,
    "stops-one-before": wait_one_before,
    "list-of-waits": wait_of_the_list,
}
