"""Misconceptions about a line with room for some packets: exercise 8.1."""

__all__ = ["WAITS_IN_LINE", "right_waits"]

from collections.abc import Callable
from typing import Any

Waits = list[int | None]


def right_waits(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Return what is right: of each packet that is there, `ends` knows when it will have left."""
    waits: Waits = []
    ends: list[int] = []
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end > came]
        if len(ends) >= room:
            waits.append(None)
        else:
            waits.append(max([came, *ends]) - came)
            ends.append(max([came, *ends]) + takes)
    return waits


def wait_with_own_sending(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that a packet waits until it has been sent itself."""
    waits = right_waits(came_ms, takes_ms, room)
    return [
        None if wait is None else wait + takes for wait, takes in zip(waits, takes_ms, strict=True)
    ]


def moments_for_waits(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that the moment when sending begins is the wait."""
    waits = right_waits(came_ms, takes_ms, room)
    return [
        None if wait is None else wait + came for wait, came in zip(waits, came_ms, strict=True)
    ]


def dropped_waits_zero(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that who is turned away has waited for 0 ms."""
    return [wait or 0 for wait in right_waits(came_ms, takes_ms, room)]


def dropped_left_out(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that who is turned away has no place in the list."""
    return [wait for wait in right_waits(came_ms, takes_ms, room) if wait is not None]


def room_beside_the_line(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that the packet that is being sent takes none of the room."""
    return right_waits(came_ms, takes_ms, room + 1)


def room_without_end(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that there is always room."""
    return right_waits(came_ms, takes_ms, len(came_ms))


def leaves_after_the_next(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that who leaves at the moment when another comes is still there."""
    waits: Waits = []
    ends: list[int] = []
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end >= came]
        if len(ends) >= room:
            waits.append(None)
        else:
            waits.append(max([came, *ends]) - came)
            ends.append(max([came, *ends]) + takes)
    return waits


def dropped_takes_time(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that the line is busy with those that are turned away, too."""
    waits: Waits = []
    ends: list[int] = []
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end > came]
        begins = max([came, *ends])
        waits.append(None if len(ends) >= room else begins - came)
        ends.append(begins + takes)
    return waits


def dropped_takes_room(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that who is turned away stays there until those ahead are sent."""
    waits: Waits = []
    ends: list[int] = []
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end > came]
        begins = max([came, *ends])
        is_full = len(ends) >= room
        waits.append(None if is_full else begins - came)
        ends.append(begins if is_full else begins + takes)
    return waits


def oldest_is_dropped(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that a full line turns away who has waited longest, not who comes."""
    waits: Waits = [None] * len(came_ms)
    waiting: list[int] = []
    free_ms = 0
    for number, came in enumerate([*came_ms, sum(takes_ms) + came_ms[-1]]):
        while waiting and free_ms <= came:
            first = waiting.pop(0)
            begins = max(free_ms, came_ms[first])
            waits[first] = begins - came_ms[first]
            free_ms = begins + takes_ms[first]
        if number < len(came_ms):
            if free_ms <= came:
                waits[number], free_ms = 0, came + takes_ms[number]
            else:
                waiting = [*waiting, number][max(0, len(waiting) + 2 - room) :]
    return waits


def full_until_empty(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that a line that was full takes nobody until it is empty."""
    waits: Waits = []
    ends: list[int] = []
    is_shut = False
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end > came]
        is_shut = len(ends) >= room or (is_shut and bool(ends))
        waits.append(None if is_shut else max([came, *ends]) - came)
        if not is_shut:
            ends.append(max([came, *ends]) + takes)
    return waits


def idle_time_is_saved(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that an idle line works ahead: all sending times in a row, from 0 on."""
    waits: Waits = []
    ends: list[int] = []
    free_ms = 0
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end > came]
        if len(ends) >= room:
            waits.append(None)
        else:
            waits.append(max(0, free_ms - came))
            free_ms += takes
            ends.append(free_ms)
    return waits


def waits_for_one_ahead(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that the packet ahead was sent as soon as it came."""
    ends = [came + takes for came, takes in zip(came_ms, takes_ms, strict=True)]
    waits = [max(0, end - came) for end, came in zip(ends, came_ms[1:], strict=False)]
    right = right_waits(came_ms, takes_ms, room)
    return [None if known is None else wait for known, wait in zip(right, [0, *waits], strict=True)]


def waits_for_whole_sendings(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that the packet that is being sent still takes as long as at its start."""
    waits: Waits = []
    there: list[tuple[int, int]] = []
    for came, takes in zip(came_ms, takes_ms, strict=True):
        there = [(end, each) for end, each in there if end > came]
        if len(there) >= room:
            waits.append(None)
        else:
            waits.append(sum(each for _, each in there))
            there.append((max([came, *(end for end, _ in there)]) + takes, takes))
    return waits


def waits_in_own_lengths(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that those ahead take as long as the packet itself."""
    waits: Waits = []
    ends: list[int] = []
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end > came]
        if len(ends) >= room:
            waits.append(None)
        else:
            waits.append(len(ends) * takes)
            ends.append(max([came, *ends]) + takes)
    return waits


def places_for_waits(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that the number of those ahead is asked for."""
    waits: Waits = []
    ends: list[int] = []
    for came, takes in zip(came_ms, takes_ms, strict=True):
        ends = [end for end in ends if end > came]
        if len(ends) >= room:
            waits.append(None)
        else:
            waits.append(len(ends))
            ends.append(max([came, *ends]) + takes)
    return waits


def same_moment_turned_round(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that of those that come at the same moment the last in the list comes first."""
    order = sorted(range(len(came_ms)), key=lambda number: (came_ms[number], -number))
    waits = right_waits(sorted(came_ms), [takes_ms[number] for number in order], room)
    by_number = dict(zip(order, waits, strict=True))
    return [by_number[number] for number in range(len(order))]


def turn_by(came_ms: list[int], takes_ms: list[int], room: int, key: Callable[[int], int]) -> Waits:
    """Send next who has the smallest key."""
    waits: Waits = [None] * len(came_ms)
    waiting: list[int] = []
    free_ms = 0
    for number, came in enumerate([*came_ms, sum(takes_ms) + came_ms[-1]]):
        while waiting and free_ms <= came:
            chosen = min(waiting, key=key)
            waiting.remove(chosen)
            waits[chosen] = free_ms - came_ms[chosen]
            free_ms += takes_ms[chosen]
        if number == len(came_ms):
            break
        if free_ms <= came:
            waits[number], free_ms = 0, came + takes_ms[number]
        elif len(waiting) + 1 < room:
            waiting.append(number)
    return waits


def last_come_first(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that who came last is sent next, as from a pile."""
    return turn_by(came_ms, takes_ms, room, lambda number: -number)


def shortest_first(came_ms: list[int], takes_ms: list[int], room: int) -> Waits:
    """Believe that the shortest is sent next."""
    return turn_by(came_ms, takes_ms, room, lambda number: takes_ms[number])


WAITS_IN_LINE: dict[str, Callable[..., Any]] = {
    "sending-is-waiting": wait_with_own_sending,
    "moments-for-waits": moments_for_waits,
    "dropped-waits-zero": dropped_waits_zero,
    "dropped-left-out": dropped_left_out,
    "room-beside-the-line": room_beside_the_line,
    "room-without-end": room_without_end,
    "leaves-after-the-next": leaves_after_the_next,
    "dropped-takes-time": dropped_takes_time,
    "dropped-takes-room": dropped_takes_room,
    "oldest-is-dropped": oldest_is_dropped,
    "full-until-empty": full_until_empty,
    "idle-time-is-saved": idle_time_is_saved,
    "waits-for-one-ahead": waits_for_one_ahead,
    "whole-sendings-ahead": waits_for_whole_sendings,
    "own-length-ahead": waits_in_own_lengths,
    "places-for-waits": places_for_waits,
    "same-moment-turned-round": same_moment_turned_round,
    "last-come-first": last_come_first,
    "shortest-first": shortest_first,
}
