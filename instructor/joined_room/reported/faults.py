"""Which router does what it should not: told by what members report, in words that name a pier.

Crashes and complaints are plain. Wrong routes are told by distance: where all lines cost the same,
a right next hop is one line nearer to the destination, always. So an entry whose next hop is no
nearer is wrong. But *who* is at fault? A router whose table is wrong, or the neighbour that has
told it so:

* two routers or more that all send packets for one pier to the same place, which is no nearer,
  were told so there: that one says that it has what it has not. So it is with one router that sends
  to a place which has no way there itself;
* a router that is alone with its wrong entries, and has two or more, is at fault itself;
* else nobody is named: silence is better than a wrong name. So it is while routes still change.
"""

__all__ = ["Wrong", "faults_of_tables", "wrong_entries"]

from collections import defaultdict, deque
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import NamedTuple

from instructor.joined_room.reported.route_books import RouteBooks

_FEWEST = 2


class Wrong(NamedTuple):
    """A router, the place that it sends packets to, and the pier that they are for.

    is_end: whether that place knows no way on.
    """

    router: int
    sends_to: int
    destination: int
    is_end: bool = False


def wrong_entries(
    books: RouteBooks, up_links: Sequence[tuple[int, int]], piers: Iterable[int]
) -> set[Wrong]:
    """Return all entries of these piers whose next hop is no nearer, by the links that are up."""
    found, there = set[Wrong](), sorted(piers)
    for destination in there:
        distances = _distances(destination, up_links)
        for router in there:
            if router == destination or router not in distances:
                continue
            to = books.next_pier(router, destination)
            if to is not None and distances.get(to, len(distances)) >= distances[router]:
                is_end = to != destination and books.next_pier(to, destination) in (None, to)
                found.add(Wrong(router, to, destination, is_end))
    return found


def faults_of_tables(
    wrong: Collection[Wrong], names: Sequence[str]
) -> Mapping[int, tuple[str, ...]]:
    """Return what is wrong with whom, in words, by pier."""
    misled, alone = defaultdict[tuple[int, int], set[int]](set), defaultdict[int, set[Wrong]](set)
    for each in wrong:
        if each.sends_to != each.router:
            misled[each.sends_to, each.destination].add(each.router)
    told = defaultdict[int, set[str]](set)
    for each in wrong:
        if each.sends_to == each.router:
            told[each.router].add(f"takes the block of {names[each.destination]} for its own")
        elif each.is_end or len(misled[each.sends_to, each.destination]) >= _FEWEST:
            told[each.sends_to].add(f"draws packets for {names[each.destination]}, but is no way")
        else:
            alone[each.router].add(each)
    for router, entries in alone.items():
        if len(entries) >= _FEWEST and router not in told:
            wrong_way = min(entries)
            told[router].add(
                f"sends packets for {names[wrong_way.destination]} to {names[wrong_way.sends_to]}, "
                "which is no nearer"
            )
    return {pier: tuple(sorted(words)) for pier, words in told.items()}


def _distances(destination: int, links: Sequence[tuple[int, int]]) -> dict[int, int]:
    """Return how many lines it takes from each pier to the destination."""
    beside = defaultdict[int, list[int]](list)
    for one, other in links:
        beside[one].append(other)
        beside[other].append(one)
    distances, waiting = {destination: 0}, deque([destination])
    while waiting:
        here = waiting.popleft()
        for other in beside[here]:
            if other not in distances:
                distances[other] = distances[here] + 1
                waiting.append(other)
    return distances
