"""A router that writes a timeline of what it does: a `Router` inside, and a watch at its stages.

    router = WatchedRouter(router, Timeline())

It stands in the place of the router, in a network too. What was seen is in its `timeline`.
"""

__all__ = ["WatchedRouter"]

from typing import Any

from course_lib.forwarding.router import Router
from course_lib.forwarding.verdicts import Stage, Verdict, name_of
from course_lib.ip.packets import OutgoingFrame, Packet
from course_lib.prefixes.prefix import Prefix
from course_lib.tracing.timeline import Timeline
from course_lib.tracing.watched_stage import end_watch, put_watch


class WatchedRouter:
    """A router that writes down what happens in it; everything else it leaves to the router.

    It keeps every frame that came in, as long as it lives.

    The packets are numbered from 1 as they come in, and signals named like the stages show the
    number of the packet that is inside. A packet of the router's own has the number of the one that
    caused it, or 0.

    >>> from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
    >>> watched = WatchedRouter(north_pier(), Timeline())
    >>> frames = watched.receive(0.0, *ARRIVALS["plain"])
    >>> [(at.step, at.value) for at in watched.timeline.changes if at.signal == "decide"]
    [(2, 1), (3, None)]
    """

    def __init__(self, router: Router, timeline: Timeline) -> None:
        self.router, self.timeline = router, timeline
        self._number = 0  # of the packet that came in last
        self._numbers: dict[int, tuple[int, bytes]] = {}  # by the identity of the frame
        self._table_changes = 0
        self._look(0.0)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.router, name)

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Do what the router does, and note it."""
        put_watch(self.router, self._visit)  # also at stages that were added meanwhile
        own_copy = bytes(bytearray(frame))  # an identity of its own, even if a frame comes twice
        self._number += 1
        self._numbers[id(own_copy)] = (self._number, own_copy)
        frames = self.router.receive(now_s, interface, own_copy)
        self._look(now_s)
        return frames

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Do what the router does, and note it."""
        put_watch(self.router, self._visit)
        frames = self.router.tick(now_s)
        self._look(now_s)
        return frames

    def add_route(
        self, prefix: Prefix, next_hop: int | None, interface: str, now_s: float = 0.0
    ) -> None:
        """Add a route, and note that the table has changed at `now_s`, or at the newest change."""
        self.router.add_route(prefix, next_hop, interface)
        self._table_changes += 1
        self._look(now_s)

    def withdraw_route(self, prefix: Prefix, now_s: float = 0.0) -> None:
        """Remove a route, and note that the table has changed, as `add_route` does."""
        self.router.withdraw_route(prefix)
        self._table_changes += 1
        self._look(now_s)

    def leave(self) -> None:
        """Stand at no door any more."""
        end_watch(self.router, self._visit)

    def _visit(self, stage: Stage, packet: Packet) -> Packet | Verdict:
        """Note that a packet is in a stage, and then that nothing is in it any more."""
        # Stages hand on new packets all the time, but the frame stays the very object that came in.
        number, _ = self._numbers.get(id(packet.frame), (self._number, b""))
        name = name_of(stage)
        self.timeline.record(packet.now_s, name, number)
        try:
            return stage(packet)
        finally:
            self.timeline.record(packet.now_s, name, None, later=True)

    def _look(self, now_s: float) -> None:
        """Note depths, routes and counters as they are now."""
        counters = self.router.counters
        links = self.router.neighbours.items()
        seen = {f"waiting_{name}": sum(1 for _ in link.waiting()) for name, link in links}
        for stage in self.router.stages:
            if hasattr(stage, "depths"):
                seen |= {
                    f"{name_of(stage)}_{name}": depth for name, depth in stage.depths().items()
                }
        seen |= {"routes": len(self.router.table), "table_changes": self._table_changes}
        seen |= {"sent": counters.sent, "dropped": counters.dropped.total()}
        for signal, value in seen.items():
            self.timeline.record(now_s, signal, value)
