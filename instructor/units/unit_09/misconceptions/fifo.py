"""Misconceptions about one slot with a line at each input: exercise 9.1."""

__all__ = ["CROSS_ONCE", "Crossing", "blocked_behind", "right_crossing", "winners_by"]

from collections.abc import Callable
from typing import Any

Lines = list[list[int]]
Blocked = list[tuple[int, int, int]]
Crossing = tuple[list[int | None], Blocked]


def winners_by(lines: Lines, key: Callable[[int], Any]) -> dict[int, int]:
    """Return for each output that is wanted the input that wins it: that with the largest key."""
    wanted: dict[int, list[int]] = {}
    for number, line in enumerate(lines):
        if line:
            wanted.setdefault(line[0], []).append(number)
    return {output: max(inputs, key=key) for output, inputs in wanted.items()}


def right_winners(lines: Lines) -> dict[int, int]:
    """Return who wins: the longest line, of equals the lowest input."""
    return winners_by(lines, lambda number: (len(lines[number]), -number))


def crossing_of(lines: Lines, winners: dict[int, int]) -> list[int | None]:
    """Return to which output each input sends."""
    crosses: list[int | None] = [None] * len(lines)
    for output, number in winners.items():
        crosses[number] = output
    return crosses


def blocked_behind(lines: Lines, winners: dict[int, int]) -> Blocked:
    """Return what is blocked behind those that lost."""
    return [
        (number, output, winners[line[0]])
        for number, line in enumerate(lines)
        if line and winners[line[0]] != number
        for output in sorted(set(line) - set(winners))
    ]


def with_winners(lines: Lines, winners: dict[int, int]) -> Crossing:
    """Return both lists for these winners."""
    return crossing_of(lines, winners), blocked_behind(lines, winners)


def right_crossing(lines: Lines) -> Crossing:
    """Return what is right."""
    return with_winners(lines, right_winners(lines))


def lowest_input_wins(lines: Lines) -> Crossing:
    """Believe that the lowest input goes first, however long its line."""
    return with_winners(lines, winners_by(lines, lambda number: -number))


def highest_input_wins(lines: Lines) -> Crossing:
    """Believe that the highest input goes first: it overwrites the others."""
    return with_winners(lines, winners_by(lines, lambda number: number))


def shortest_line_wins(lines: Lines) -> Crossing:
    """Believe that the shortest line goes first."""
    return with_winners(lines, winners_by(lines, lambda number: (-len(lines[number]), -number)))


def highest_of_equals(lines: Lines) -> Crossing:
    """Believe that of lines equally long the highest input goes first."""
    return with_winners(lines, winners_by(lines, lambda number: (len(lines[number]), number)))


def all_cross(lines: Lines) -> Crossing:
    """Believe that an output takes as many cells as come."""
    return [line[0] if line else None for line in lines], []


def nobody_crosses_who_meets(lines: Lines) -> Crossing:
    """Believe that cells for one output collide, so that none of them crosses."""
    firsts = [line[0] for line in lines if line]
    winners = {
        output: number
        for output, number in right_winners(lines).items()
        if firsts.count(output) == 1
    }
    blocked = [
        (number, output, right_winners(lines)[line[0]])
        for number, line in enumerate(lines)
        if line and firsts.count(line[0]) > 1
        for output in sorted(set(line[1:]) - set(winners))
    ]
    return crossing_of(lines, winners), blocked


def next_one_passes(lines: Lines) -> Crossing:
    """Believe that a cell may pass the one in front of it, if its own output is free."""
    winners = right_winners(lines)
    for number, line in enumerate(lines):
        free = [output for output in line if output not in winners]
        if line and number not in winners.values() and free:
            winners[free[0]] = number
    return crossing_of(lines, winners), [
        one for one in blocked_behind(lines, winners) if one[0] not in winners.values()
    ]


def busy_outputs_block(lines: Lines) -> Crossing:
    """Believe that whatever waits behind one that lost is blocked by it, also for busy outputs."""
    winners = right_winners(lines)
    blocked = [
        (number, output, winners[line[0]])
        for number, line in enumerate(lines)
        if line and winners[line[0]] != number
        for output in sorted(set(line[1:]))
    ]
    return crossing_of(lines, winners), blocked


def winners_block(lines: Lines) -> Crossing:
    """Believe that cells behind one that crosses are blocked, too."""
    winners = right_winners(lines)
    blocked = [
        (number, output, winners[line[0]])
        for number, line in enumerate(lines)
        if line
        for output in sorted(set(line) - set(winners))
    ]
    return crossing_of(lines, winners), blocked


def losers_are_blocked(lines: Lines) -> Crossing:
    """Believe that the cell that lost is itself blocked."""
    winners = right_winners(lines)
    lost = [
        (number, line[0], winners[line[0]])
        for number, line in enumerate(lines)
        if line and winners[line[0]] != number
    ]
    return crossing_of(lines, winners), sorted(lost + blocked_behind(lines, winners))


def only_losers_are_blocked(lines: Lines) -> Crossing:
    """Believe that nobody but the cell that lost is blocked."""
    winners = right_winners(lines)
    return crossing_of(lines, winners), [
        (number, line[0], winners[line[0]])
        for number, line in enumerate(lines)
        if line and winners[line[0]] != number
    ]


def second_cell_alone(lines: Lines) -> Crossing:
    """Believe that only the second in line is blocked, since the others stand behind that one."""
    crosses, blocked = right_crossing(lines)
    return crosses, [one for one in blocked if one[1] == lines[one[0]][1]]


def every_cell_counts(lines: Lines) -> Crossing:
    """Believe that every single cell is named, although a slot could take but one of them."""
    crosses, blocked = right_crossing(lines)
    return crosses, [one for one in blocked for _ in range(lines[one[0]].count(one[1]))]


def in_the_order_of_the_line(lines: Lines) -> Crossing:
    """Believe that outputs come in the order in which their cells stand in line."""
    crosses, blocked = right_crossing(lines)
    return crosses, sorted(blocked, key=lambda one: (one[0], lines[one[0]].index(one[1])))


def blocked_by_the_output(lines: Lines) -> Crossing:
    """Believe that the output that the first cell wants is what blocks."""
    crosses, blocked = right_crossing(lines)
    return crosses, [(number, output, lines[number][0]) for number, output, _ in blocked]


def blocked_by_the_own_input(lines: Lines) -> Crossing:
    """Believe that the first cell of the same line is what blocks."""
    crosses, blocked = right_crossing(lines)
    return crosses, [(number, output, number) for number, output, _ in blocked]


CROSS_ONCE: dict[str, Callable[..., Any]] = {
    "lowest-input-wins": lowest_input_wins,
    "highest-input-wins": highest_input_wins,
    "shortest-line-wins": shortest_line_wins,
    "highest-of-equals": highest_of_equals,
    "all-cross": all_cross,
    "nobody-crosses-who-meets": nobody_crosses_who_meets,
    "next-one-passes": next_one_passes,
    "busy-outputs-block": busy_outputs_block,
    "winners-block": winners_block,
    "losers-are-blocked": losers_are_blocked,
    "only-losers-are-blocked": only_losers_are_blocked,
    "second-cell-alone": second_cell_alone,
    "every-cell-counts": every_cell_counts,
    "in-the-order-of-the-line": in_the_order_of_the_line,
    "blocked-by-the-output": blocked_by_the_output,
    "blocked-by-the-own-input": blocked_by_the_own_input,
}
