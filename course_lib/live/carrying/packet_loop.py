"""The loop: take frames in, let the router work, let frames out, and wait until there is more.

Everything happens in the order of its time, and at its time: the router is told when a frame came
as the kernel stamped it, and not when we looked. What is taken in lies before the *horizon*, the
moment at which this turn began to look. So a turn that comes late does the same as many that come
in time would have done, only later.

Frames that came on one interface, one behind the other, are a burst; the library's router carries
one at once (`burst_path`), and single ones in a short way (`plain_frame`). All other routers get
them one by one.
"""

__all__ = ["PacketLoop"]

import math
import time
from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course_lib.forwarding.router import Router
from course_lib.headers.assigned_numbers import ETHER_TYPE_ARP
from course_lib.ip.packets import OutgoingFrame
from course_lib.live.carrying.burst_path import BurstPath, has_plain_stages
from course_lib.live.carrying.careful_router import CarefulRouter
from course_lib.live.carrying.plain_frame import PlainFrames
from course_lib.live.carrying.ports import Port
from course_lib.live.packet_sockets.packet_ring import MOST_IN_A_BURST, Burst

SMALLEST_BURST = 16  # fewer are carried one by one in the same time
_NS_PER_S = 1_000_000_000
Times = NDArray[np.float64]
_ARP = tuple(ETHER_TYPE_ARP.to_bytes(2, "big"))


class _Came(NamedTuple):
    """A frame that waits for its turn: `place` in a burst, or the frame itself."""

    at_s: float
    order: int  # of two that came together the one that was seen first
    port: Port
    burst: Burst | None
    place: int
    frame: bytes


class PacketLoop:
    """A router and its ports. `turn` does all that is due, `next_s` tells how long there is time.

    receive: what hands one frame to the router; who follows a packet may stand in between.
    """

    def __init__(
        self,
        router: CarefulRouter,
        ports: Mapping[str, Port],
        clock_ns: Callable[[], int] = time.time_ns,
    ) -> None:
        self.router, self.ports = router, ports
        self.receive: Callable[[float, str, bytes], list[OutgoingFrame]] = router.receive
        self.sent: Callable[[float, str, bytes], None] | None = None  # is told of single frames
        self.one_by_one = False  # True while somebody wants to see each frame
        self.began_ns = clock_ns()
        self._clock_ns = clock_ns
        self._by_number = list(ports.values())
        self._burst_path: BurstPath | None = None
        self._plain_frames: PlainFrames | None = None
        self._due_s = router.next_tick_s(0.0)

    def now_s(self) -> float:
        """Return the seconds since the loop was made."""
        return (self._clock_ns() - self.began_ns) / _NS_PER_S

    def next_s(self) -> float:
        """Return when there will be something to do though no frame comes; infinity for never."""
        lines = (
            line.next_s() for port in self._by_number for line in (port.line_in, port.line_out)
        )
        return min(self._due_s, *lines)

    def turn(self) -> bool:
        """Do what is due; return True if there is more at once."""
        horizon_s, is_more = self.now_s(), False
        bursts = []
        for port in self._by_number:
            burst = port.ring.burst()
            if burst is None:
                continue
            bursts.append((port, burst))
            if len(burst.octets) == MOST_IN_A_BURST:  # those behind it wait for the next turn
                is_more = True
                horizon_s = min(horizon_s, self._times_s(burst)[-1].item())
        self._carry(bursts, horizon_s)
        for port, burst in bursts:
            port.ring.give_back(burst)
        self._tick_until(horizon_s)
        for port in self._by_number:
            if not port.line_out.is_bare:
                self._tell(port, port.let_out(self.now_s()))
        return is_more

    def ask_again(self) -> None:
        """Ask the router when it wants its tick: something was changed from outside."""
        self._due_s = self.router.next_tick_s(self.now_s())

    # ---- frames to the router

    def _carry(self, bursts: list[tuple[Port, Burst]], horizon_s: float) -> None:
        straight = []
        for port, burst in bursts:
            if port.line_in.is_bare:
                straight.append((port, burst))
                continue
            for place, at_s in enumerate(self._times_s(burst).tolist()):
                port.line_in.offer(at_s, burst.frame(place))
        late = [
            (at_s, port, frame)
            for port in self._by_number
            for at_s, frame in (port.line_in.due(horizon_s) if not port.line_in.is_bare else ())
        ]
        if len(straight) == 1 and not late:
            port, burst = straight[0]
            octets = int(burst.octets.sum())
            port.line_in.pass_through(len(burst.octets), octets)
            self._carry_run(port, burst, 0, len(burst.octets))
            return
        self._carry_merged(straight, late)

    def _carry_merged(
        self, straight: list[tuple[Port, Burst]], late: list[tuple[float, Port, bytes]]
    ) -> None:
        """Carry what came on several interfaces in the order of time."""
        came = [_Came(at_s, 0, port, None, 0, frame) for at_s, port, frame in late]
        for order, (port, burst) in enumerate(straight, start=1):
            port.line_in.pass_through(len(burst.octets), int(burst.octets.sum()))
            times = self._times_s(burst).tolist()
            came += [
                _Came(at_s, order, port, burst, place, b"") for place, at_s in enumerate(times)
            ]
        came.sort(key=_when)
        start = 0
        for end in range(1, len(came) + 1):
            first = came[start]
            if end < len(came) and first.burst is not None and came[end].burst is first.burst:
                continue
            if first.burst is None:
                self._carry_one(first.at_s, first.port, first.frame)
            else:
                self._carry_run(first.port, first.burst, first.place, first.place + end - start)
            start = end

    def _carry_run(self, port: Port, burst: Burst, start: int, stop: int) -> None:
        """Carry frames of one interface, from one place in a burst to another."""
        router = self.router.router
        is_burst = stop - start >= SMALLEST_BURST and not self.one_by_one
        times_s = self._times_s(burst)
        if is_burst and isinstance(router, Router) and has_plain_stages(router):
            types = burst.rows[start:stop, 12:14]
            is_arp = (types[:, 0] == _ARP[0]) & (types[:, 1] == _ARP[1])
            # Address resolution changes what is known; so it parts those before from those behind.
            for place in (start + np.flatnonzero(is_arp)).tolist():
                self._carry_plain(router, port, burst, times_s, start, place)
                self._carry_one(times_s[place].item(), port, burst.frame(place))
                start = place + 1
            self._carry_plain(router, port, burst, times_s, start, stop)
            return
        for place in range(start, stop):
            self._carry_one(times_s[place].item(), port, burst.frame(place))

    def _carry_plain(
        self, router: Router, port: Port, burst: Burst, all_times_s: Times, start: int, stop: int
    ) -> None:
        """Carry a run at once; what is not plain in it goes one by one, in its place."""
        if start == stop:
            return
        self._burst_path = self._burst_path or BurstPath(router)
        times_s, rows = all_times_s[start:stop], burst.rows[start:stop]
        self._tick_until(times_s[0].item())
        ways, octets = self._burst_path.carry(
            port.interface.name, rows, burst.octets[start:stop], times_s
        )
        begin = 0
        for place in [*np.flatnonzero(ways < 0).tolist(), len(ways)]:
            plain = ways[begin:place]
            for way in sorted(set(plain.tolist())):
                chosen = begin + np.flatnonzero(plain == way)
                self._by_number[way].hand_out_rows(times_s, rows, chosen, octets[chosen])
            router.counters.received += len(plain)
            router.counters.sent += len(plain)
            port.count_in(len(plain), int(burst.octets[start + begin : start + place].sum()))
            if place < len(ways):
                self._carry_one(times_s[place].item(), port, burst.frame(start + place))
            begin = place + 1

    def _carry_one(self, at_s: float, port: Port, frame: bytes) -> None:
        if not frame:  # it was too long for the ring, and is counted there
            return
        self._tick_until(at_s)
        port.count_in(1, len(frame))
        if (plain := self._plainly(at_s, port, frame)) is not None:
            self._hand_out(at_s, [plain])
            return
        self._hand_out(at_s, self.receive(at_s, port.interface.name, frame))
        self._due_s = self.router.next_tick_s(at_s)

    def _plainly(self, at_s: float, port: Port, frame: bytes) -> OutgoingFrame | None:
        """Carry a frame in the short way, if there is nothing about it and nobody looks."""
        router = self.router.router
        if self.one_by_one or not isinstance(router, Router) or not has_plain_stages(router):
            return None
        self._plain_frames = self._plain_frames or PlainFrames(router)
        out = self._plain_frames.carry(at_s, port.interface.name, frame)
        if out is not None:
            router.counters.received += 1
            router.counters.sent += 1
        return out

    def _tick_until(self, now_s: float) -> None:
        if self._due_s <= now_s:
            frames, self._due_s = self.router.ticks_until(now_s, self._due_s)
            self._hand_out(now_s, frames)

    # ---- frames from the router

    def _hand_out(self, at_s: float, frames: list[OutgoingFrame]) -> None:
        for interface, frame in frames:
            port = self.ports[interface]
            if port.hand_out(at_s, frame):
                self._tell(port, [frame])

    def _tell(self, port: Port, frames: list[bytes]) -> None:
        if self.sent is not None:
            for frame in frames:
                self.sent(self.now_s(), port.interface.name, frame)

    def _times_s(self, burst: Burst) -> Times:
        times_s: Times = (burst.stamps_ns - self.began_ns) / _NS_PER_S
        return times_s


def _when(came: _Came) -> tuple[float, int, int]:
    return came.at_s, came.order, came.place


def wait_s(next_s: float, now_s: float) -> float | None:
    """Return how long to wait, None for as long as nothing comes."""
    return None if math.isinf(next_s) else max(0.0, next_s - now_s)
