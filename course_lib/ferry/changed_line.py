"""One line of the ferry network is cut or mended, and two routing protocols meet it.

Twice the same network, once with distance vector in all routers and once with link state, in
virtual time. Hosts send datagrams to one of them all the while, so what is lost is counted.

* Only the nets in which hosts stand are announced, not the lines between routers.
* The routers at both ends see at once that a line is cut or mended. So all the time that is
  measured goes into telling and believing.
* Of several equally good next hops a router takes the first in the alphabet.
"""

__all__ = [
    "DESTINATIONS",
    "DISTANCE_VECTOR",
    "LINES",
    "LINK_STATE",
    "OWNERS",
    "TOLD_BACK",
    "WAYS",
    "Change",
    "Story",
    "follow_change",
]

import functools
from collections.abc import Mapping
from functools import partial
from typing import NamedTuple, cast

from course_lib.ferry.network import HOSTS, ferry_links, ferry_network
from course_lib.forwarding.router import Router
from course_lib.network.hosts.host import Host
from course_lib.network.hosts.tasks import STREAM_PORT, Stream
from course_lib.network.records import What
from course_lib.network.routes.routing_messages import RoutingMessages
from course_lib.network.simulation import Network
from course_lib.prefixes.prefix import Prefix
from course_lib.routing.distance_vector import DistanceVector, Settings, SplitHorizon
from course_lib.routing.distance_vector_messages import Update
from course_lib.routing.flooding import LinkStateUpdate
from course_lib.routing.link_state import LinkState
from course_lib.routing.protocol import link_between
from course_lib.tracing.routing_talk import Note, Talk, Witness, last_news_s, talk_of

_LINKS = ferry_links()
LINES: Mapping[str, tuple[str, str]] = {  # between routers, by their names
    link_between(*link.ends): link.ends for link in _LINKS if link.ends[1] not in HOSTS
}
DESTINATIONS: Mapping[str, Prefix] = {  # hosts, and the nets in which they stand
    link.ends[1]: link.prefix for link in _LINKS if link.ends[1] in HOSTS
}
OWNERS: Mapping[str, str] = {  # the router at which a host stands
    link.ends[1]: link.ends[0] for link in _LINKS if link.ends[1] in HOSTS
}
DISTANCE_VECTOR, LINK_STATE = WAYS = "distance vector", "link state"
TOLD_BACK: Mapping[str, Settings] = {  # to whom a route leads, about that route
    "unreachable (poisoned reverse)": Settings(SplitHorizon.POISONED_REVERSE),
    "nothing (split horizon)": Settings(SplitHorizon.SIMPLE),
    "the metric": Settings(SplitHorizon.OFF),
    "the metric, nothing at once": Settings(SplitHorizon.OFF, triggered_updates=False),
}
_CHANGE_AT_S = 300.0  # by then all routes are there, even where nothing is told at once
_QUIET_S = 40.0  # longer than any interval of regular updates: after it nothing more will come
_LONGEST_S = 900.0  # as long as datagrams are sent at most
_BEFORE_S, _UNDER_WAY_S = 0.3, 2.0
# How far apart datagrams of one host are, and until when: densely where most happens.
_PACES_S = ((0.02, 1.0), (0.5, 60.0), (5.0, _LONGEST_S))


class Change(NamedTuple):
    """A line that changes, lines that are cut before, and where datagrams go.

    told_back: of `TOLD_BACK`, what distance vector tells a neighbour of routes that lead to it.
    """

    line: str
    cut_before: frozenset[str] = frozenset()
    destination: str = "Timetable Board"
    told_back: str = next(iter(TOLD_BACK))

    @property
    def cuts(self) -> bool:
        """Tell whether the line is cut; else it is mended."""
        return self.line not in self.cut_before

    @property
    def cut_after(self) -> frozenset[str]:
        """Return the lines that are cut afterwards."""
        return self.cut_before ^ {self.line}

    @property
    def reached_from(self) -> frozenset[str]:
        """Return the routers from which lines lead to the destination afterwards, its own too."""
        reached, lines = {OWNERS[self.destination]}, LINES.keys() - self.cut_after
        grown = True
        while grown:
            more = {end for line in lines for end in LINES[line] if reached & {*LINES[line]}}
            grown, reached = not more <= reached, reached | more
        return frozenset(reached)


class Story(NamedTuple):
    """What one protocol made of a change; all times are seconds since then.

    sent: how many datagrams were sent from where a way is left; lost_s: when those that never
    arrived were sent. right_s: when the last forwarding table was changed for the destination; 0
    if none was. ends_s: until when all was watched.
    """

    talk: Talk
    sent: int
    lost_s: tuple[float, ...]
    right_s: float
    ends_s: float


class _Sending(NamedTuple):
    source: int
    task: int
    times_s: tuple[float, ...]


@functools.lru_cache(maxsize=64)
def follow_change(change: Change, way: str) -> Story:
    """Follow one of the `WAYS` through a change, until nobody has learned anything for long."""
    network, notes = ferry_network(with_routes=False, call_limit_s=None), list[Note]()
    routing = RoutingMessages(network)
    for place, router in network.routers.items():
        links, nets = dict.fromkeys(routing.links_of(place), 1), routing.own_prefixes(place)
        own = {prefix: 1 for prefix in DESTINATIONS.values() if prefix in nets}
        protocol = (
            DistanceVector(place, links, own, TOLD_BACK[change.told_back])
            if way == DISTANCE_VECTOR
            else LinkState(place, links, own)
        )
        routing.attach(place, Witness(place, protocol, notes), cast(Router, router))
    routing.start()
    for line in sorted(change.cut_before):
        network.cut(line)
    network.run_until(_CHANGE_AT_S - _BEFORE_S)
    sendings = _send_datagrams(network, change)
    network.run_until(_CHANGE_AT_S)
    (network.cut if change.cuts else network.mend)(change.line)
    while network.now_s < max(last_news_s(notes), _CHANGE_AT_S) + _QUIET_S:
        network.run_until(network.now_s + 1)
    talk = talk_of(notes, _CHANGE_AT_S, LINES, message_words)
    return Story(talk, *_lost(network, sendings), *_times(network, change))


def message_words(message: object) -> str:
    """Return what a message says, in words."""
    names = {prefix: name for name, prefix in DESTINATIONS.items()}
    if isinstance(message, Update):
        return ", ".join(f"{names[entry.destination]} {entry.metric}" for entry in message.entries)
    if isinstance(message, LinkStateUpdate):
        return "; ".join(
            f"{one.header.router} sees {', '.join(sorted(dict(one.neighbours))) or 'nobody'}"
            for one in message.advertisements
        )
    return type(message).__name__


def _send_datagrams(network: Network, change: Change) -> list[_Sending]:
    """Let all hosts send from which a way is left afterwards."""
    target, sendings = network.hosts[change.destination], list[_Sending]()
    target.ports.add(STREAM_PORT)
    for name, host in network.hosts.items():
        if host is target or OWNERS[name] not in change.reached_from:
            continue
        begin_s = network.now_s
        for interval_s, until_s in _PACES_S:
            count = round((_CHANGE_AT_S + until_s - begin_s) / interval_s)
            begin = partial(_begin, network, host, target.interface.address, sendings)
            network.at(begin_s, partial(begin, count, interval_s))
            begin_s += count * interval_s
    return sendings


def _begin(
    network: Network,
    host: Host,
    destination: int,
    sendings: list[_Sending],
    count: int,
    interval_s: float,
) -> None:
    now_s = network.now_s
    stream = Stream(destination, count=count, interval_s=interval_s, payload_octets=16)
    times_s = tuple(now_s + number * interval_s for number in range(count))
    sendings.append(_Sending(host.interface.address, host.begin(now_s, stream), times_s))


def _lost(network: Network, sendings: list[_Sending]) -> tuple[int, tuple[float, ...]]:
    """Return how many datagrams were sent since the change, and when those that were lost."""
    arrived = {
        (record.other, record.task, record.number)
        for record in network.records
        if record.what is What.DATAGRAM
    }
    sent = [
        (time_s - _CHANGE_AT_S, (source, task, number) in arrived)
        for source, task, times_s in sendings
        for number, time_s in enumerate(times_s, start=1)
        if _CHANGE_AT_S <= time_s < network.now_s - _UNDER_WAY_S
    ]
    return len(sent), tuple(sorted(time_s for time_s, has_arrived in sent if not has_arrived))


def _times(network: Network, change: Change) -> tuple[float, float]:
    """Return when the last forwarding table was right, and until when all was watched."""
    prefix = f"{DESTINATIONS[change.destination]}:"
    changed_s = [
        record.time_s - _CHANGE_AT_S
        for record in network.records
        if record.what is What.ROUTE_CHANGED and record.text.startswith(prefix)
    ]
    return max(0.0, *changed_s), network.now_s - _CHANGE_AT_S
