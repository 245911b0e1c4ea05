"""Misconceptions about a matching in which the longest line goes first: exercise 9.6."""

__all__ = ["LONGEST_FIRST", "Row", "best_pairs", "pairs_of"]

from collections.abc import Callable
from typing import Any

Row = Any  # an array of whole numbers: `settings`, `memory` and `matched`
Pair = tuple[int, int]


def pairs_of(waiting: Any, matched: Row) -> list[Pair]:
    """Return the pairs of free ports with cells between them, input by input."""
    ports = range(len(matched))
    return [
        (i, output)
        for i in ports
        for output in ports
        if waiting[i, output] > 0 and matched[i] == -1 and output not in matched
    ]


def best_pairs(waiting: Any, matched: Row, key: Callable[[Pair], Any]) -> None:
    """Match the pair with the largest key, again and again."""
    while pairs := pairs_of(waiting, matched):
        i, output = max(pairs, key=key)
        matched[i] = output


def lowest_first(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that any pair will do: the lowest input gets its lowest output."""
    best_pairs(waiting, matched, lambda pair: (-pair[0], -pair[1]))


def shortest_first(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that the fewest cells go first."""
    best_pairs(waiting, matched, lambda pair: (-waiting[pair], -pair[0], -pair[1]))


def inputs_choose_in_turn(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that one input after the other takes its longest line."""
    best_pairs(waiting, matched, lambda pair: (-pair[0], waiting[pair], -pair[1]))


def outputs_choose_in_turn(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that one output after the other takes the longest line."""
    best_pairs(waiting, matched, lambda pair: (-pair[1], waiting[pair], -pair[0]))


def fullest_input_first(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that the input with the most cells in all goes first."""
    best_pairs(
        waiting,
        matched,
        lambda pair: (sum(waiting[pair[0]].tolist()), -pair[0], waiting[pair], -pair[1]),
    )


def outputs_take_several(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that each input may send from its longest line, wherever the others send."""
    for i, row in enumerate(waiting.tolist()):
        if max(row) > 0:
            matched[i] = row.index(max(row))


def losers_wait(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that an input whose longest line lost sends nothing in this slot."""
    rows = waiting.tolist()
    wanted = [row.index(max(row)) for row in rows]
    for output in set(wanted):
        rivals = [i for i, one in enumerate(wanted) if one == output and max(rows[i]) > 0]
        if rivals:
            matched[max(rivals, key=lambda i: (max(rows[i]), -i))] = output


def one_pair_alone(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that a slot takes but one pair."""
    pairs = pairs_of(waiting, matched)
    if pairs:
        i, output = max(pairs, key=lambda pair: (waiting[pair], -pair[0], -pair[1]))
        matched[i] = output


def highest_input_of_equals(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that of equals the highest input goes first."""
    best_pairs(waiting, matched, lambda pair: (waiting[pair], pair[0], -pair[1]))


def highest_output_of_equals(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that of equals of one input the highest output goes first."""
    best_pairs(waiting, matched, lambda pair: (waiting[pair], -pair[0], pair[1]))


def last_of_equals(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that of equals the last that is found goes first."""
    best_pairs(waiting, matched, lambda pair: (waiting[pair], pair))


def without_cells(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that two free ports are a pair, cells or not."""
    best_pairs(waiting + 1, matched, lambda pair: (waiting[pair], -pair[0], -pair[1]))


def inputs_for_outputs(waiting: Any, settings: Row, memory: Row, matched: Row) -> None:
    """Believe that `matched` says for each output which input sends to it."""
    found = matched.copy()
    best_pairs(waiting, found, lambda pair: (waiting[pair], -pair[0], -pair[1]))
    for i, output in enumerate(found.tolist()):
        if output != -1:
            matched[output] = i


LONGEST_FIRST: dict[str, Callable[..., Any]] = {
    "lowest-first": lowest_first,
    "shortest-first": shortest_first,
    "inputs-choose-in-turn": inputs_choose_in_turn,
    "outputs-choose-in-turn": outputs_choose_in_turn,
    "fullest-input-first": fullest_input_first,
    "outputs-take-several": outputs_take_several,
    "losers-wait": losers_wait,
    "one-pair-alone": one_pair_alone,
    "highest-input-of-equals": highest_input_of_equals,
    "highest-output-of-equals": highest_output_of_equals,
    "last-of-equals": last_of_equals,
    "without-cells": without_cells,
    "inputs-for-outputs": inputs_for_outputs,
}
