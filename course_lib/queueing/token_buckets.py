"""Token buckets: how much may pass, at what long-run rate, in how large a burst.

A bucket holds tokens, one for each octet. They drip in at a fixed rate, up to the bucket's depth,
and start full. A packet that finds as many tokens as it has octets takes them. So in any t seconds
at most depth + rate * t octets pass.

What becomes of the others depends on the use:

* a *policer* drops them (`policing`, a drop policy);
* a *shaper* makes them wait (`shaped_times`);
* a *meter* colours them, for somebody else to decide (`single_rate_colours`, RFC 2697;
  `two_rate_colours`, RFC 2698). A packet takes no tokens from a bucket which it fails.

Sizes are those of the IP packet, header included (RFC 2697, section 2). The RFCs add whole tokens
at ticks; here the bucket fills steadily.
"""

__all__ = [
    "COLOURS",
    "METERS",
    "Metered",
    "policing",
    "shaped_times",
    "single_rate_colours",
    "two_rate_colours",
]

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from course_lib.engine.compiled import ready
from course_lib.engine.machine_types import Counts, Numbers
from course_lib.queueing.checks import at_least, positive
from course_lib.queueing.drop_policies import DropPolicy, DropRule, PacketView, keep
from course_lib.queueing.packets import Packets, checked

COLOURS = ("green", "yellow", "red")
GREEN, YELLOW, RED = range(3)


class Metered(NamedTuple):
    """The colour of each packet (in `COLOURS`), and what it left in the two buckets.

    `first` and `second` are the committed and the excess bucket with one rate, and the peak and the
    committed one with two.
    """

    colour: Counts
    first: Numbers
    second: Numbers


def policing(octets_per_s: float, depth_octets: float) -> DropPolicy:
    """Return a drop policy that lets pass what the bucket allows, and drops the rest on arrival.

    >>> from course_lib.queueing import FATES, simulate, trace
    >>> run = simulate(trace([0.0] * 3, 1000), 1e6, drop=policing(1000, 2000), compiled=False)
    >>> FATES[run.fate[1]], FATES[run.fate[2]]
    ('sent', 'dropped on arrival')
    """
    settings = (positive("octets_per_s", octets_per_s), positive("depth_octets", depth_octets))
    return DropPolicy(police_on_arrival, keep, settings, memory=(depth_octets, 0.0))


_RATE, _DEPTH = range(2)
_TOKENS, _AT_S = range(2)


def police_on_arrival(view: PacketView, settings: Numbers, memory: Numbers) -> bool:
    """Drop a packet which is larger than what is in the bucket."""
    dripped = (view.now_s - memory[_AT_S]) * settings[_RATE]
    memory[_TOKENS] = min(settings[_DEPTH], memory[_TOKENS] + dripped)
    memory[_AT_S] = view.now_s
    if view.octets > memory[_TOKENS]:
        return True
    memory[_TOKENS] -= view.octets
    return False


def shaped_times(
    packets: Packets, octets_per_s: float, depth_octets: float, *, compiled: bool | None = None
) -> Numbers:
    """Return when each packet leaves a shaper: at once, or when enough tokens have dripped in.

    In order, and without a link's own sending time. Raises ValueError for a packet larger than the
    bucket, which could never leave.

    >>> from course_lib.queueing import trace
    >>> shaped_times(trace([0.0] * 3, octets=1000), 1000, 2000, compiled=False)
    array([0., 0., 1.])
    """
    packets = checked(packets)
    rate = positive("octets_per_s", octets_per_s)
    depth = positive("depth_octets", depth_octets)
    if packets.octets.max() > depth:
        raise ValueError(f"a packet of {packets.octets.max():g} octets never fits in {depth:g}")
    leaves_s = np.zeros(len(packets.came_s))
    ready(fill_shaped, compiled=compiled)(packets, rate, depth, leaves_s)
    return leaves_s


def fill_shaped(packets: Packets, rate: float, depth: float, leaves_s: Numbers) -> None:
    """Fill in the time at which each packet leaves; the loop of `shaped_times`."""
    came_s, octets, _ = packets
    tokens, at_s = depth, 0.0
    for i in range(len(came_s)):
        now_s = max(came_s[i], at_s)  # not before the packet ahead
        tokens = min(depth, tokens + (now_s - at_s) * rate)
        missing = max(0.0, octets[i] - tokens)
        leaves_s[i] = at_s = now_s + missing / rate
        tokens += missing - octets[i]


def single_rate_colours(
    packets: Packets,
    committed_octets_per_s: float,
    committed_burst: float,
    excess_burst: float,
    *,
    before: ArrayLike = GREEN,
    compiled: bool | None = None,
) -> Metered:
    """Colour packets by one rate and two bursts (RFC 2697, section 3).

    Green while the committed bucket lasts, then yellow out of the excess bucket, which gets what
    flows over. `before` is the colour that each packet bears already; all green is the same as
    colour-blind.

    >>> from course_lib.queueing import trace
    >>> four = trace([0.0] * 4, octets=1000)
    >>> metered = single_rate_colours(four, 1000, 2000, 1000, compiled=False)
    >>> [COLOURS[colour] for colour in metered.colour]
    ['green', 'green', 'yellow', 'red']
    """
    settings = (
        positive("committed_octets_per_s", committed_octets_per_s),
        at_least(0, "committed_burst", committed_burst),
        at_least(0, "excess_burst", excess_burst),
    )
    if settings[1] + settings[2] == 0:
        raise ValueError("one of the two bursts must be above 0 (RFC 2697, section 2)")
    return _metered(fill_single_rate, packets, before, settings, compiled)


def fill_single_rate(packets: Packets, before: Counts, settings: Numbers, result: Metered) -> None:
    """Fill in colours and tokens; the loop of `single_rate_colours`."""
    (came_s, octets, _), (colour, first, second) = packets, result
    rate, committed_burst, excess_burst = settings[0], settings[1], settings[2]
    committed, excess, at_s = committed_burst, excess_burst, 0.0
    for i in range(len(came_s)):
        committed += (came_s[i] - at_s) * rate
        excess = min(excess_burst, excess + max(0.0, committed - committed_burst))
        committed = min(committed_burst, committed)
        at_s = came_s[i]
        if before[i] == GREEN and committed >= octets[i]:
            colour[i] = GREEN
            committed -= octets[i]
        elif before[i] <= YELLOW and excess >= octets[i]:
            colour[i] = YELLOW
            excess -= octets[i]
        else:
            colour[i] = RED
        first[i], second[i] = committed, excess


def two_rate_colours(
    packets: Packets,
    peak_octets_per_s: float,
    peak_burst: float,
    committed_octets_per_s: float,
    committed_burst: float,
    *,
    before: ArrayLike = GREEN,
    compiled: bool | None = None,
) -> Metered:
    """Colour packets by two rates (RFC 2698, section 3): red above the peak rate, yellow between.

    `before` is as in `single_rate_colours`.
    """
    committed = positive("committed_octets_per_s", committed_octets_per_s)
    settings = (
        at_least(committed, "peak_octets_per_s", peak_octets_per_s),
        positive("peak_burst", peak_burst),
        committed,
        positive("committed_burst", committed_burst),
    )
    return _metered(fill_two_rates, packets, before, settings, compiled)


def fill_two_rates(packets: Packets, before: Counts, settings: Numbers, result: Metered) -> None:
    """Fill in colours and tokens; the loop of `two_rate_colours`."""
    (came_s, octets, _), (colour, first, second) = packets, result
    peak_rate, peak_burst = settings[0], settings[1]
    committed_rate, committed_burst = settings[2], settings[3]
    peak, committed, at_s = peak_burst, committed_burst, 0.0
    for i in range(len(came_s)):
        peak = min(peak_burst, peak + (came_s[i] - at_s) * peak_rate)
        committed = min(committed_burst, committed + (came_s[i] - at_s) * committed_rate)
        at_s = came_s[i]
        if before[i] == RED or peak < octets[i]:
            colour[i] = RED
        elif before[i] == YELLOW or committed < octets[i]:
            colour[i] = YELLOW
            peak -= octets[i]
        else:
            colour[i] = GREEN
            peak -= octets[i]
            committed -= octets[i]
        first[i], second[i] = peak, committed


def _metered(
    fill: Callable[[Packets, Counts, Numbers, Metered], None],
    packets: Packets,
    before: ArrayLike,
    settings: Sequence[float],
    compiled: bool | None,
) -> Metered:
    """Run a meter over all packets."""
    packets = checked(packets)
    colours = np.array(np.broadcast_to(before, packets.came_s.shape), np.int64)
    if ((colours < GREEN) | (colours > RED)).any():
        raise ValueError("`before` must hold 0 (green), 1 (yellow) or 2 (red)")
    total = len(packets.came_s)
    result = Metered(np.zeros(total, np.int64), np.zeros(total), np.zeros(total))
    ready(fill, compiled=compiled)(packets, colours, np.array(settings), result)
    return result


METERS = (
    (police_on_arrival, DropRule),
    *((loop, None) for loop in (fill_shaped, fill_single_rate, fill_two_rates)),
)
