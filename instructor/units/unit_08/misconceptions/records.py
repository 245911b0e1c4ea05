"""Misconceptions about number, rate and time in a record: exercise 8.2."""

__all__ = ["THREE_MEANS", "inside", "right_means", "stays_of"]

import statistics
from collections.abc import Callable
from typing import Any

Means = tuple[float, float, float | None]
Stays = list[tuple[int, int]]
Lefts = list[int | None]


def stays_of(came_ms: list[int], left_ms: Lefts) -> Stays:
    """Return when each packet that was not dropped came and left."""
    return [(came, left) for came, left in zip(came_ms, left_ms, strict=True) if left is not None]


def inside(stays: Stays, from_ms: int, to_ms: int) -> float:
    """Return the mean number inside over a window."""
    parts = [max(0, min(left, to_ms) - max(came, from_ms)) for came, left in stays]
    return sum(parts) / (to_ms - from_ms)


def mean(times: list[int]) -> float | None:
    """Return the mean, or None of nothing."""
    return sum(times) / len(times) if times else None


def right_means(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Return what is right."""
    stays = stays_of(came_ms, left_ms)
    times = [left - came for came, left in stays if from_ms <= came < to_ms]
    return inside(stays, from_ms, to_ms), len(times) / (to_ms - from_ms), mean(times)


def means_by_the_law(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the number is rate x time in any window."""
    _, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    return rate * (time or 0), rate, time


def means_of_clipped_times(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that times end where the window does."""
    number, rate, _ = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    times = [min(left, to_ms) - came for came, left in stays if from_ms <= came < to_ms]
    return number, rate, mean(times)


def means_of_those_who_came(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that who was inside before the window is not there."""
    _, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = [one for one in stays_of(came_ms, left_ms) if one[0] >= from_ms]
    return inside(stays, from_ms, to_ms), rate, time


def means_of_whole_stays(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that who is inside at some time of the window counts with the whole stay."""
    _, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    whole = [
        left - came for came, left in stays_of(came_ms, left_ms) if came < to_ms and left > from_ms
    ]
    return sum(whole) / (to_ms - from_ms), rate, time


def means_of_finished(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that who is still inside at the end has no time yet."""
    number, rate, _ = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    return (
        number,
        rate,
        mean([left - came for came, left in stays if from_ms <= came < left <= to_ms]),
    )


def means_of_those_who_left(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the time is that of those who left in the window."""
    number, rate, _ = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    return number, rate, mean([left - came for came, left in stays if from_ms <= left < to_ms])


def means_at_departures(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the rate is that of those who leave."""
    number, _, time = right_means(came_ms, left_ms, from_ms, to_ms)
    left = sum(from_ms <= left <= to_ms for _, left in stays_of(came_ms, left_ms))
    return number, left / (to_ms - from_ms), time


def means_between_arrivals(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the rate counts from the first arrival to the last."""
    number, _, time = right_means(came_ms, left_ms, from_ms, to_ms)
    came = [one for one, _ in stays_of(came_ms, left_ms) if from_ms <= one < to_ms]
    span = came[-1] - came[0] if came else 0
    return number, len(came) / span if span else 0.0, time


def means_of_gaps(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the rate is the time between two arrivals."""
    number, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    return number, 1 / rate if rate else 0.0, time


def means_each_second(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the rate is for a second."""
    number, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    return number, 1000 * rate, time


def means_without_idle_ends(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the window begins with the first packet, and ends with the last."""
    stays = stays_of(came_ms, left_ms)
    start = max(from_ms, min(came for came, _ in stays))
    end = min(to_ms, max(left for _, left in stays))
    return right_means(came_ms, left_ms, start, end)


def means_while_busy(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the number is the mean over the time when anybody is inside."""
    number, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    busy = sum(any(came <= now < left for came, left in stays) for now in range(from_ms, to_ms))
    return number * (to_ms - from_ms) / busy if busy else 0.0, rate, time


def means_of_dropped_arrivals(
    came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int
) -> Means:
    """Believe that who is dropped has arrived, too."""
    number, _, time = right_means(came_ms, left_ms, from_ms, to_ms)
    return number, sum(from_ms <= one < to_ms for one in came_ms) / (to_ms - from_ms), time


def means_of_dropped_times(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that who is dropped has a time, of 0 ms."""
    number, rate, _ = right_means(came_ms, left_ms, from_ms, to_ms)
    pairs = zip(came_ms, left_ms, strict=True)
    times = [0 if left is None else left - came for came, left in pairs if from_ms <= came < to_ms]
    return number, rate, mean(times)


def means_of_dropped_visits(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that who is dropped came, and left at once: in rate and time."""
    number, _, _ = right_means(came_ms, left_ms, from_ms, to_ms)
    _, rate, _ = means_of_dropped_arrivals(came_ms, left_ms, from_ms, to_ms)
    _, _, time = means_of_dropped_times(came_ms, left_ms, from_ms, to_ms)
    return number, rate, time


def means_of_dropped_who_stay(
    came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int
) -> Means:
    """Believe that who has no time of leaving is still inside."""
    return right_means(came_ms, [to_ms if one is None else one for one in left_ms], from_ms, to_ms)


def sums_for_means(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the time spent inside is the number, undivided."""
    number, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    return number * (to_ms - from_ms), rate, time


def numbers_found(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the number is what those who come find, on average."""
    _, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    found = [
        sum(left > came for _, left in stays[:place])
        for place, (came, _) in enumerate(stays) if from_ms <= came < to_ms
    ]  # fmt: skip
    return mean(found) or 0.0, rate, time


def each_number_once(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that each number weighs the same, however long it lasts."""
    _, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    moments = sorted({one for stay in stays for one in stay if from_ms <= one < to_ms})
    counts = [sum(came <= now < left for came, left in stays) for now in moments]
    return mean(counts) or 0.0, rate, time


def most_for_mean(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the number is the largest one."""
    _, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    moments = [from_ms, *(came for came, _ in stays if from_ms <= came < to_ms)]
    most = max(sum(came <= now < left for came, left in stays) for now in moments)
    return float(most), rate, time


def means_with_the_end(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that who came at the window's end came in it."""
    number, _, _ = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    times = [left - came for came, left in stays if from_ms <= came <= to_ms]
    return number, len(times) / (to_ms - from_ms), mean(times)


def means_without_the_start(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that who came at the window's start came before it."""
    number, _, _ = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    times = [left - came for came, left in stays if from_ms < came < to_ms]
    return number, len(times) / (to_ms - from_ms), mean(times)


def no_time_is_zero(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the mean of no times is 0."""
    number, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    return number, rate, time or 0.0


def median_for_mean(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """Believe that the time in the middle is the mean one."""
    number, rate, _ = right_means(came_ms, left_ms, from_ms, to_ms)
    stays = stays_of(came_ms, left_ms)
    times = [left - came for came, left in stays if from_ms <= came < to_ms]
    return number, rate, statistics.median(times) if times else None


def rate_first(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Any:
    """Believe that the rate stands first, as in rate x time."""
    number, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    return rate, time, number


THREE_MEANS: dict[str, Callable[..., Any]] = {
    "law-for-number": means_by_the_law,
    "times-end-with-the-window": means_of_clipped_times,
    "nobody-was-there-before": means_of_those_who_came,
    "whole-stays-in-the-number": means_of_whole_stays,
    "only-finished-times": means_of_finished,
    "times-of-those-who-left": means_of_those_who_left,
    "departures-for-arrivals": means_at_departures,
    "rate-between-arrivals": means_between_arrivals,
    "gap-for-rate": means_of_gaps,
    "rate-each-second": means_each_second,
    "idle-ends-left-out": means_without_idle_ends,
    "idle-time-left-out": means_while_busy,
    "dropped-in-the-rate": means_of_dropped_arrivals,
    "dropped-in-the-time": means_of_dropped_times,
    "dropped-in-both": means_of_dropped_visits,
    "dropped-stays-inside": means_of_dropped_who_stay,
    "sum-for-mean": sums_for_means,
    "number-found-by-arrivals": numbers_found,
    "each-number-once": each_number_once,
    "most-for-mean": most_for_mean,
    "end-belongs-to-the-window": means_with_the_end,
    "start-is-outside": means_without_the_start,
    "no-time-is-zero": no_time_is_zero,
    "median-for-mean": median_for_mean,
    "rate-first": rate_first,
}
