"""The stage in which packets wait for their interface.

It is also the pattern for a stage of your own that keeps packets back, such as a scheduler: return
`HELD`, and hand the packets out when the router calls `tick` (see `HoldingStage`).
"""

__all__ = ["Queue"]

import math
from collections import deque
from collections.abc import Mapping

from course_lib.forwarding.stages import NamedStage
from course_lib.forwarding.verdicts import HELD, Drop, Verdict
from course_lib.headers.errors import Reason
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.ip.packets import Packet


class Queue(NamedStage):
    """Let packets wait for their interface, first in, first out; a full queue drops the newest.

    An interface without a rate takes every packet at once. That is right where whoever carries our
    frames has a queue of its own. With a rate in bits per second, one packet leaves after the
    other, each as long as its octets take on the link: a new one finds those before it waiting.

    Real routers: several queues for each interface, and a scheduler that chooses among them.
    """

    def __init__(self, rates_bits_per_s: Mapping[str, float] | None = None, limit: int = 100):
        self._lines = {
            name: _Line(rate, limit, deque()) for name, rate in (rates_bits_per_s or {}).items()
        }

    def __call__(self, packet: Packet) -> Packet | Verdict:
        """Hand the packet on, or hold it, or drop it because the queue is full."""
        line = self._lines.get(packet.leaves_on or "")
        return packet if line is None else line.take(packet)

    def tick(self, now_s: float) -> list[Packet]:
        """Return the packets whose turn has come."""
        return [packet for line in self._lines.values() for packet in line.due(now_s)]

    def next_tick_s(self) -> float:
        """Return when the next packet's turn comes; infinity means that none is waiting."""
        starts = (line.free_s for line in self._lines.values() if line.waiting)
        return min(starts, default=math.inf)

    def depths(self) -> dict[str, int]:
        """Return how many packets wait for each interface that has a rate."""
        return {name: len(line.waiting) for name, line in self._lines.items()}


class _Line:
    """The packets that wait for one interface, and when it will be free."""

    def __init__(self, rate_bits_per_s: float, limit: int, waiting: deque[Packet]) -> None:
        self.rate_bits_per_s, self.limit, self.waiting = rate_bits_per_s, limit, waiting
        self.free_s = -math.inf

    def take(self, packet: Packet) -> Packet | Verdict:
        if not self.waiting and packet.now_s >= self.free_s:
            return self._start(packet, packet.now_s)
        if len(self.waiting) >= self.limit:
            return Drop(Reason.QUEUE_FULL)
        self.waiting.append(packet)
        return HELD

    def due(self, now_s: float) -> list[Packet]:
        started = []
        while self.waiting and now_s >= self.free_s:
            # It starts when the line was free, not when somebody looked: no time gets lost.
            started.append(self._start(self.waiting.popleft(), self.free_s))
        return started

    def _start(self, packet: Packet, now_s: float) -> Packet:
        octets = ETHERNET_OCTETS + (packet.header.total_length if packet.header else 0)
        self.free_s = now_s + octets * 8 / self.rate_bits_per_s
        return packet._replace(now_s=now_s)
