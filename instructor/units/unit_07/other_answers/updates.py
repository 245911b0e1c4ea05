"""Other right answers to exercise 7.1, each in a way of its own."""

__all__ = ["HEAR_UPDATE"]

from collections.abc import Callable
from typing import Any

Route = tuple[int, str | None]
Table = dict[str, Route]
Update = list[tuple[str, int]]


def hear_as_one_rule(table: Table, neighbour: str, cost: int, update: Update) -> Table:
    """Say in one condition when the offer counts."""
    heard = table.copy()
    for destination, metric in update:
        ours, hop = table.get(destination, (16, ""))
        offer = min(16, metric + cost)
        if metric in range(1, 17) and hop is not None and (hop == neighbour or offer < ours):
            heard[destination] = offer, neighbour
    return heard


def hear_by_offers(table: Table, neighbour: str, cost: int, update: Update) -> Table:
    """Work out all offers first, then choose for every destination."""
    own = {destination for destination, (_, hop) in table.items() if hop is None}
    offers = {
        destination: (metric + cost if metric + cost < 16 else 16, neighbour)
        for destination, metric in update
        if 0 < metric < 17 and destination not in own
    }
    result: Table = {}
    for destination in table.keys() | offers.keys():
        old, new = table.get(destination), offers.get(destination)
        if new is None or (old is not None and old[1] != neighbour and old[0] <= new[0]):
            result[destination] = old  # type: ignore[assignment]
        elif old is not None or new[0] != 16:
            result[destination] = new
    return result


def hear_by_steps(table: Table, neighbour: str, cost: int, update: Update) -> Table:
    """Go on with the next entry wherever there is nothing to do."""
    result: Table = {}
    for destination, (metric, hop) in table.items():
        result[destination] = (metric, hop)
    for destination, told in update:
        if told < 1 or told > 16:
            continue
        offer = told + cost
        if offer > 16:
            offer = 16
        if destination not in result:
            if offer != 16:
                result[destination] = (offer, neighbour)
            continue
        metric, hop = result[destination]
        if hop is None:
            continue
        if hop != neighbour and offer >= metric:
            continue
        result[destination] = (offer, neighbour)
    return result


HEAR_UPDATE: tuple[Callable[..., Any], ...] = (hear_as_one_rule, hear_by_offers, hear_by_steps)
