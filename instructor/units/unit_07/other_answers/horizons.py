"""Other right answers to exercise 7.2, each in a way of its own."""

__all__ = ["TELL_NEIGHBOURS"]

from collections.abc import Callable, Iterator
from itertools import islice
from typing import Any

Table = dict[str, tuple[int, str | None]]
Entries = list[tuple[str, int]]


def tell_by_rules(
    table: Table, neighbours: list[str], horizon: str, changed: list[str] | None, most: int
) -> list[tuple[str, Entries]]:
    """Keep a rule for each remedy in a dictionary."""
    rules: dict[str, Callable[[int], Entries]] = {
        "off": lambda metric: [("", metric)],
        "split horizon": lambda metric: [],
        "poisoned reverse": lambda metric: [("", 16)],
    }
    chosen = {d: table[d] for d in sorted(table) if changed is None or d in changed}
    told = []
    for neighbour in neighbours:
        entries = [
            (destination, heard)
            for destination, (metric, hop) in chosen.items()
            for _, heard in (rules[horizon](metric) if hop == neighbour else [("", metric)])
        ]
        while entries:
            told.append((neighbour, entries[:most]))
            del entries[:most]
    return told


def tell_by_generators(
    table: Table, neighbours: list[str], horizon: str, changed: list[str] | None, most: int
) -> list[tuple[str, Entries]]:
    """Let entries flow into messages."""

    def entries_for(neighbour: str) -> Iterator[tuple[str, int]]:
        for destination in sorted(table.keys() if changed is None else set(changed)):
            metric, hop = table[destination]
            if neighbour != hop:
                yield destination, metric
            elif horizon != "split horizon":
                yield destination, metric if horizon == "off" else 16

    def messages_for(neighbour: str) -> Iterator[tuple[str, Entries]]:
        entries = entries_for(neighbour)
        while message := list(islice(entries, most)):
            yield neighbour, message

    return [message for neighbour in neighbours for message in messages_for(neighbour)]


def tell_by_steps(
    table: Table, neighbours: list[str], horizon: str, changed: list[str] | None, most: int
) -> list[tuple[str, Entries]]:
    """Begin a new message whenever the last one is full."""
    result: list[tuple[str, Entries]] = []
    for neighbour in neighbours:
        message: Entries = []
        for destination in sorted(table):
            if changed is not None and destination not in changed:
                continue
            metric, hop = table[destination]
            if hop == neighbour and horizon == "split horizon":
                continue
            if hop == neighbour and horizon == "poisoned reverse":
                metric = 16
            if len(message) == most:
                result.append((neighbour, message))
                message = []
            message.append((destination, metric))
        if message:
            result.append((neighbour, message))
    return result


TELL_NEIGHBOURS: tuple[Callable[..., Any], ...] = (
    tell_by_rules,
    tell_by_generators,
    tell_by_steps,
)
