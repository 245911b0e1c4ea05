"""A router that writes a timeline of what it does."""

__all__ = ["WatchedRouter"]

from typing import Any

from course_lib.forwarding.router import Router
from course_lib.forwarding.verdicts import Stage, Verdict, name_of
from course_lib.ip.packets import OutgoingFrame, Packet
from course_lib.prefixes.prefix import Prefix
from course_lib.tracing.timeline import Timeline


class WatchedRouter:
    """A router that writes down what happens in it; everything else it leaves to the router.

    It keeps every frame that came in, as long as it lives.

    The packets are numbered from 1 as they come in, and signals named like the stages show the
    number of the packet that is inside. A packet of the router's own has the number of the one that
    caused it, or 0.
    """

    def __init__(self, router: Router, timeline: Timeline) -> None:
        self.router, self.timeline = router, timeline
        self._number = 0  # of the packet that came in last
        self._numbers: dict[int, tuple[int, bytes]] = {}  # by the identity of the frame
        self._doors: dict[int, _WatchedStage] = {}  # by the identity of the stage
        self._table_changes = 0
        self._look(0.0)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.router, name)

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Do what the router does, and note it."""
        self._watch_stages()
        own_copy = bytes(bytearray(frame))  # an identity of its own, even if a frame comes twice
        self._number += 1
        self._numbers[id(own_copy)] = (self._number, own_copy)
        return self._after(now_s, self.router.receive(now_s, interface, own_copy))

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Do what the router does, and note it."""
        self._watch_stages()
        return self._after(now_s, self.router.tick(now_s))

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

    def entered(self, stage: str, packet: Packet) -> None:
        """Note that a packet is in a stage."""
        number, _ = self._numbers.get(id(packet.frame), (self._number, b""))
        self.timeline.record(packet.now_s, stage, number)

    def left(self, stage: str, packet: Packet) -> None:
        """Note that nothing is in a stage any more."""
        self.timeline.record(packet.now_s, stage, None, later=True)

    def _watch_stages(self) -> None:
        """Put somebody at the door of every stage, also of those that were added meanwhile."""
        for stages in (self.router.stages, self.router.own_stages):
            for place, stage in enumerate(stages):
                if not isinstance(stage, _WatchedStage):
                    door = self._doors.setdefault(id(stage), _WatchedStage(stage, self))
                    stages[place] = door

    def _after(self, now_s: float, frames: list[OutgoingFrame]) -> list[OutgoingFrame]:
        self._look(now_s)
        return frames

    def _look(self, now_s: float) -> None:
        """Note depths, routes and counters as they are now."""
        counters = self.router.counters
        seen = {f"waiting_{name}": sum(1 for _ in link.waiting())
                for name, link in self.router.neighbours.items()}  # fmt: skip
        for stage in self.router.stages:
            if hasattr(stage, "depths"):
                seen |= {
                    f"{name_of(stage)}_{name}": depth for name, depth in stage.depths().items()
                }
        seen |= {"routes": len(self.router.table), "table_changes": self._table_changes}
        seen |= {"sent": counters.sent, "dropped": counters.dropped.total()}
        for signal, value in seen.items():
            self.timeline.record(now_s, signal, value)


class _WatchedStage:
    """A stage with somebody at the door. It prints, and in all else behaves, like the stage."""

    def __init__(self, stage: Stage, watch: WatchedRouter) -> None:
        self._stage, self._watch = stage, watch

    def __call__(self, packet: Packet) -> Packet | Verdict:
        name = name_of(self._stage)
        self._watch.entered(name, packet)
        try:
            return self._stage(packet)
        finally:
            self._watch.left(name, packet)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stage, name)

    def __repr__(self) -> str:
        return name_of(self._stage)
