"""Answers that break one clause of a contract, and keep all others: 8.1 and 8.2.

A clause is often broken just as a misconception has it; these are the others. Some look
contrived: they fall only where no other clause can.
"""

__all__ = [
    "dropped_takes_an_idle_line",
    "means_as_a_list",
    "means_at_departures_between",
    "means_of_a_busy_run",
    "means_rounded_from_the_start",
    "room_for_one_beside",
    "saved_where_there_is_room",
    "shortest_of_different_moments",
    "turned_round_where_there_is_room",
    "waits_as_a_tuple",
    "zero_for_the_last",
]

from typing import Any

from instructor.units.unit_08.misconceptions.lines import (
    Waits,
    idle_time_is_saved,
    right_waits,
    room_beside_the_line,
    same_moment_turned_round,
    shortest_first,
)
from instructor.units.unit_08.misconceptions.records import (
    Lefts,
    Means,
    means_at_departures,
    right_means,
    stays_of,
)

# 8.1


def waits_as_a_tuple(came_ms: list[int], takes_ms: list[int], room: int) -> Any:
    """Return a tuple."""
    return tuple(right_waits(came_ms, takes_ms, room))


def zero_for_the_last(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Say 0 for the last packet if it is dropped."""
    waits = right_waits(came_ms, takes_ms, room)
    return [*waits[:-1], waits[-1] or 0]


def room_for_one_beside(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Let one wait where there is room for one."""
    return (room_beside_the_line if room == 1 else right_waits)(came_ms, takes_ms, room)


def dropped_takes_an_idle_line(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Send who was dropped when nobody else is there."""
    waits: Waits = []
    ends: list[int] = []
    busy_until = 0
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end > came]
        begins = max(ends) if ends else max(came, busy_until)
        if len(ends) >= room:
            waits.append(None)
            busy_until = max(ends) + takes
        else:
            waits.append(begins - came)
            ends.append(begins + takes)
    return waits


def shortest_of_different_moments(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Send the shortest first, if no two come at the same moment."""
    is_mixed = len(set(came_ms)) == len(came_ms)
    return (shortest_first if is_mixed else right_waits)(came_ms, takes_ms, room)


def turned_round_where_there_is_room(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Send those who come together the other way round, but only if there is room for all."""
    has_room = room >= len(came_ms)
    return (same_moment_turned_round if has_room else right_waits)(came_ms, takes_ms, room)


def saved_where_there_is_room(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Let an idle line work ahead, but only if there is room for all."""
    has_room = room >= len(came_ms)
    return (idle_time_is_saved if has_room else right_waits)(came_ms, takes_ms, room)


# 8.2


def means_as_a_list(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Any:
    """Return a list."""
    return list(right_means(came_ms, left_ms, from_ms, to_ms))


def means_at_departures_between(
    came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int
) -> Means:
    """Count departures, if nobody is inside at either end."""
    stays = stays_of(came_ms, left_ms)
    is_cut = any(came < end < left for came, left in stays for end in (from_ms, to_ms))
    return (right_means if is_cut else means_at_departures)(came_ms, left_ms, from_ms, to_ms)


def means_of_a_busy_run(came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int) -> Means:
    """End the window with the last packet, if nobody was dropped."""
    lefts = [0 if left is None else left for left in left_ms]
    end = to_ms if None in left_ms else min(to_ms, max(lefts))
    return right_means(came_ms, left_ms, from_ms, end)


def means_rounded_from_the_start(
    came_ms: list[int], left_ms: Lefts, from_ms: int, to_ms: int
) -> Means:
    """Round the number, if the window begins at 0."""
    number, rate, time = right_means(came_ms, left_ms, from_ms, to_ms)
    return number if from_ms else round(number, 2), rate, time
