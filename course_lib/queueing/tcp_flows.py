"""The flows that share a link: how far away each one's receiver is, when it starts, and its rule.

Flows that have one round trip and start together stay in step: they fill the buffer together, lose
together, and leave the link idle together. Flows of different round trips do not.
"""

__all__ = ["Flows", "checked", "flows", "spread_flows"]

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from course_lib.queueing.checks import at_least, positive, whole
from course_lib.queueing.machine_types import Counts, Numbers

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
