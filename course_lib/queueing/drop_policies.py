"""Which packets to give up: on arrival, or when their turn to be sent has come.

A drop policy is two plain functions, called *rules*, that answer True for "drop it":

* `on_arrival` is asked about each packet that comes, also when the buffer is full;
* `at_head` is asked about each packet whose turn it is, so it knows how long the packet waited.

A rule sees a `PacketView`, the policy's `settings` (which stay) and its `memory` (which it may
change). A buffer that is full drops in any case: "tail drop" has no other rule.

* RED, random early detection: S. Floyd, V. Jacobson, "Random early detection gateways for
  congestion avoidance", IEEE/ACM Trans. Networking 1 (1993), figure 2; see RFC 2309 and RFC 7567.
* CoDel, controlled delay: RFC 8289, section 5.

Your own policy is `own_policy(my_rule, settings=(...), memory=(...))`; see `own_rules`.
"""

__all__ = [
    "TAIL_DROP",
    "DropPolicy",
    "DropRule",
    "PacketView",
    "controlled_delay",
    "keep",
    "random_early",
]

import math
from collections.abc import Callable
from typing import NamedTuple, TypeAlias

from course_lib.engine.machine_types import Numbers
from course_lib.queueing.checks import at_least, chance, positive


class PacketView(NamedTuple):
    """What a rule may know about a packet, its buffer and the time.

    `others` counts the other packets in the buffer, with the one that is being sent, if any.
    """

    now_s: float
    octets: float
    waited_s: float  # 0 on arrival
    others: int
    others_octets: float
    idle_s: float  # since when the buffer has been empty; 0 if it is not, and at the head
    chance: float  # drawn once for this packet, evenly between 0 and 1


DropRule: TypeAlias = Callable[[PacketView, Numbers, Numbers], bool]


class DropPolicy(NamedTuple):
    """Two rules, and what they start with."""

    on_arrival: DropRule
    at_head: DropRule
    settings: tuple[float, ...] = ()
    memory: tuple[float, ...] = ()


def keep(view: PacketView, settings: Numbers, memory: Numbers) -> bool:
    """Never drop."""
    return False


TAIL_DROP = DropPolicy(keep, keep)

# RED: places in the settings and in the memory.
_LOW, _HIGH, _WEIGHT, _STEEPNESS, _PACKET_S = range(5)
_AVERAGE, _SINCE_DROP = range(2)
_LONGEST_IDLE = 1e15  # packets; the average is 0 long before


def random_early(
    low: float, high: float, packet_s: float, *, weight: float = 0.002, top_chance: float = 0.02
) -> DropPolicy:
    """Return RED: early, random drops while the *average* queue is between `low` and `high`.

    The queue is counted in packets. The chance of a drop rises from 0 at `low` to `top_chance` at
    `high`; above that every packet is dropped. `packet_s` is the time to send a usual packet, by
    which the average falls while nothing comes. The defaults are the paper's.

    >>> from course_lib.queueing import FATES, simulate, trace
    >>> too_fast = trace([0.5 * number for number in range(20)], octets=1000)  # 1 s each
    >>> early = random_early(1, 4, packet_s=1.0, weight=0.5, top_chance=0.3)
    >>> fates = simulate(too_fast, 8000, drop=early, compiled=False).fate.tolist()
    >>> [place for place, fate in enumerate(fates) if FATES[fate] == "dropped on arrival"]
    [3, 8, 11, 13, 15, 17, 18]
    """
    if positive("high", high) <= at_least(0, "low", low):
        raise ValueError(f"high ({high:g}) must be above low ({low:g})")
    share = positive("weight", chance("weight", weight))
    top = positive("top_chance", chance("top_chance", top_chance))
    settings = (low, high, share, top / (high - low), positive("packet_s", packet_s))
    return DropPolicy(red_on_arrival, keep, settings, memory=(0.0, -1.0))


def red_on_arrival(view: PacketView, settings: Numbers, memory: Numbers) -> bool:
    """Follow the queue slowly; spread drops evenly over the packets (Floyd & Jacobson 1993)."""
    memory[_AVERAGE] = _average(memory[_AVERAGE], view, settings)
    if memory[_AVERAGE] < settings[_LOW]:
        memory[_SINCE_DROP] = -1.0
        return False
    memory[_SINCE_DROP] += 1.0
    base = settings[_STEEPNESS] * (memory[_AVERAGE] - settings[_LOW])
    # Dividing by what is left makes the distance between two drops even instead of geometric.
    left = 1.0 - memory[_SINCE_DROP] * base
    if memory[_AVERAGE] >= settings[_HIGH] or left <= 0.0 or view.chance < base / left:
        memory[_SINCE_DROP] = 0.0
        return True
    return False


def _average(average: float, view: PacketView, settings: Numbers) -> float:
    if view.others > 0:
        return float(average + settings[_WEIGHT] * (view.others - average))
    # As if so many small packets had found an empty queue while the link was idle.
    unsent = int(min(view.idle_s / settings[_PACKET_S], _LONGEST_IDLE))
    return float(average * _power(1.0 - settings[_WEIGHT], unsent))


def _power(base: float, exponent: int) -> float:
    # By squaring: the `pow` of two systems may differ in the last bit, a product never does.
    result = 1.0
    while exponent > 0:
        if exponent % 2 == 1:
            result *= base
        base *= base
        exponent //= 2
    return result


# CoDel: places in the settings and in the memory, with the RFC's names where it has them.
_TARGET_S, _INTERVAL_S, _LARGEST = range(3)
_DROPPING, _JUST_DROPPED, _FIRST_ABOVE, _DROP_NEXT, _COUNT, _LAST_COUNT = range(6)
_RECENT = 16  # intervals


def controlled_delay(
    target_s: float = 0.005, interval_s: float = 0.1, *, largest_octets: float = 1500
) -> DropPolicy:
    """Return CoDel: drop from the head when all packets of an interval waited over the target.

    Never while `largest_octets` or less wait behind, since the link would run idle.

    >>> from course_lib.queueing import FATES, simulate, trace
    >>> too_fast = trace([0.5 * number for number in range(20)], octets=1000)  # 1 s each
    >>> patient = controlled_delay(target_s=0.5, interval_s=2.0)
    >>> fates = simulate(too_fast, 8000, drop=patient, compiled=False).fate.tolist()
    >>> [place for place, fate in enumerate(fates) if FATES[fate] == "dropped at the head"]
    [5, 8, 11, 13, 15, 17]
    """
    settings = (
        positive("target_s", target_s),
        positive("interval_s", interval_s),
        at_least(0, "largest_octets", largest_octets),
    )
    return DropPolicy(keep, codel_at_head, settings, memory=(0.0,) * 6)


def codel_at_head(view: PacketView, settings: Numbers, memory: Numbers) -> bool:
    """Drop this packet? RFC 8289 loops over packets inside one call; here each packet is a call."""
    too_long = _above_for_an_interval(view, settings, memory)
    if memory[_DROPPING] == 0.0:
        return too_long and _enter(view.now_s, settings, memory)
    if not too_long:
        memory[_DROPPING] = 0.0
    elif memory[_JUST_DROPPED] == 1.0:
        memory[_DROP_NEXT] += settings[_INTERVAL_S] / math.sqrt(memory[_COUNT])
    memory[_JUST_DROPPED] = 0.0
    if memory[_DROPPING] == 1.0 and view.now_s >= memory[_DROP_NEXT]:
        memory[_COUNT] += 1.0
        memory[_JUST_DROPPED] = 1.0
        return True
    return False


def _above_for_an_interval(view: PacketView, settings: Numbers, memory: Numbers) -> bool:
    if view.waited_s < settings[_TARGET_S] or view.others_octets <= settings[_LARGEST]:
        memory[_FIRST_ABOVE] = 0.0
        return False
    if memory[_FIRST_ABOVE] == 0.0:
        memory[_FIRST_ABOVE] = view.now_s + settings[_INTERVAL_S]
        return False
    return bool(view.now_s >= memory[_FIRST_ABOVE])


def _enter(now_s: float, settings: Numbers, memory: Numbers) -> bool:
    """Begin to drop, at the last pace if that was not long ago. Always True: drop this one."""
    last_pace = memory[_COUNT] - memory[_LAST_COUNT]
    recent = now_s - memory[_DROP_NEXT] < _RECENT * settings[_INTERVAL_S]
    memory[_COUNT] = last_pace if last_pace > 1.0 and recent else 1.0
    memory[_LAST_COUNT] = memory[_COUNT]
    memory[_DROP_NEXT] = now_s + settings[_INTERVAL_S] / math.sqrt(memory[_COUNT])
    memory[_DROPPING] = 1.0
    return True
