"""Who is whose neighbour: three plans, each of which stands before anybody has joined.

Piers are handed out in the order of the plan, and nobody knows how many will come. So every plan
keeps one law: *the first n piers are joined among themselves, whatever n is*. In a ring they stay
so even without any one of them, as soon as there are more than a chord spans.

* `ring`: each pier and the next one, and a chord from each to one further on. The chord spans about
  the square root of the ring: then the longest way around is short, and crosses several piers;
* `tree`: each pier below one that came earlier, three below each at most. One that leaves cuts off
  what is below it, which is what there is to see;
* `map`: the ferry company's summer network as unit 12 has it, four piers and six boats.

A pier is a machine. Two students at one machine are one pier.
"""

__all__ = ["PLANS", "Place", "RoomPlan", "room_plan"]

import math
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from course_lib.ferry.network import HOSTS
from course_lib.live.ferry_plans import fleet_network
from instructor.joined_room.pier_names import MOST_PIERS, pier_names

PLANS = ("ring", "tree", "map")
FEWEST_PIERS = 2
_BELOW = 3  # piers below each one of a tree
_SMALLEST_RING_WITH_CHORDS = 5
# Where the fleet's places stand, as people draw it: parts of the width and of the height.
_DRAWN: Mapping[str, tuple[float, float]] = {
    "North Pier": (0.34, 0.30), "Reed Pier": (0.66, 0.30), "Lantern Pier": (0.66, 0.70),
    "Gull Rock": (0.34, 0.70), "Plover": (0.08, 0.14), "Curlew": (0.92, 0.50),
    "Sandpiper": (0.50, 0.94), "Dunlin": (0.50, 0.50), "Petrel": (0.42, 0.06),
    "Whimbrel": (0.90, 0.90),
}  # fmt: skip


class Place(NamedTuple):
    """A pier on the map: `x` and `y` are parts of the width and the height, from the top left."""

    pier: str
    x: float
    y: float


class RoomPlan(NamedTuple):
    """The piers in the order in which they are handed out, and links as pairs of their numbers."""

    kind: str
    places: tuple[Place, ...]
    links: tuple[tuple[int, int], ...]

    def links_of(self, pier: int) -> tuple[int, ...]:
        """Return the numbers of the links that end at a pier."""
        return tuple(number for number, ends in enumerate(self.links) if pier in ends)


def room_plan(kind: str, piers: int | None = None) -> RoomPlan:
    """Return the plan for so many piers. The map has its own number, and takes no other.

    Raises `ValueError`, in words, for what there is no plan for.

    >>> room_plan("ring", 6).links
    ((0, 1), (0, 2), (0, 4), (0, 5), (1, 2), (1, 3), (1, 5), (2, 3), (2, 4), (3, 4), (3, 5), (4, 5))
    """
    if kind not in PLANS:
        raise ValueError(f"there is no plan {kind!r}; there are {', '.join(PLANS)}")
    if kind == "map":
        return _drawn(piers)
    count = 24 if piers is None else piers
    if not FEWEST_PIERS <= count <= MOST_PIERS:
        raise ValueError(f"a room has {FEWEST_PIERS} to {MOST_PIERS} piers, not {count}")
    return (_ring if kind == "ring" else _tree)(count)


def _ring(count: int) -> RoomPlan:
    spans = [1]
    if count >= _SMALLEST_RING_WITH_CHORDS:
        spans.append(round(math.sqrt(count)))
    pairs = {_in_order(pier, (pier + span) % count) for pier in range(count) for span in spans}
    turns = (2 * math.pi * pier / count for pier in range(count))
    spots = ((0.5 + 0.46 * math.sin(turn), 0.5 - 0.46 * math.cos(turn)) for turn in turns)
    return _plan("ring", pier_names(count), spots, pairs)


def _tree(count: int) -> RoomPlan:
    above = {pier: (pier - 1) // _BELOW for pier in range(1, count)}
    depths = [0] * count
    for pier in range(1, count):
        depths[pier] = depths[above[pier]] + 1
    spots = []
    for pier in range(count):
        row = [other for other in range(count) if depths[other] == depths[pier]]
        y = 0.06 + 0.88 * depths[pier] / max(1, depths[-1])
        spots.append(((row.index(pier) + 0.5) / len(row), y))
    return _plan("tree", pier_names(count), spots, {(up, pier) for pier, up in above.items()})


def _drawn(piers: int | None) -> RoomPlan:
    if piers not in (None, len(_DRAWN)):
        raise ValueError(f"the map has {len(_DRAWN)} piers, not {piers}; for others take a ring")
    names = list(_DRAWN)
    pairs = {
        _in_order(*(names.index(end.place) for end in wire.ends))
        for wire in fleet_network().wires.values()
        if not {end.place for end in wire.ends} & {*HOSTS}
    }
    return _plan("map", names, _DRAWN.values(), pairs)


def _in_order(one: int, other: int) -> tuple[int, int]:
    return min(one, other), max(one, other)


def _plan(
    kind: str,
    names: Iterable[str],
    spots: Iterable[tuple[float, float]],
    pairs: Iterable[tuple[int, int]],
) -> RoomPlan:
    places = tuple(Place(name, round(x, 4), round(y, 4))
                   for name, (x, y) in zip(names, spots, strict=True))  # fmt: skip
    return RoomPlan(kind, places, tuple(sorted(pairs)))
