"""Where the nodes of a trie stand: over the middle of their addresses, deeper ones further down."""

__all__ = ["BITS_Y", "LEFT", "Plan", "plan_of"]

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from course_lib.figures.lookup.trie_words import addresses_of

LEFT, _RIGHT = 92.0, 836.0  # pixels, as all that follows; between these lies the line
BITS_Y = 40.0  # where the bits of the address stand
_ROOT_Y, _TREE, _ROW = 96.0, 222.0, 34.0
_NODE, _LEAST_APART = 9.0, 8.0  # half of the width of a node; from one node to the next


@dataclass(frozen=True, slots=True)
class Plan:
    """Where things are: the bits of an address, the root's place, the height of a row, rows.

    `halves` holds half of the width of the nodes of each row; `right` is where the line ends.
    """

    bits: int
    top: float
    row: float
    deepest: int
    right: float
    halves: Mapping[int, float]

    def x(self, name: str) -> float:
        """Return the middle of a node's addresses."""
        first, last = addresses_of(name, self.bits)
        return (self.at(first) + self.at(last)) / 2

    def y(self, name: str) -> float:
        """Return the height at which a node stands."""
        return self.top + len(name) * self.row

    def at(self, address: float) -> float:
        """Return the place of an address on the line."""
        return LEFT + (address + 0.5) / (1 << self.bits) * (self.right - LEFT)

    @property
    def foot(self) -> float:
        """Return where the bands may begin, below all nodes."""
        return self.top + self.deepest * self.row + 28


def plan_of(nodes: Sequence[str], bits: int, has_way: bool) -> Plan:
    """Make room: nodes of a row stay apart, and where they are too near the line gets longer."""
    deepest = max(map(len, nodes))
    row = min(_ROW, _TREE / max(deepest, 1))
    nearest: dict[int, float] = {}  # how far apart the nearest nodes of a row are, as a share
    for one, other in itertools.pairwise(sorted(nodes, key=lambda name: (len(name), name))):
        if len(one) == len(other):
            share = (int(other, 2) - int(one, 2)) / (1 << len(one))
            nearest[len(one)] = min(share, nearest.get(len(one), 1.0))
    line = max(_RIGHT - LEFT, _LEAST_APART / min(nearest.values(), default=1.0))
    largest = min(_NODE, row / 2.2)
    halves = {
        depth: min(largest, nearest.get(depth, 1.0) * line / 2 - 1) for depth in range(deepest + 1)
    }
    top = _ROOT_Y if has_way else _ROOT_Y - BITS_Y
    return Plan(bits, top, row, deepest, LEFT + line, halves)
