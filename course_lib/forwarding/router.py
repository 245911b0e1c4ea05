"""The router: frames and the time go in, frames to send come out.

    router = Router("North Pier", [harbour, sea])
    router.add_route(parse_prefix("203.0.113.0/24"), reed_pier, "sea")
    for interface, frame in router.receive(now_s, "harbour", frame): ...

No clock is read and no socket opened. So the same router runs on a drawn network, between real
hosts, and in a test in which an hour is over at once.

Inside are two parts (RFC 1812, section 5.2.1, tells what has to be done, not by which of them):

* the *fast path* (`router.fast_path`) carries a packet through `router.stages`, a plain list. Print
  it, reorder it, put a stage of your own into it. Every stage decides by reading a table;
* the *slow path* (`router.slow_path`) does what takes more: resolution, errors, options, fragments,
  packets for the router itself. `router.counters.fast_path_share` tells how few that are.

DEVELOPERS.md lists which rules of which standard are kept, and which are not.

Not here: routing protocols (`course_lib.routing` fills the table), multicast forwarding, IPv6.
"""

__all__ = ["Interface", "OutgoingFrame", "Router"]

import math
from collections import deque
from collections.abc import Sequence
from typing import cast

from course_lib.forwarding.counters import Counters
from course_lib.forwarding.fast_path import FastPath, StageError
from course_lib.forwarding.own_packets import OwnPackets
from course_lib.forwarding.queue import Queue
from course_lib.forwarding.services import Service
from course_lib.forwarding.slow_path import SlowPath, Waiting
from course_lib.forwarding.stages import (
    Decide,
    ForwardingEntry,
    Receive,
    Rewrite,
    Send,
    Validate,
)
from course_lib.forwarding.verdicts import HoldingStage, Stage, name_of
from course_lib.ip.datagrams import Datagram
from course_lib.ip.fragmentation import SMALLEST_MTU
from course_lib.ip.icmp_errors import ErrorLimit
from course_lib.ip.neighbours import BROADCAST, Neighbours
from course_lib.ip.packets import Interface, OutgoingFrame, Packet
from course_lib.lookup.binary_trie import BinaryTrie
from course_lib.lookup.protocol import LookupTable
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.special import LIMITED_BROADCAST, broadcasts_of
from course_lib.prefixes.text import format_address

_new = tuple.__new__  # at half the cost of calling the type


class Router:
    """An IPv4 router with Ethernet interfaces.

    table: an empty lookup table; a binary trie if none is given.
    queue: the stage that lets packets wait; without it, no packet ever waits for its interface.
    error_limit: how many ICMP errors may be sent.
    directed_broadcasts: forward them; off, as RFC 2644 demands, unless somebody knows better.
    redirects: tell senders on the same link of a better first hop.

    Raises `ValueError` for interfaces that make no sense.

    >>> from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
    >>> [(sent.interface, len(sent.frame)) for sent in north_pier().receive(0, *ARRIVALS["plain"])]
    [('to Reed Pier', 68)]
    """

    def __init__(
        self,
        name: str,
        interfaces: Sequence[Interface],
        table: LookupTable | None = None,
        *,
        queue: Queue | None = None,
        error_limit: ErrorLimit | None = None,
        directed_broadcasts: bool = False,
        redirects: bool = True,
    ) -> None:
        check_interfaces(interfaces)
        table = BinaryTrie() if table is None else table
        if len(table):
            raise ValueError(
                f"the table must be empty, it holds {len(table)} routes: use add_route"
            )
        self.name = name
        self.interfaces = {each.name: each for each in interfaces}
        self.neighbours = {
            each.name: Neighbours[Waiting](each.hardware_address, each.address)
            for each in interfaces
        }
        for each in interfaces:
            for broadcast in (LIMITED_BROADCAST, *broadcasts_of(each.prefix)[1:]):
                self.neighbours[each.name].keep(broadcast, BROADCAST)
        self.counters = Counters()
        self.table = table
        self._routes: dict[Prefix, ForwardingEntry] = {}
        self.decide = Decide(interfaces, table, directed_broadcasts=directed_broadcasts)
        # The last two stages are the same objects in both lists: a packet of the router's own
        # waits in the same queue as all others.
        last: list[Stage] = [queue or Queue(), Send(self.neighbours)]
        first: list[Stage] = [Receive(interfaces), Validate(interfaces)]
        self.stages: list[Stage] = [*first, self.decide, Rewrite(interfaces), *last]
        self.fast_path = FastPath(self.counters)
        self.slow_path = SlowPath(
            self.interfaces,
            self.neighbours,
            self.fast_path,
            OwnPackets(self.interfaces, self.decide, self.counters, error_limit or ErrorLimit()),
            last,
            self.counters,
            redirects=redirects,
        )
        for each in interfaces:
            self.add_route(each.prefix, None, each.name)

    @property
    def complaints(self) -> deque[str]:
        """Sentences on stages that failed, the newest last."""
        return self.fast_path.complaints

    @property
    def own_stages(self) -> list[Stage]:
        """The stages that the router's own packets see."""
        return self.slow_path.own_stages

    @property
    def services(self) -> dict[int, Service]:
        """What answers packets for the router itself, by protocol number."""
        return self.slow_path.services

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Take in a frame that arrived on `interface`; return the frames to send now, in order.

        Bad frames are counted and never raise. Raises `ValueError` for an unknown interface.
        """
        if interface not in self.interfaces:
            raise ValueError(f"{self.name} has no interface {interface!r}: {list(self.interfaces)}")
        self.counters.received += 1
        packet = _new(Packet, (now_s, interface, frame, None, b"", None, None))
        ended = self.fast_path.carry(packet, self.stages)
        if ended.__class__ is OutgoingFrame:
            return [ended]
        if ended is None:
            return []
        # Here the packet leaves the fast path.
        self.counters.left_fast_path += 1
        return self.slow_path.settle(ended)  # type: ignore[arg-type]  # neither frame nor None

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Do whatever is due by now. Calling it too early does nothing."""
        frames = self.slow_path.tick(now_s)
        for place, stage in self._holding_stages():
            rest = self.stages[place + 1 :]
            for packet in self._released(stage, now_s):
                frames += self.slow_path.carry_on(packet._replace(now_s=now_s), rest)
        return frames

    def next_tick_s(self) -> float:
        """Return when `tick` will next have something to do; infinity means never."""
        times = [self._due_s(stage) for _, stage in self._holding_stages()]
        return min([self.slow_path.next_tick_s(), *times])

    def send(
        self, now_s: float, destination: int, protocol: int, payload: bytes
    ) -> list[OutgoingFrame]:
        """Send a datagram of the router's own, from the address of the interface it leaves by."""
        return self.slow_path.send(now_s, Datagram(destination, protocol, payload))

    def add_route(self, prefix: Prefix, next_hop: int | None, interface: str) -> None:
        """Send what lies in `prefix` out of `interface` to the router `next_hop`.

        None stands for "the destination is a neighbour itself". A route with this very prefix is
        replaced. Raises `ValueError` for a next hop that is not on the link: whoever wants to go by
        a router that is further away has to look up the way to *that one* first.
        """
        if interface not in self.interfaces:
            raise ValueError(f"{self.name} has no interface {interface!r}: {list(self.interfaces)}")
        link = self.interfaces[interface]
        if next_hop is not None and not link.prefix.contains(next_hop):
            raise ValueError(
                f"next hop {format_address(next_hop)} is not on the link of {interface} "
                f"({link.prefix}), so no frame can be addressed to it; give the neighbour that "
                "leads towards it"
            )
        entry = ForwardingEntry(interface, next_hop)
        if entry not in self.decide.entries:
            self.decide.entries.append(entry)
        # Routes share entries: a table of a million prefixes has a few dozen of them.
        self.table.insert(prefix, self.decide.entries.index(entry))
        self._routes[prefix] = entry

    def withdraw_route(self, prefix: Prefix) -> None:
        """Remove the route with exactly this prefix; raises `KeyError` if there is none."""
        self.table.withdraw(prefix)
        del self._routes[prefix]

    def routes(self) -> dict[Prefix, ForwardingEntry]:
        """Return what the forwarding table holds."""
        return dict(self._routes)

    def waiting(self) -> int:
        """Return how many packets wait: for a neighbour's address, or for their interface."""
        for_address = sum(1 for link in self.neighbours.values() for _ in link.waiting())
        depths = (stage.depths() for _, stage in self._holding_stages())
        return for_address + sum(sum(each.values()) for each in depths)

    def _holding_stages(self) -> list[tuple[int, HoldingStage]]:
        """Return the stages that may keep packets, each with its place in the list."""
        holding = ((place, each) for place, each in enumerate(self.stages) if hasattr(each, "tick"))
        return [(place, cast(HoldingStage, each)) for place, each in holding]

    def _released(self, stage: HoldingStage, now_s: float) -> list[Packet]:
        """Ask a stage for the packets that are due; it may be a student's, and fail."""
        try:
            packets = list(stage.tick(now_s))
            if not all(isinstance(packet, Packet) for packet in packets):
                raise StageError(f"tick returned {packets!r:.200}, must return a list of packets")
        except Exception as error:
            self.fast_path.complain(name_of(stage), error)
            return []
        return packets

    def _due_s(self, stage: HoldingStage) -> float:
        try:
            return float(stage.next_tick_s())
        except Exception as error:
            self.fast_path.complain(name_of(stage), error)
            return math.inf

    def __repr__(self) -> str:
        stages = ", ".join(name_of(stage) for stage in self.stages)
        return f"<router {self.name}: {stages}; {len(self.table)} routes>"


def check_interfaces(interfaces: Sequence[Interface]) -> None:
    """Raise `ValueError` for interfaces that no router can have."""
    for each in interfaces:
        if not each.prefix.contains(each.address) or each.address in broadcasts_of(each.prefix):
            raise ValueError(
                f"interface {each.name}: {format_address(each.address)} cannot be the address of "
                f"one host in {each.prefix}"
            )
        if each.mtu < SMALLEST_MTU:
            raise ValueError(
                f"interface {each.name}: mtu must be at least {SMALLEST_MTU}, not {each.mtu}"
            )
        if len(each.hardware_address) != 6 or each.hardware_address[0] & 1:
            raise ValueError(
                f"interface {each.name}: the hardware address must be six octets of one station"
            )
    if len({each.name for each in interfaces}) != len(interfaces) or not interfaces:
        raise ValueError("a router needs at least one interface, and each a name of its own")
