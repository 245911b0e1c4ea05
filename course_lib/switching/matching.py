"""Which inputs of a switch send to which outputs in this slot: a matching.

In a slot each input may send one cell and each output may take one. `requests[i, j]` says how many
cells at input i wait for output j. A matching rule fills `matched[i]` with the output for input i
and leaves it at -1 where there is none. Both rules here go through rounds of three steps:

1. each free input *requests* every output for which it has a cell;
2. each free output *grants* one of these requests;
3. each input *accepts* one of its grants. What was matched stays so in later rounds.

* Random grants and accepts: T. Anderson, S. Owicki, J. Saxe, C. Thacker, "High-speed switch
  scheduling for local-area networks", ACM Trans. Computer Systems 11 (1993).
* Round robin with pointers that slip: N. McKeown, "The iSLIP scheduling algorithm for input-queued
  switches", IEEE/ACM Trans. Networking 7 (1999). A pointer moves only past a grant that was
  accepted in the first round, and so the pointers come to point at different ports.

Your own is `own_matching(my_rule, settings=(...), memory=(...))`; see `own_rules`.
"""

__all__ = ["MatchRule", "Matching", "draw", "random_matching", "round_robin_matching"]

from collections.abc import Callable
from typing import NamedTuple, TypeAlias

import numpy as np

from course_lib.engine.machine_types import Counts, CountTable
from course_lib.queueing.checks import whole

# requests, settings, memory, matched (to be filled in)
MatchRule: TypeAlias = Callable[[CountTable, Counts, Counts, Counts], None]

NONE = -1


class Matching(NamedTuple):
    """A rule, and the whole numbers that it starts with."""

    rule: MatchRule
    settings: tuple[int, ...] = ()
    memory: tuple[int, ...] = ()


def random_matching(rounds: int = 1, seed: int = 0) -> Matching:
    """Return a matching by random grants and random accepts."""
    states = np.random.SeedSequence(seed).generate_state(2, np.uint64)
    first, second = (
        1 + int(s) % (m - 1) for s, m in zip(states, (_MODULUS_1, _MODULUS_2), strict=True)
    )
    return Matching(match_at_random, (whole(1, "rounds", rounds),), (first, second))


def round_robin_matching(ports: int, rounds: int = 1) -> Matching:
    """Return a matching by round robin; all pointers start at port 0."""
    pointers = 2 * whole(1, "ports", ports)  # of the outputs, then of the inputs
    return Matching(match_in_turn, (whole(1, "rounds", rounds),), (0,) * pointers)


def match_at_random(
    requests: CountTable, settings: Counts, memory: Counts, matched: Counts
) -> None:
    """Let outputs grant, and inputs accept, with equal chances."""
    ports = len(matched)
    taken = np.zeros(ports, np.int64)
    for _ in range(settings[0]):
        offer, grants = np.full(ports, NONE), np.zeros(ports, np.int64)
        for output in range(ports):
            granted, seen = NONE, 0
            for i in range(ports):
                if not taken[output] and matched[i] == NONE and requests[i, output] > 0:
                    seen += 1  # the n-th takes the place with chance 1/n: all end up equal
                    granted = i if draw(seen, memory) == 0 else granted
            if granted != NONE:
                grants[granted] += 1
                if draw(grants[granted], memory) == 0:
                    offer[granted] = output
        for i in range(ports):
            if offer[i] != NONE:
                matched[i], taken[offer[i]] = offer[i], 1


def match_in_turn(requests: CountTable, settings: Counts, memory: Counts, matched: Counts) -> None:
    """Let outputs grant, and inputs accept, the first one at or after their pointer."""
    ports = len(matched)
    taken = np.zeros(ports, np.int64)
    for turn in range(settings[0]):
        offer = np.full(ports, NONE)
        for output in range(ports):
            granted = NONE
            for step in range(ports):
                i = (memory[output] + step) % ports
                if not taken[output] and matched[i] == NONE and requests[i, output] > 0:
                    granted = i
                    break
            if granted != NONE:
                pointer = memory[ports + granted]
                best = offer[granted]
                if best == NONE or (output - pointer) % ports < (best - pointer) % ports:
                    offer[granted] = output
        for i in range(ports):
            if offer[i] != NONE:
                matched[i], taken[offer[i]] = offer[i], 1
                if turn == 0:
                    memory[offer[i]] = (i + 1) % ports
                    memory[ports + i] = (offer[i] + 1) % ports


# P. L'Ecuyer, "Efficient and portable combined random number generators", CACM 31 (1988): two short
# generators whose products fit in 64 bits, so that compiled and plain code draw the same numbers.
_MODULUS_1, _FACTOR_1 = 2147483563, 40014
_MODULUS_2, _FACTOR_2 = 2147483399, 40692


def draw(choices: int, memory: Counts) -> int:
    """Return a number from 0 to `choices` - 1; `memory[0]` and `memory[1]` hold the generator."""
    if choices == 1:
        return 0
    memory[0] = memory[0] * _FACTOR_1 % _MODULUS_1
    memory[1] = memory[1] * _FACTOR_2 % _MODULUS_2
    return int((memory[0] - memory[1]) % (_MODULUS_1 - 1) % choices)
