"""Answers that break one clause of the contract of 9.6, and keep all others.

What goes first is asked for at three ports, equals at four, and what is left at two, five and six:
where a clause would be broken in all of them, it is broken at one number of ports only.
"""

__all__ = [
    "lowest_first_of_three",
    "minus_two_for_nothing",
    "outputs_of_three_take_several",
    "single_cells_of_five_left",
    "two_pairs_of_five",
    "without_cells_of_six",
]

from typing import Any

from instructor.units.unit_09.misconceptions.own_rule import (
    Row,
    best_pairs,
    lowest_first,
    outputs_take_several,
    pairs_of,
    without_cells,
)


def _right(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    best_pairs(waiting, matched, lambda pair: (waiting[pair], -pair[0], -pair[1]))


def lowest_first_of_three(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Take the lowest pair first, at three ports."""
    (lowest_first if len(matched) == 3 else _right)(waiting, settings, memory, matched)


def outputs_of_three_take_several(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Let all send from their longest lines, at three ports."""
    (outputs_take_several if len(matched) == 3 else _right)(waiting, settings, memory, matched)


def minus_two_for_nothing(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Say -2 of inputs that send nothing, at two ports."""
    _right(waiting, settings, memory, matched)
    if len(matched) == 2:
        matched[matched == -1] = -2


def without_cells_of_six(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Match ports without cells between them, at six ports."""
    (without_cells if len(matched) == 6 else _right)(waiting, settings, memory, matched)


def two_pairs_of_five(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Stop after two pairs, at five ports."""
    if len(matched) != 5:
        _right(waiting, settings, memory, matched)
        return
    for _ in range(2):
        pairs = pairs_of(waiting, matched)
        if pairs:
            i, output = max(pairs, key=lambda pair: (waiting[pair], -pair[0], -pair[1]))
            matched[i] = output


def single_cells_of_five_left(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Take no line of a single cell, at five ports."""
    _right(waiting * (waiting > 1) if len(matched) == 5 else waiting, settings, memory, matched)
