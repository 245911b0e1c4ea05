"""Which packets get lost on the way behind the link: every so many, by chance, or a given list.

Packets are counted, from 0 on, as they leave the link, of whatever flow they are. All numbers are
drawn before a run starts, so that compiled and plain runs lose the same packets.
"""

__all__ = ["NO_LOSS", "Loss", "lost_numbers", "periodic_loss", "random_loss", "traced_loss"]

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from course_lib.queueing.checks import chance, whole
from course_lib.queueing.machine_types import Counts
from course_lib.queueing.tcp_state import NEVER


class Loss(NamedTuple):
    """What gets lost: each `every`-th packet, a `share` of them by chance, and these `numbers`."""

    every: int = 0  # 0: none
    share: float = 0.0
    numbers: tuple[int, ...] = ()


NO_LOSS = Loss()


def periodic_loss(every: int) -> Loss:
    """Return the loss of each `every`-th packet: the first is number `every` - 1."""
    return Loss(every=whole(2, "every", every))


def random_loss(share: float) -> Loss:
    """Return the loss of this share of the packets, each one independently of the others."""
    if chance("share", share) == 1:
        raise ValueError("share must be below 1, or nothing ever arrives")
    return Loss(share=share)


def traced_loss(numbers: Sequence[int]) -> Loss:
    """Return the loss of exactly these packets, counted from 0."""
    return Loss(numbers=tuple(sorted(whole(0, "a packet's number", n) for n in numbers)))


def lost_numbers(loss: Loss, count: int, random: np.random.Generator) -> Counts:
    """Return the first `count` numbers of packets that get lost, in rising order.

    A larger `count` adds numbers and changes none. A list that ends bears `NEVER` as its end.

    >>> lost_numbers(periodic_loss(100), 3, np.random.default_rng(0))
    array([ 99, 199, 299])
    """
    rows = [np.array(loss.numbers, np.int64)]
    if loss.every:
        rows.append(np.arange(1, count + 1) * loss.every - 1)
    if loss.share > 0:
        rows.append(np.cumsum(random.geometric(loss.share, count)) - 1)
    if len(rows) == 1:
        return np.append(np.unique(rows[0]), NEVER)
    return np.unique(np.concatenate(rows))[:count]
