"""What a running router tells about itself: one immutable value, as of one moment."""

__all__ = ["InterfaceState", "NeighbourState", "RouteState", "RouterState"]

from collections.abc import Mapping
from typing import NamedTuple

from course_lib.prefixes.prefix import Prefix


class InterfaceState(NamedTuple):
    """An interface, and the line in the direction in which the router sends there.

    None: no rate, the line takes every frame at once; no limit of the queue; nothing is lost on
    purpose. `queue_packets` counts the packets that wait and the one that is being sent.
    """

    name: str
    address: int
    prefix_length: int
    is_up: bool = True
    received_frames: int = 0
    received_octets: int = 0
    sent_frames: int = 0
    sent_octets: int = 0
    waiting_packets: int = 0
    dropped_packets: int = 0  # found the queue full
    lost_packets: int = 0  # lost on the line, on purpose or because it was cut
    rate_bits_per_s: float | None = None
    delay_s: float = 0.0
    queue_packets: int | None = None
    loss_period: int | None = None


class RouteState(NamedTuple):
    """A route; a next hop of None stands for "the destination is a neighbour itself"."""

    prefix: Prefix
    next_hop: int | None
    interface: str


class NeighbourState(NamedTuple):
    """A neighbour whose hardware address is known now."""

    interface: str
    address: int
    hardware_address: bytes


class RouterState(NamedTuple):
    """All of it. What a router of somebody's own can't tell is empty."""

    name: str
    now_s: float
    interfaces: tuple[InterfaceState, ...] = ()
    routes: tuple[RouteState, ...] = ()
    neighbours: tuple[NeighbourState, ...] = ()
    counters: Mapping[str, int] = {}
    stages: tuple[str, ...] = ()  # in their order; empty: it has no list of stages
    complaints: tuple[str, ...] = ()  # sentences on what failed, the newest last
