"""Answers that break one clause of the contract of 9.3, and keep all others.

A clause about what can be added is broken at three ports only, and one about paths at four or
more: so each costs the points of one aspect.
"""

__all__ = [
    "free_ports_of_three",
    "highest_input_of_all",
    "highest_output_of_all",
    "maximal_is_maximum_of_four",
    "one_exchange_of_six",
    "output_of_three_may_be_taken",
    "pairs_as_witness",
    "path_turned_round_of_five",
    "path_without_cells",
    "verdict_as_a_list",
]

from typing import Any

from instructor.units.unit_09.misconceptions.judged import (
    Judgement,
    Matched,
    RightJudge,
    Table,
    free_ports_are_enough,
    maximal_is_maximum,
    one_exchange,
    output_may_be_taken,
    path_turned_round,
    right_judgement,
)


def verdict_as_a_list(waiting: Table, matched: Matched) -> Any:
    """Return a list."""
    return list(right_judgement(waiting, matched))


def output_of_three_may_be_taken(waiting: Table, matched: Matched) -> Judgement:
    """Let the output be taken, at three ports."""
    return (output_may_be_taken if len(waiting) == 3 else right_judgement)(waiting, matched)


def free_ports_of_three(waiting: Table, matched: Matched) -> Judgement:
    """Ask for no cell, at three ports."""
    return (free_ports_are_enough if len(waiting) == 3 else right_judgement)(waiting, matched)


def highest_output_of_all(waiting: Table, matched: Matched) -> Judgement:
    """Name the highest output for the lowest input."""
    word, witness = right_judgement(waiting, matched)
    if word == "not maximal":
        outputs = [number for one, number in RightJudge(waiting, matched).pairs_to_add()
                   if one == witness[0]]  # fmt: skip
        return word, [witness[0], max(outputs)]
    return word, witness


def highest_input_of_all(waiting: Table, matched: Matched) -> Judgement:
    """Name the highest input, with its lowest output."""
    word, witness = right_judgement(waiting, matched)
    if word == "not maximal":
        pairs = list(RightJudge(waiting, matched).pairs_to_add())
        return word, list(min(pair for pair in pairs if pair[0] == max(pairs)[0]))
    return word, witness


def maximal_is_maximum_of_four(waiting: Table, matched: Matched) -> Judgement:
    """Look for no path, at four ports."""
    return (maximal_is_maximum if len(waiting) == 4 else right_judgement)(waiting, matched)


def path_turned_round_of_five(waiting: Table, matched: Matched) -> Judgement:
    """Tell a path backwards, at five ports."""
    return (path_turned_round if len(waiting) == 5 else right_judgement)(waiting, matched)


def one_exchange_of_six(waiting: Table, matched: Matched) -> Judgement:
    """Look for short paths only, at six ports."""
    return (one_exchange if len(waiting) == 6 else right_judgement)(waiting, matched)


def path_without_cells(waiting: Table, matched: Matched) -> Judgement:
    """Let a short path end at the lowest free output, whether there is a cell for it or not."""
    word, witness = right_judgement(waiting, matched)
    if len(witness) == 4:
        return word, [*witness[:3], RightJudge(waiting, matched).free_outputs()[0]]
    return word, witness


def pairs_as_witness(waiting: Table, matched: Matched) -> Judgement:
    """Show the outputs that are used as a witness of the largest, at more than three ports."""
    word, witness = right_judgement(waiting, matched)
    if word == "maximum" and len(waiting) > 3:
        return word, [output for output in matched if output is not None]
    return word, witness
