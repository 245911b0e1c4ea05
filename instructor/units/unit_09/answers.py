"""Model answers for unit 09, inside the switch: written to be read out in front of a class.

Sources: M. Karol, M. Hluchyj, S. Morgan, IEEE Trans. Communications 35 (1987) (lines at inputs);
N. McKeown, IEEE/ACM Trans. Networking 7 (1999) (virtual output queues; request, grant, accept);
C. Berge, Proc. National Academy of Sciences 43 (1957) (a matching is maximum if no path is left;
cited from memory).
"""

__all__ = [
    "cross_once",
    "judge_matching",
    "longest_first",
    "new_inputs",
    "new_matcher",
    "pipeline_limits",
]

from collections import deque
from typing import Any


def cross_once(
    lines: list[list[int]],
) -> tuple[list[int | None], list[tuple[int, int, int]]]:
    """Return to which output each input sends, and what is blocked by whom."""
    winner: dict[int, int] = {}
    for number, line in enumerate(lines):
        if line:
            best = winner.get(line[0])
            if best is None or len(line) > len(lines[best]):
                winner[line[0]] = number
    crosses: list[int | None] = [None] * len(lines)
    for output, number in winner.items():
        crosses[number] = output
    blocked = []
    for number, line in enumerate(lines):
        if line and crosses[number] is None:
            idle = sorted(set(line) - set(winner))
            blocked += [(number, output, winner[line[0]]) for output in idle]
    return crosses, blocked


def new_inputs(ports: int) -> "Inputs":
    """Return inputs at which nothing waits."""
    return Inputs(ports)


class Inputs:
    """A line for each output at each input: virtual output queues."""

    def __init__(self, ports: int) -> None:
        self.lines: list[list[deque[str]]] = [[deque() for _ in range(ports)] for _ in range(ports)]

    def join(self, number: int, output: int, name: str) -> None:
        """Let a cell wait."""
        self.lines[number][output].append(name)

    def waiting(self) -> list[list[int]]:
        """Count the cells of each line."""
        return [[len(line) for line in row] for row in self.lines]

    def cross(self, matched: list[int | None]) -> list[str | None] | None:
        """Let cells cross; none at all if one may not."""
        taken: set[int] = set()
        for number, output in enumerate(matched):
            if output is not None:
                if output in taken or not self.lines[number][output]:
                    return None
                taken.add(output)
        return [
            None if output is None else self.lines[number][output].popleft()
            for number, output in enumerate(matched)
        ]


def judge_matching(waiting: list[list[int]], matched: list[int | None]) -> tuple[str, list[int]]:
    """Return a verdict on a matching, and what shows it."""
    sender: dict[int, int] = {}
    for number, output in enumerate(matched):
        if output is not None:
            if output in sender or not waiting[number][output]:
                return "not legal", [number]
            sender[output] = number
    free = [number for number, output in enumerate(matched) if output is None]
    for number in free:
        for output, cells in enumerate(waiting[number]):
            if cells and output not in sender:
                return "not maximal", [number, output]
    seen: set[int] = set()  # what led nowhere from one input leads nowhere from another
    for number in free:
        path = path_from(number, waiting, sender, seen)
        if path:
            return "not maximum", path
    return "maximum", []


def path_from(
    number: int, waiting: list[list[int]], sender: dict[int, int], seen: set[int]
) -> list[int]:
    """Return a path from an input to a free output, through outputs not seen yet; or nothing."""
    for output, cells in enumerate(waiting[number]):
        if cells and output not in seen:
            seen.add(output)
            if output not in sender:
                return [number, output]
            rest = path_from(sender[output], waiting, sender, seen)
            if rest:
                return [number, output, *rest]
    return []


def pipeline_limits(
    stages: list[tuple[str, int, int]], clock_hz: int, host: tuple[int, int] | None
) -> tuple[str, int, int, int]:
    """Return what limits, packets a second, cycles of latency, and the most for the host."""
    million = 1_000_000
    limits, cycles, units = max(stages, key=lambda stage: stage[1] / stage[2])
    rate = clock_hz * units // cycles
    latency = sum(each for _, each, _ in stages)  # units help others, not the packet itself
    if host is None:
        return limits, rate, latency, 0
    host_cycles, diverted = host
    most = min(million, million * cycles // (units * host_cycles))
    if diverted > most:
        limits, rate = "host", million * clock_hz // (host_cycles * diverted)
    return limits, rate, latency, most


def new_matcher(ports: int) -> "Matcher":
    """Return a matcher whose pointers all stand at port 0."""
    return Matcher(ports)


class Matcher:
    """Round robin in three steps, with pointers that move only past what was accepted."""

    def __init__(self, ports: int) -> None:
        self.grant_from = [0] * ports  # the pointer of each output
        self.accept_from = [0] * ports  # the pointer of each input

    def match(self, waiting: list[list[int]]) -> list[list[tuple[int, int]]]:
        """Return the pairs of a slot, round by round."""
        free_inputs, free_outputs = set(range(len(waiting))), set(range(len(waiting)))
        rounds: list[list[tuple[int, int]]] = []
        while True:
            grants: dict[int, list[int]] = {}
            for output in free_outputs:
                requests = [number for number in free_inputs if waiting[number][output]]
                if requests:
                    granted = self.first(requests, self.grant_from[output])
                    grants.setdefault(granted, []).append(output)
            if not grants:
                return rounds
            pairs = [
                (number, self.first(grants[number], self.accept_from[number]))
                for number in sorted(grants)
            ]
            if not rounds:
                self.move(pairs)
            free_inputs -= {number for number, _ in pairs}
            free_outputs -= {output for _, output in pairs}
            rounds.append(pairs)

    def first(self, numbers: list[int], pointer: int) -> int:
        """Return the first port at or after a pointer."""
        return min(numbers, key=lambda number: (number - pointer) % len(self.grant_from))

    def move(self, pairs: list[tuple[int, int]]) -> None:
        """Let both ports of each pair point behind their partner."""
        for number, output in pairs:
            self.grant_from[output] = (number + 1) % len(self.grant_from)
            self.accept_from[number] = (output + 1) % len(self.grant_from)


def longest_first(waiting: Any, settings: Any, memory: Any, matched: Any) -> None:
    """Go down from the longest lines to those of one cell, through the whole table each time."""
    ports = len(matched)
    for cells in range(waiting.max(), 0, -1):
        for i in range(ports):
            for output in range(ports):
                is_next = waiting[i, output] == cells and matched[i] == -1
                if is_next and not (matched == output).any():
                    matched[i] = output
