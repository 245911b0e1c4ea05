"""Lanes: pairs of real hosts with a router between, each pair with a line of its own.

    Ticket Office 1 - router - Timetable Board 1
    Ticket Office 2 - router - Timetable Board 2 ...

All lanes send at the same time, so a whole curve takes as long as one transfer. What is set at a
lane's line holds for the way of the data; acknowledgements only take their time.

How it ends is told honestly: a run in which the kernel itself dropped frames does not count.
"""

__all__ = ["Lane", "LaneRuns", "lane_plan", "one_after_the_other", "run_lanes", "try_lanes"]

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from typing import NamedTuple

from course_lib.ip.packets import Interface
from course_lib.live.ability import Ability
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.carrying.recipes import LibraryRecipe
from course_lib.live.measuring.probes import bulk_transfer
from course_lib.live.measuring.reports import BulkReport
from course_lib.live.measuring.transfer import SAMPLE_S
from course_lib.live.private_network.plan import LiveHost, LiveLink, LivePlan, LiveRouter
from course_lib.live.private_network.private_network import PrivateNetwork
from course_lib.live.private_network.refusals import NoAbilityError
from course_lib.network.wires import End
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import IPV4_BITS, parse_address

MOST_LANES = 60
_A_ROUTER = 20  # lanes that share a process: one that works is quicker than several that take turns
_FIRST = parse_address("198.51.100.0", IPV4_BITS)
_MACS = bytes.fromhex("00005e0053")  # RFC 9542, section 2.1.2: for documentation
_KERNEL_DROPS = "frames dropped by the kernel"


class Lane(NamedTuple):
    """A pair of hosts: the line of its data, how long a round trip takes, and who governs TCP."""

    line: LineSettings
    round_trip_s: float
    control: str


class LaneRuns(NamedTuple):
    """One report for each lane, and how busy the machine was; see `ThreeWays`.

    `note` says why nothing in it counts, or is empty.
    """

    reports: tuple[BulkReport, ...]
    kernel_drops: int
    load: float
    late_s: float
    note: str


def run_lanes(lanes: Sequence[Lane], length_s: float, from_s: float) -> LaneRuns:
    """Let all lanes send at once for `length_s`; the steady part begins at `from_s`.

    Raises `NoAbilityError` where no private network can be made, and says why.
    """
    with PrivateNetwork(lane_plan(lanes)) as network, ThreadPoolExecutor(len(lanes)) as pool:
        running = [
            pool.submit(
                bulk_transfer, network, _sender(number), _receiver(number),
                length_s=length_s, control=lane.control, from_s=from_s,
            )
            for number, lane in enumerate(lanes)
        ]  # fmt: skip
        reports = tuple(one.result() for one in running)
        routers = [router.name for router in network.plan.routers]
        drops = sum(network.state(name).counters.get(_KERNEL_DROPS, 0) for name in routers)
    note = f"invalid, machine too busy: the kernel dropped {drops:,} frames" if drops else ""
    return LaneRuns(reports, drops, os.getloadavg()[0], _late_s(reports), note)


def try_lanes(
    lanes: Sequence[Lane], length_s: float, from_s: float, ability: Ability | None = None
) -> LaneRuns:
    """Do the same where there can be a private network; elsewhere the note says why not.

    ability: what `live_ability` has found out; None: it is tried here.
    """
    if ability is not None and not ability.is_there:
        return _nothing(": ".join(filter(None, (ability.step, ability.reason))))
    try:
        return run_lanes(lanes, length_s, from_s)
    except NoAbilityError as refused:
        return _nothing(str(refused))


def one_after_the_other(rounds: Sequence[LaneRuns]) -> LaneRuns:
    """Return rounds as one: the reports in their order, and the worst that happened beside them."""
    return LaneRuns(
        tuple(report for one in rounds for report in one.reports),
        sum(one.kernel_drops for one in rounds),
        max(one.load for one in rounds),
        max(one.late_s for one in rounds),
        next((one.note for one in rounds if one.note), ""),
    )


def _nothing(why: str) -> LaneRuns:
    return LaneRuns((), 0, 0.0, 0.0, f"no private network on this machine: {why}")


def lane_plan(lanes: Sequence[Lane]) -> LivePlan:
    """Return the network of these lanes."""
    if not 1 <= len(lanes) <= MOST_LANES:
        raise ValueError(f"1 to {MOST_LANES} lanes find room side by side, not {len(lanes)}")
    hosts: list[LiveHost] = []
    links: list[LiveLink] = []
    inside: dict[str, list[Interface]] = {}
    for number, lane in enumerate(lanes):
        router = f"North Pier {number // _A_ROUTER + 1}"
        way = LineSettings(delay_s=lane.round_trip_s / 2)
        there = lane.line._replace(delay_s=lane.round_trip_s / 2)
        for side, host in enumerate((_sender(number), _receiver(number))):
            far, near = _ends(2 * number + side)
            hosts.append(LiveHost(host, far, near.address))
            near = near._replace(name=f"to {host}")
            inside.setdefault(router, []).append(near)
            ends = (End(router, near.name), End(host, far.name))
            links.append(LiveLink(ends, (way, there)[side]))
    routers = (LiveRouter(name, tuple(all_), LibraryRecipe()) for name, all_ in inside.items())
    return LivePlan(tuple(hosts), tuple(routers), tuple(links))


def _late_s(reports: Sequence[BulkReport]) -> float:
    """Return by how much samples came late, 99 of 100 at most."""
    late = sorted(
        other.at_s - one.at_s - SAMPLE_S
        for report in reports
        for one, other in pairwise(report.samples)
    )
    return max(0.0, late[len(late) * 99 // 100])


def _sender(number: int) -> str:
    return f"Ticket Office {number + 1}"


def _receiver(number: int) -> str:
    return f"Timetable Board {number + 1}"


def _ends(number: int) -> tuple[Interface, Interface]:
    """Return the interfaces of a host and of the router at one of the links, both in a /31."""
    first = _FIRST + 2 * number
    prefix = Prefix(first, 31)
    far = Interface("wired", _MACS + bytes([2 * number]), first, prefix)
    near = Interface("", _MACS + bytes([2 * number + 1]), first + 1, prefix)
    return far, near
