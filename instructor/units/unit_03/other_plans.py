"""Other right answers to 3.6, an address plan: with a heap, by asking every prefix, with a tree.

None of them may lose a point. Each stands alone, as a student's cell would.
"""

__all__ = ["PLANS"]

import heapq
import math
from typing import Any

Needs = list[tuple[str, int]]


def number(address: str) -> int:
    """Return the number of an address."""
    a, b, c, d = map(int, address.split("."))
    return a << 24 | b << 16 | c << 8 | d


def start_and_size(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix, and how many it has."""
    address, length = prefix.split("/")
    return number(address), 1 << 32 - int(length)


def prefix_text(start: int, size: int) -> str:
    """Write a prefix that is known by its first address and its size."""
    octets = [str(start >> bits & 255) for bits in (24, 16, 8, 0)]
    return f"{'.'.join(octets)}/{32 - int(math.log2(size))}"


def plan_with_a_heap(block: str, kept: list[str], needs: Needs) -> Any:
    """Keep holes in a heap, the smallest and lowest on top; halve one until it fits."""
    sizes = [hosts if hosts < 3 else 1 << (hosts + 1).bit_length() for _, hosts in needs]
    holes: list[tuple[int, int]] = []
    waiting = [start_and_size(block)]
    taken = [start_and_size(prefix) for prefix in kept]
    while waiting:  # halve until a piece is free as a whole or taken as a whole
        start, size = waiting.pop()
        inside = [one for one in taken if one[0] < start + size and start < sum(one)]
        if not inside:
            heapq.heappush(holes, (size, start))
        elif max(one[1] for one in inside) < size:
            waiting += [(start, size // 2), (start + size // 2, size // 2)]
    if sum(sizes) > sum(size for size, _ in holes):
        return [], "too few addresses"
    plan = dict.fromkeys(range(len(needs)), "")
    for place in sorted(range(len(needs)), key=lambda place: (-sizes[place], place)):
        too_small = []
        while holes and holes[0][0] < sizes[place]:
            too_small.append(heapq.heappop(holes))
        if not holes:
            return [], "no hole for " + needs[place][0]
        size, start = heapq.heappop(holes)
        while size > sizes[place]:
            size //= 2
            too_small.append((size, start + size))
        plan[place] = prefix_text(start, size)
        for hole in too_small:
            heapq.heappush(holes, hole)
    return [(pier, plan[place]) for place, (pier, _) in enumerate(needs)], ""


def plan_by_halves(block: str, kept: list[str], needs: Needs) -> tuple[list[Any], str]:
    """Look at every prefix of every size in the block, and ask which are free."""
    first, whole = start_and_size(block)
    taken = [start_and_size(prefix) for prefix in kept]

    def is_free(start: int, size: int) -> bool:
        return not any(low < start + size and start < low + room for low, room in taken)

    def hole_around(start: int, size: int) -> int:
        """Return the size of the largest free prefix around a free one."""
        while size < whole and is_free(start // (2 * size) * 2 * size, 2 * size):
            size *= 2
        return size

    wanted = []
    for pier, hosts in needs:
        room = [1, 2, *(2**bits - 2 for bits in range(2, 33))]
        wanted.append((pier, 2 ** [one >= hosts for one in room].index(True)))
    if sum(size for _, size in wanted) > whole - sum(room for _, room in taken):
        return [], "too few addresses"
    given: dict[str, str] = {}
    for pier, size in sorted(wanted, key=lambda one: one[1], reverse=True):
        spots = [
            (hole_around(start, size), start)
            for start in range(first, first + whole, size)
            if is_free(start, size)
        ]
        if not spots:
            return [], f"no hole for {pier}"
        _, start = min(spots)
        given[pier] = prefix_text(start, size)
        taken.append((start, size))
    return [(pier, given[pier]) for pier, _ in needs], ""


class Half:
    """A prefix that is free, used up, or cut into two halves."""

    def __init__(self, start: int, size: int) -> None:
        self.start, self.size = start, size
        self.is_used = False
        self.halves: list[Half] = []

    def take(self, start: int, size: int) -> None:
        """Use up a part of it, or all."""
        if size == self.size:
            self.is_used = True
            return
        if not self.halves:
            middle = self.size // 2
            self.halves = [Half(self.start, middle), Half(self.start + middle, middle)]
        self.halves[start >= self.halves[1].start].take(start, size)

    def holes(self) -> list[tuple[int, int]]:
        """Return size and start of each free part."""
        if self.halves:
            return [hole for half in self.halves for hole in half.holes()]
        return [] if self.is_used else [(self.size, self.start)]


def plan_with_a_tree(block: str, kept: list[str], needs: Needs) -> Any:
    """Keep the block as a tree of halves."""
    tree = Half(*start_and_size(block))
    for prefix in kept:
        tree.take(*start_and_size(prefix))
    lengths = {}
    for pier, hosts in needs:
        length = 32
        while (2 ** (32 - length) - 2 if length < 31 else 2 ** (32 - length)) < hosts:
            length -= 1
        lengths[pier] = length
    missing = sum(2 ** (32 - length) for length in lengths.values())
    for size, _ in tree.holes():
        missing -= size
    if missing > 0:
        return [], "too few addresses"
    for length in range(33):
        for pier, own in list(lengths.items()):
            if own != length:
                continue
            size = 2 ** (32 - length)
            found = sorted(hole for hole in tree.holes() if hole[0] >= size)
            if not found:
                return [], f"no hole for {pier}"
            tree.take(found[0][1], size)
            lengths[pier] = prefix_text(found[0][1], size)  # type: ignore[assignment]
    return list(lengths.items()), ""


PLANS = (plan_with_a_heap, plan_by_halves, plan_with_a_tree)
