"""Borrowed part of unit 09: a matcher that takes turns, by way of the library's own rule.

The library fills in one array for a slot. So this one asks it round by round, and takes out of the
table what has been matched; pointers of later rounds are thrown away.

Not here: `new_inputs`, which would be nothing but the answer; `cross_once`, `judge_matching` and
`pipeline_limits`, which measure and are no part of a switch.
"""

__all__ = ["new_matcher"]

import numpy as np

from course_lib.switching.matching import match_in_turn

_ONE_ROUND = np.array([1])


def new_matcher(ports: int) -> "MatcherInRounds":
    """Return a matcher with all pointers at port 0: exercise 9.4."""
    return MatcherInRounds(ports)


class MatcherInRounds:
    """The library's round robin, one round at a time."""

    def __init__(self, ports: int) -> None:
        self._pointers = np.zeros(2 * ports, np.int64)  # of the outputs, then of the inputs

    def match(self, waiting: list[list[int]]) -> list[list[tuple[int, int]]]:
        """Return the pairs of a slot, round by round."""
        requests, pointers = np.array(waiting), self._pointers
        rounds: list[list[tuple[int, int]]] = []
        while True:
            matched = np.full(len(waiting), -1)
            match_in_turn(requests, _ONE_ROUND, pointers, matched)
            pairs = [(i, int(output)) for i, output in enumerate(matched) if output >= 0]
            if not pairs:
                return rounds
            rounds.append(pairs)
            for i, output in pairs:
                requests[i, :] = requests[:, output] = 0
            pointers = self._pointers.copy()
