"""Other right answers for exercise 9.6, each in a way of its own."""

__all__ = ["OTHERS"]

from typing import Any


def longest_by_crossing_out(waiting: Any, settings: Any, memory: Any, matched: Any) -> None:
    """Match the pair with the most cells, and cross out its row and column, again and again."""
    ports = len(matched)
    for _ in range(ports):
        place = waiting.argmax()  # counted row by row: the first of equals
        i, output = place // ports, place % ports
        if waiting[i, output] == 0:
            break
        matched[i] = output
        waiting[i, :] = 0
        waiting[:, output] = 0


def longest_by_sorting(waiting: Any, settings: Any, memory: Any, matched: Any) -> None:
    """Sort all pairs once; whoever is free when its turn comes is a pair."""
    ports = range(len(matched))
    order = sorted((-int(waiting[i, o]), i, o) for i in ports for o in ports if waiting[i, o] > 0)
    taken = set()
    for _, i, output in order:
        if matched[i] < 0 and output not in taken:
            matched[i] = output
            taken.add(output)


def longest_by_search(waiting: Any, settings: Any, memory: Any, matched: Any) -> None:
    """Match the pair with the most cells, again and again."""
    ports = len(matched)
    for _ in range(ports):
        most = 0
        for i in range(ports):
            for output in range(ports):
                is_free = matched[i] == -1 and not (matched == output).any()
                if is_free and waiting[i, output] > most:  # of equals the first one stays
                    most, pair = waiting[i, output], (i, output)
        if most == 0:
            break
        matched[pair[0]] = pair[1]


OTHERS = (longest_by_crossing_out, longest_by_sorting, longest_by_search)
