"""How much an N x N switch carries: exact answers for queues at the inputs and at the outputs.

Time goes in slots, all cells have one size, each goes to an output chosen with equal chance.

* Input queues, first come, first served: the cell at the head of a line may wait for a busy output
  and blocks those behind it, although their outputs are free. With all inputs always busy, what
  gets through is a Markov chain on "how many heads want each output". Sorted, these numbers are a
  partition of N (5 ports: 2+2+1), and there are few enough to solve it: 8349 for N = 32.
  The limit for large N is 2 - sqrt(2).
* Output queues need an N times faster switch and wait (N - 1) / N times the wait of M/D/1.
* One round of random grants and accepts over full virtual output queues matches the share of
  outputs that at least one grant names: 1 - (1 - 1/N)**N.

Sources: M. Karol, M. Hluchyj, S. Morgan, "Input versus output queueing on a space-division packet
switch", IEEE Trans. Communications 35 (1987); T. Anderson, S. Owicki, J. Saxe, C. Thacker,
"High-speed switch scheduling for local-area networks", ACM Trans. Computer Systems 11 (1993).
"""

__all__ = [
    "INPUT_LIMIT",
    "input_saturation",
    "output_wait_slots",
    "random_match_share",
]

import math
from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course_lib.queueing.checks import chance, stable_load, whole

INPUT_LIMIT = 2 - math.sqrt(2)  # Karol et al. 1987, for large N

_MOST_PORTS = 32  # the number of partitions grows like exp(2.57 sqrt(N))
_PRECISION = 1e-12

Partition = tuple[int, ...]  # how many heads want each output: largest first, no zeros


class _Joining(NamedTuple):
    """One more head steps up: from which partition to which, with what probability."""

    source: NDArray[np.int64]
    target: NDArray[np.int64]
    share: NDArray[np.float64]


@cache
def input_saturation(ports: int) -> float:
    """Return the most that each port can carry with first-come-first-served inputs: 0 to 1.

    Exact, for up to 32 ports; beyond, `INPUT_LIMIT` is near (32 ports carry 0.5936).

    >>> round(input_saturation(2), 9)
    0.75
    """
    ports = whole(1, "ports", ports)
    if ports > _MOST_PORTS:
        raise ValueError(f"exact only up to {_MOST_PORTS} ports, not {ports}; see INPUT_LIMIT")
    number = _number_partitions(ports)
    full = [partition for partition in number if sum(partition) == ports]
    places = np.array([number[partition] for partition in full])
    left = np.array([number[_served(partition)] for partition in full])
    carried = np.array([len(partition) / ports for partition in full])
    joinings = [_joining(number, heads, ports) for heads in range(ports)]
    state, change = np.full(len(full), 1 / len(full)), 1.0
    while change > _PRECISION:
        # A slot: every wanted output takes one head, and as many new ones step up, one by one.
        chances = np.bincount(left, state, len(number))
        for source, target, share in joinings:
            np.add.at(chances, target, chances[source] * share)
        state, before = chances[places], state
        change = float(np.abs(state - before).sum())
    return float(state @ carried)


def output_wait_slots(ports: int, load: float) -> float:
    """Return the mean wait in slots at an output queue, without the slot of sending itself.

    >>> output_wait_slots(2, 0.5)
    0.25
    """
    load = stable_load(chance("load", load))
    return (whole(1, "ports", ports) - 1) / ports * load / (2 * (1 - load))


def random_match_share(ports: int) -> float:
    """Return the share of ports matched by one round of random grants, all queues full.

    >>> random_match_share(2)
    0.75
    """
    return 1 - (1 - 1 / whole(1, "ports", ports)) ** ports


def _number_partitions(ports: int) -> dict[Partition, int]:
    """Number all partitions of 0 to `ports` heads."""
    found = [partition for heads in range(ports + 1) for partition in _partitions(heads, heads)]
    return {partition: number for number, partition in enumerate(found)}


def _partitions(heads: int, largest: int) -> Iterator[Partition]:
    if heads == 0:
        yield ()
    for first in range(min(heads, largest), 0, -1):
        for rest in _partitions(heads - first, first):
            yield (first, *rest)


def _served(partition: Partition) -> Partition:
    return tuple(wanting - 1 for wanting in partition if wanting > 1)


def _joining(number: dict[Partition, int], heads: int, ports: int) -> _Joining:
    """Return what happens when a head joins the partitions of `heads` heads."""
    steps = [
        (number[partition], number[_joined(partition, wanting)], outputs / ports)
        for partition in number
        if sum(partition) == heads
        for wanting, outputs in _outputs_by_heads(partition, ports).items()
    ]
    source, target, share = zip(*steps, strict=True)
    return _Joining(np.array(source), np.array(target), np.array(share))


def _outputs_by_heads(partition: Partition, ports: int) -> Counter[int]:
    """Count the outputs that are wanted by 0, 1, 2, ... heads."""
    unwanted = ports - len(partition)
    return Counter(partition) + Counter({0: unwanted})


def _joined(partition: Partition, wanting: int) -> Partition:
    """Return the partition after one of its outputs with `wanting` heads got another."""
    others = list(partition)
    if wanting:
        others.remove(wanting)
    return tuple(sorted([*others, wanting + 1], reverse=True))
