"""Questions of exercise 9.3, matchings: public ones, and where secret ones come from.

A path is asked for only where there is but one: then every right answer finds the same.
"""

__all__ = ["JUDGED", "LEGAL", "MAXIMAL", "MAXIMUM", "judged_questions"]

import random
from collections.abc import Callable
from itertools import islice
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_09.judged import broken
from instructor.units.unit_09.misconceptions import judged
from instructor.units.unit_09.misconceptions.judged import Matched, RightJudge, Table
from instructor.units.unit_09.telling import telling

LEGAL, MAXIMAL, MAXIMUM = "legal", "maximal", "maximum"

_CLAUSES: dict[str, tuple[Callable[..., Any], ...]] = {
    LEGAL: (
        judged.cells_do_not_matter,
        judged.outputs_take_several,
        judged.highest_wrong_input,
        judged.maximal_before_legal,
    ),
    MAXIMAL: (
        broken.output_of_three_may_be_taken,
        broken.free_ports_of_three,
        broken.highest_input_of_all,
        broken.highest_output_of_all,
    ),
    MAXIMUM: (
        broken.maximal_is_maximum_of_four,
        broken.path_turned_round_of_five,
        broken.one_exchange_of_six,
        broken.path_without_cells,
        broken.pairs_as_witness,
    ),
}
_PORTS = {
    broken.maximal_is_maximum_of_four: 4,
    broken.path_turned_round_of_five: 5,
    broken.one_exchange_of_six: 6,
}


def judged_questions(rng: random.Random) -> list[Question]:
    """Draw matchings for each clause."""
    return [
        *(
            Question(aspect, _telling(rng, aspect, wrong))
            for aspect, clauses in _CLAUSES.items()
            for wrong in clauses * (2 if aspect == LEGAL else 1)
        ),
        Question(MAXIMAL, _telling(rng, MAXIMAL, judged.lowest_output_first)),
        Question(MAXIMUM, _path_from_a_later_input(rng)),
    ]


def _path_from_a_later_input(rng: random.Random) -> tuple[Table, Matched]:
    """Draw a matching in which no path begins at the lowest free input."""
    while True:
        waiting, matched = _drawn(rng, MAXIMUM, 5)
        word, path = judged.right_judgement(waiting, matched)
        if word == "not maximum" and path[0] != matched.index(None):
            return waiting, matched


def _telling(rng: random.Random, aspect: str, wrong: Callable[..., Any]) -> tuple[Table, Matched]:
    clauses = _CLAUSES[aspect]
    others = [one for one in clauses if one is not wrong and wrong in clauses]
    return telling(
        lambda: _drawn(rng, aspect, _PORTS.get(wrong, 0)),
        _on_both(judged.right_judgement),
        _on_both(wrong),
        [_on_both(other) for other in others],
    )


def _on_both(judge: Callable[..., Any]) -> Callable[[tuple[Table, Matched]], Any]:
    return lambda drawn: judge(*drawn)


def _drawn(rng: random.Random, aspect: str, ports: int) -> tuple[Table, Matched]:
    """Draw what belongs to an aspect, with so many ports; 0: as many as it may have."""
    fewest, most = {LEGAL: (4, 7), MAXIMAL: (3, 3), MAXIMUM: (4, 6)}[aspect]
    while True:
        number = ports or rng.randint(fewest, most)
        cells = range(1, 4) if aspect == LEGAL else range(1, 3)
        waiting = _table(rng, number, cells)
        matched = _any(rng, number) if aspect == LEGAL else _some(rng, waiting, aspect)
        word, _ = judged.right_judgement(waiting, matched)
        if (word == "not legal") != (aspect == LEGAL):
            continue
        if word == "not maximum" and (aspect == MAXIMAL or _has_more_paths(waiting, matched)):
            continue
        if word == "not maximal" and aspect == MAXIMUM:
            continue
        return waiting, matched


def _table(rng: random.Random, ports: int, cells: range) -> Table:
    """Draw which input has cells for which output, for a few each."""
    waiting = [[0] * ports for _ in range(ports)]
    for row in waiting:
        for output in rng.sample(range(ports), rng.choice(cells)):
            row[output] = rng.randint(1, 9)
    return waiting


def _any(rng: random.Random, ports: int) -> Matched:
    return [rng.choice((None, *range(ports))) for _ in range(ports)]


def _some(rng: random.Random, waiting: Table, aspect: str) -> Matched:
    """Draw a matching that is legal; one that is to be maximal is filled up."""
    ports = range(len(waiting))
    matched: Matched = [None for _ in ports]
    for number in rng.sample(ports, len(ports)):
        free = [output for output in ports if waiting[number][output] and output not in matched]
        if free and (aspect == MAXIMUM or rng.random() < 0.5):
            matched[number] = rng.choice(free)
    return matched


def _has_more_paths(waiting: Table, matched: Matched) -> bool:
    return len(list(islice(RightJudge(waiting, matched).paths(), 2))) > 1


JUDGED = (
    Question(
        MAXIMUM,
        ([[1, 1], [1, 0]], [0, None]),
        "the contract's example",
        Expected(value=("not maximum", [1, 0, 0, 1])),
    ),
    *judged_questions(random.Random("public 9.3")),
    *judged_questions(random.Random("more of 9.3")),
)
