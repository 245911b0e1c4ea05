"""Who shares a link, how far away each receiver is, and which packets get lost on the way there.

Flows that have one round trip and start together stay in step: they fill the buffer together, lose
together, and leave the link idle together. Flows of different round trips do not.

Losses are behind the link: every so many packets, by chance, or a given list. Packets are counted,
from 0 on, as they leave the link, of whatever flow they are. All numbers are drawn before a run
starts, so that compiled and plain runs lose the same packets.
"""

__all__ = [
    "NO_LOSS", "Flows", "Loss", "checked", "flows", "lost_numbers", "periodic_loss", "random_loss",
    "spread_flows", "traced_loss",
]  # fmt: skip

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from course_lib.engine.machine_types import Counts, Numbers
from course_lib.queueing.checks import at_least, chance, positive, whole
from course_lib.tcp.state import NEVER

_LONGEST_S = 1e6


class Flows(NamedTuple):
    """One entry for each flow. Make it with `flows` or `spread_flows`.

    `round_trip_s` is without queueing and without the link's own sending time. `cubic` is 1 for
    CUBIC and 0 for Reno.
    """

    round_trip_s: Numbers
    start_s: Numbers
    cubic: Counts


def flows(
    count: int,
    round_trip_s: ArrayLike,
    start_s: ArrayLike = 0.0,
    *,
    cubic: ArrayLike = False,
) -> Flows:
    """Return so many flows; a single value stands for all of them.

    >>> flows(3, round_trip_s=0.1, cubic=[True, False, False]).cubic
    array([1, 0, 0])
    """
    shape = whole(1, "count", count)
    given = (round_trip_s, start_s, cubic)
    names = ("round_trip_s", "start_s", "cubic")
    for name, values in zip(names, given, strict=True):
        if np.ndim(values) and np.shape(values) != (shape,):
            raise ValueError(f"{name} has {np.size(values)} entries for {shape} flows")
    trips, starts, rules = (np.broadcast_to(values, shape) for values in given)
    return checked(Flows(trips.astype(float), starts.astype(float), rules.astype(np.int64)))


def spread_flows(
    count: int,
    round_trip_s: tuple[float, float],
    start_s: tuple[float, float] = (0.0, 5.0),
    *,
    seed: int = 0,
    cubic: ArrayLike = False,
) -> Flows:
    """Return flows with round trips and starts drawn evenly between two bounds."""
    for name, (low, high) in (("round_trip_s", round_trip_s), ("start_s", start_s)):
        if at_least(0, name, high) < at_least(0, name, low):
            raise ValueError(f"{name}: the second bound ({high:g}) is below the first ({low:g})")
    random, number = np.random.default_rng(seed), whole(1, "count", count)
    trips, starts = random.uniform(*round_trip_s, number), random.uniform(*start_s, number)
    return flows(number, trips, starts, cubic=cubic)


def checked(given: Flows) -> Flows:
    """Return the flows if each can be. Raises ValueError that names the flow."""
    for name, values in zip(("round_trip_s", "start_s"), given[:2], strict=True):
        for flow in np.flatnonzero(~((values >= 0) & (values <= _LONGEST_S)))[:1]:
            value = float(values[flow])
            raise ValueError(
                f"{name}[{flow}] is {value:g}: it must lie between 0 and {_LONGEST_S:g} s"
            )
    positive("the number of flows", len(given.round_trip_s))
    return given


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
