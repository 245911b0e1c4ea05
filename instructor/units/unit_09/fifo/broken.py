"""Answers that break one clause of the contract of 9.1, and keep all others.

Who crosses is asked where nobody is blocked, and who is blocked where somebody is: so each costs
the points of one aspect.
"""

__all__ = [
    "all_of_two_cross",
    "busy_where_somebody_is_blocked",
    "highest_of_equals_where_nobody_is_blocked",
    "lowest_input_where_nobody_is_blocked",
    "lowest_rival_blocks",
    "minus_one_for_an_empty_line",
    "only_one_passes",
    "two_lists_in_a_list",
    "winners_block_where_somebody_is_blocked",
]

from typing import Any

from instructor.units.unit_09.misconceptions.fifo import (
    Crossing,
    Lines,
    all_cross,
    busy_outputs_block,
    highest_of_equals,
    lowest_input_wins,
    next_one_passes,
    right_crossing,
    winners_block,
)


def two_lists_in_a_list(lines: Lines) -> Any:
    """Return a list."""
    return list(right_crossing(lines))


def all_of_two_cross(lines: Lines) -> Crossing:
    """Let all cells cross if there are two inputs."""
    return (all_cross if len(lines) == 2 else right_crossing)(lines)


def lowest_input_where_nobody_is_blocked(lines: Lines) -> Crossing:
    """Let the lowest input win, if nobody is blocked."""
    return (right_crossing if right_crossing(lines)[1] else lowest_input_wins)(lines)


def highest_of_equals_where_nobody_is_blocked(lines: Lines) -> Crossing:
    """Let the highest of equals win, if nobody is blocked."""
    return (right_crossing if right_crossing(lines)[1] else highest_of_equals)(lines)


def minus_one_for_an_empty_line(lines: Lines) -> Any:
    """Say -1 for an empty line, if nobody is blocked."""
    crosses, blocked = right_crossing(lines)
    if not blocked:
        return [one if line else -1 for one, line in zip(crosses, lines, strict=True)], blocked
    return crosses, blocked


def only_one_passes(lines: Lines) -> Crossing:
    """Let a cell pass the one in front of it, if no other one is blocked at three inputs."""
    is_one = len(lines) == 3 and len(right_crossing(lines)[1]) == 1
    return (next_one_passes if is_one else right_crossing)(lines)


def busy_where_somebody_is_blocked(lines: Lines) -> Crossing:
    """Count cells for busy outputs, if somebody is blocked."""
    return (busy_outputs_block if right_crossing(lines)[1] else right_crossing)(lines)


def winners_block_where_somebody_is_blocked(lines: Lines) -> Crossing:
    """Count cells behind those that cross, if somebody is blocked."""
    return (winners_block if right_crossing(lines)[1] else right_crossing)(lines)


def lowest_rival_blocks(lines: Lines) -> Crossing:
    """Name the lowest of the other inputs that want the same output."""
    crosses, blocked = right_crossing(lines)
    firsts = [line[0] if line else None for line in lines]
    return crosses, [
        (
            number,
            output,
            min(n for n, first in enumerate(firsts) if first == firsts[number] and n != number),
        )
        for number, output, _ in blocked
    ]
