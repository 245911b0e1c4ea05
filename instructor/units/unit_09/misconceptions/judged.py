"""Misconceptions about what a matching is, and when it is the largest: exercise 9.3.

Each is the class below with one part that is wrong.
"""

__all__ = ["JUDGE_MATCHING", "Judgement", "Matched", "RightJudge", "Table", "right_judgement"]

from collections.abc import Callable, Iterator
from typing import Any

Table = list[list[int]]
Matched = list[int | None]
Judgement = tuple[str, list[int]]


class RightJudge:
    """A verdict in small parts, of which others get one wrong."""

    def __init__(self, waiting: Table, matched: Matched) -> None:
        self.waiting, self.matched = waiting, matched
        self.ports = range(len(waiting))

    def verdict(self) -> Judgement:
        """Return the first verdict that is true."""
        for wrong in self.wrong_inputs():
            return "not legal", [wrong]
        for pair in self.pairs_to_add():
            return "not maximal", list(pair)
        for path in self.paths():
            return "not maximum", self.told(path)
        return "maximum", []

    def wrong_inputs(self) -> Iterator[int]:
        """Yield the inputs that send what they may not."""
        for number, output in enumerate(self.matched):
            if output is not None and (self.lacks(number, output) or self.meets(number, output)):
                yield number

    def lacks(self, number: int, output: int) -> bool:
        """Tell whether an input has no cell for its output."""
        return not self.waiting[number][output]

    def meets(self, number: int, output: int | None) -> bool:
        """Tell whether a lower input sends to the same output."""
        return output in self.matched[:number]

    def free_inputs(self) -> list[int]:
        """Return the inputs that send nothing."""
        return [number for number in self.ports if self.matched[number] is None]

    def free_outputs(self) -> list[int]:
        """Return the outputs to which nobody sends."""
        return [output for output in self.ports if output not in self.matched]

    def pairs_to_add(self) -> Iterator[tuple[int, ...]]:
        """Yield the pairs that can be added."""
        for number in self.free_inputs():
            for output in self.free_outputs():
                if self.has_cell(number, output):
                    yield number, output

    def has_cell(self, number: int, output: int) -> bool:
        """Tell whether a pair can be added."""
        return self.waiting[number][output] > 0

    def paths(self) -> Iterator[list[int]]:
        """Yield all paths from free inputs to free outputs."""
        for number in self.free_inputs():
            yield from self.paths_on([number])

    def paths_on(self, path: list[int]) -> Iterator[list[int]]:
        """Go on from the input at which a path has come."""
        for output in self.ports:
            if not self.waiting[path[-1]][output] or output in path[1::2]:
                continue
            if output not in self.matched:
                yield [*path, output]
            elif self.goes_on(path):
                yield from self.paths_on([*path, output, self.matched.index(output)])

    def goes_on(self, path: list[int]) -> bool:
        """Tell whether a path may become longer."""
        return True

    def told(self, path: list[int]) -> list[int]:
        """Return a path as it is told."""
        return path


def right_judgement(waiting: Table, matched: Matched) -> Judgement:
    """Return what is right."""
    return RightJudge(waiting, matched).verdict()


class MaximalIsMaximum(RightJudge):
    def paths(self) -> Iterator[list[int]]:
        yield from ()


class OneExchange(RightJudge):
    def goes_on(self, path: list[int]) -> bool:
        return len(path) < 3


class WhoHasCellsMustSend(RightJudge):
    def paths(self) -> Iterator[list[int]]:
        yield from ([number] for number in self.free_inputs() if any(self.waiting[number]))


class FreePortsAreEnough(RightJudge):
    def has_cell(self, number: int, output: int) -> bool:
        return True


class OutputMayBeTaken(RightJudge):
    def free_outputs(self) -> list[int]:
        return list(self.ports)


class InputMaySendAlready(RightJudge):
    def pairs_to_add(self) -> Iterator[tuple[int, ...]]:
        for number in self.ports:
            for output in self.free_outputs():
                if self.has_cell(number, output):
                    yield number, output


class CellsDoNotMatter(RightJudge):
    def lacks(self, number: int, output: int) -> bool:
        return False


class OutputsTakeSeveral(RightJudge):
    def meets(self, number: int, output: int | None) -> bool:
        return False


class LowerOfTwoIsWrong(RightJudge):
    def meets(self, number: int, output: int | None) -> bool:
        return output in self.matched[number + 1 :]


class NoneMeetsNone(RightJudge):
    def wrong_inputs(self) -> Iterator[int]:
        for number, output in enumerate(self.matched):
            if self.meets(number, output) or (output is not None and self.lacks(number, output)):
                yield number


class HighestWrongInput(RightJudge):
    def wrong_inputs(self) -> Iterator[int]:
        yield from sorted(super().wrong_inputs(), reverse=True)


class MaximalBeforeLegal(RightJudge):
    def verdict(self) -> Judgement:
        for pair in self.pairs_to_add():
            return "not maximal", list(pair)
        return super().verdict()


class HighestPair(RightJudge):
    def pairs_to_add(self) -> Iterator[tuple[int, ...]]:
        yield from sorted(super().pairs_to_add(), reverse=True)


class LowestOutputFirst(RightJudge):
    def pairs_to_add(self) -> Iterator[tuple[int, ...]]:
        yield from sorted(super().pairs_to_add(), key=lambda pair: pair[::-1])


class PairTurnedRound(RightJudge):
    def pairs_to_add(self) -> Iterator[tuple[int, ...]]:
        yield from (pair[::-1] for pair in super().pairs_to_add())


class PathTurnedRound(RightJudge):
    def told(self, path: list[int]) -> list[int]:
        return path[::-1]


class InputsAlone(RightJudge):
    def told(self, path: list[int]) -> list[int]:
        return path[::2]


class EndsAlone(RightJudge):
    def told(self, path: list[int]) -> list[int]:
        return [path[0], path[-1]]


class PairsThatSendNow(RightJudge):
    def told(self, path: list[int]) -> list[int]:
        return path[1:-1]


def judge_by_size(waiting: Table, matched: Matched) -> Judgement:
    """Believe that the longest matching that one finds without looking back is the largest."""
    word, witness = MaximalIsMaximum(waiting, matched).verdict()
    taken: list[int] = []
    for row in waiting:
        taken += [output for output, cells in enumerate(row) if cells and output not in taken][:1]
    if word == "maximum" and len(taken) > sum(output is not None for output in matched):
        return right_judgement(waiting, matched)
    return word, witness


def maximal_is_maximum(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a matching to which nothing can be added is the largest."""
    return MaximalIsMaximum(waiting, matched).verdict()


def one_exchange(waiting: Table, matched: Matched) -> Judgement:
    """Believe that one input alone has to change its output."""
    return OneExchange(waiting, matched).verdict()


def who_has_cells_must_send(waiting: Table, matched: Matched) -> Judgement:
    """Believe that in the largest matching everybody sends who has cells."""
    return WhoHasCellsMustSend(waiting, matched).verdict()


def free_ports_are_enough(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a free input and a free output can always be added."""
    return FreePortsAreEnough(waiting, matched).verdict()


def output_may_be_taken(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a free input with a cell is enough, also for an output that is not free."""
    return OutputMayBeTaken(waiting, matched).verdict()


def input_may_send_already(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a free output for which somebody has a cell is enough."""
    return InputMaySendAlready(waiting, matched).verdict()


def cells_do_not_matter(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a matching is legal as long as no port is used twice."""
    return CellsDoNotMatter(waiting, matched).verdict()


def outputs_take_several(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a matching is legal as long as every input has a cell."""
    return OutputsTakeSeveral(waiting, matched).verdict()


def lower_of_two_is_wrong(waiting: Table, matched: Matched) -> Judgement:
    """Believe that of two that send to one output the lower input is wrong."""
    return LowerOfTwoIsWrong(waiting, matched).verdict()


def none_meets_none(waiting: Table, matched: Matched) -> Judgement:
    """Believe that two inputs that send nothing meet, too."""
    return NoneMeetsNone(waiting, matched).verdict()


def highest_wrong_input(waiting: Table, matched: Matched) -> Judgement:
    """Believe that the last input that is wrong is the witness."""
    return HighestWrongInput(waiting, matched).verdict()


def maximal_before_legal(waiting: Table, matched: Matched) -> Judgement:
    """Believe that what can be added is looked for first."""
    return MaximalBeforeLegal(waiting, matched).verdict()


def highest_pair(waiting: Table, matched: Matched) -> Judgement:
    """Believe that the last pair that can be added is the witness."""
    return HighestPair(waiting, matched).verdict()


def lowest_output_first(waiting: Table, matched: Matched) -> Judgement:
    """Believe that pairs are looked for output by output."""
    return LowestOutputFirst(waiting, matched).verdict()


def pair_turned_round(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a pair is told with its output first."""
    return PairTurnedRound(waiting, matched).verdict()


def path_turned_round(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a path begins at the free output."""
    return PathTurnedRound(waiting, matched).verdict()


def inputs_alone(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a path names inputs alone."""
    return InputsAlone(waiting, matched).verdict()


def ends_alone(waiting: Table, matched: Matched) -> Judgement:
    """Believe that the free input and the free output at its ends show all of a path."""
    return EndsAlone(waiting, matched).verdict()


def pairs_that_send_now(waiting: Table, matched: Matched) -> Judgement:
    """Believe that a path goes through pairs that send now alone."""
    return PairsThatSendNow(waiting, matched).verdict()


JUDGE_MATCHING: dict[str, Callable[..., Any]] = {
    "maximal-is-maximum": maximal_is_maximum,
    "found-without-looking-back": judge_by_size,
    "one-exchange-is-enough": one_exchange,
    "who-has-cells-must-send": who_has_cells_must_send,
    "free-ports-are-enough": free_ports_are_enough,
    "output-may-be-taken": output_may_be_taken,
    "input-may-send-already": input_may_send_already,
    "cells-do-not-matter": cells_do_not_matter,
    "outputs-take-several": outputs_take_several,
    "lower-of-two-is-wrong": lower_of_two_is_wrong,
    "none-meets-none": none_meets_none,
    "highest-wrong-input": highest_wrong_input,
    "maximal-before-legal": maximal_before_legal,
    "highest-pair": highest_pair,
    "lowest-output-first": lowest_output_first,
    "pair-turned-round": pair_turned_round,
    "path-turned-round": path_turned_round,
    "inputs-alone": inputs_alone,
    "ends-alone": ends_alone,
    "pairs-that-send-now": pairs_that_send_now,
}
