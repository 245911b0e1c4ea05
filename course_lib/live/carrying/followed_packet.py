"""One real packet on its way through a router: each stage's octets, all times, and the frames.

It came from the kernel of one host and went to that of another. What is kept can be drawn as a
journey (`course_lib.figures`), saved as a pcap file, and saved as a timeline.
"""

__all__ = ["FollowedPacket", "Follower", "Passing"]

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from course_lib import capture
from course_lib.forwarding.router import Router
from course_lib.headers.errors import PacketError
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.ip.packets import OutgoingFrame
from course_lib.network.careful_calls import FrameHandler
from course_lib.runner.plain_data import decode, encode
from course_lib.tracing.journey import follow
from course_lib.tracing.journey_data import journey_as_data, journey_from_data
from course_lib.tracing.steps import Journey, JourneyEnd, JourneyStep, Octets
from course_lib.tracing.timeline import Timeline, ValueChange
from course_lib.tracing.watched_router import WatchedRouter

WHOLE = "the router"  # the one stage of a router that shows none
MOST_AROUND = 4  # a protocol, and who remakes the router, are two
_NS_PER_S = 1_000_000_000
_LEAD_STEPS = 2  # of the timeline, before the packet comes in


class Passing(NamedTuple):
    """A frame that passed one of the router's interfaces, and when: nanoseconds since 1970."""

    time_ns: int
    interface: str
    is_outgoing: bool
    octets: bytes


class FollowedPacket(NamedTuple):
    """What was seen of one packet."""

    journey: Journey
    passings: tuple[Passing, ...]
    changes: tuple[ValueChange, ...]  # empty for a router that shows no stages

    @property
    def seconds_inside(self) -> float | None:
        """The time from the kernel's stamp to the last frame sent; None if nothing was sent."""
        first, *rest = (passing.time_ns for passing in self.passings)
        return (rest[-1] - first) / _NS_PER_S if rest else None

    def timeline(self) -> Timeline:
        """Return the timeline, to be drawn or written as a value change dump."""
        timeline = Timeline()
        for step, signal, value in self.changes:
            timeline.record(step * timeline.step_s, signal, value)
        return timeline

    def save(
        self, pcap: str | os.PathLike[str], dump: str | os.PathLike[str] | None = None
    ) -> None:
        """Write the frames into a pcap file, and the timeline, if asked for, as a VCD file."""
        frames = [capture.CapturedFrame(each.time_ns, each.octets) for each in self.passings]
        capture.write(pcap, frames)
        if dump is not None:
            Path(dump).write_text(self.timeline().to_vcd(self.journey.router), encoding="ascii")

    def as_data(self) -> dict[str, Any]:
        """Return it as what JSON can hold."""
        return {
            "journey": journey_as_data(self.journey),
            "passings": encode([tuple(each) for each in self.passings]),
            "changes": encode([tuple(each) for each in self.changes]),
        }

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> "FollowedPacket":
        """Return what `as_data` was made of."""
        return cls(
            journey_from_data(data["journey"]),
            tuple(Passing(*each) for each in decode(data["passings"])),
            tuple(ValueChange(*each) for each in decode(data["changes"])),
        )


class Follower:
    """Stands in front of a router for one frame, and keeps what it sees.

    `receive` is called once, in the place of the router's.
    """

    def __init__(self, name: str, router: FrameHandler) -> None:
        self._name, self._router = name, router
        self._passings: list[Passing] = []
        self.journey: Journey | None = None  # once it has been through
        self._changes: tuple[ValueChange, ...] = ()
        self._expected: list[OutgoingFrame] = []

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Let the router receive the frame, and return what it returns."""
        inside = _library_router(self._router)
        if inside is self._router:
            sent = self._follow_stages(inside, now_s, interface, frame)
        elif inside is not None:
            self.journey = follow(inside, now_s, interface, frame, by=self._router)
            sent = list(self.journey.sent)
        else:
            sent = list(self._router.receive(now_s, interface, frame))
            self.journey = _closed_journey(self._name, interface, frame, sent)
        # What cannot be sent is for the guard to name; a router of one's own may return pairs.
        pairs = (each for each in sent if isinstance(each, tuple) and len(each) == 2)
        self._expected = [OutgoingFrame(*each) for each in pairs]
        self.journey = self.journey and self.journey._replace(sent=tuple(self._expected))
        return sent

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Do what the router does."""
        return list(self._router.tick(now_s))

    def next_tick_s(self) -> float:
        """Do what the router does."""
        return self._router.next_tick_s()

    def came(self, time_ns: int, interface: str, frame: bytes) -> None:
        """Note when the frame came."""
        self._passings.append(Passing(time_ns, interface, False, frame))

    def went(self, time_ns: int, interface: str, frame: bytes) -> None:
        """Note when a frame was sent, if it is one that came of the packet."""
        for expected in self._expected:
            if expected.frame is frame:
                self._passings.append(Passing(time_ns, interface, True, frame))
                self._expected.remove(expected)
                return

    def all_went(self, time_ns: int) -> None:
        """Note that all frames that came of the packet were sent, at this moment."""
        for each in tuple(self._expected):
            self.went(time_ns, *each)

    @property
    def has_begun(self) -> bool:
        """True once the packet was there."""
        return bool(self._passings)

    @property
    def waits_for_more(self) -> bool:
        """True as long as not all that came of the packet has been sent."""
        return bool(self._expected)

    def followed(self) -> FollowedPacket | None:
        """Return what was seen; None if the router never came back."""
        if self.journey is None:
            return None
        return FollowedPacket(self.journey, tuple(self._passings), self._changes)

    def _follow_stages(
        self, router: Router, now_s: float, interface: str, frame: bytes
    ) -> list[OutgoingFrame]:
        timeline = _LaterTimeline(now_s)
        watched = WatchedRouter(router, timeline)
        try:
            # The watched router has all that a router has.
            self.journey = follow(watched, now_s, interface, frame)  # type: ignore[arg-type]
        finally:
            watched.leave()
        self._changes = tuple(timeline.changes)
        return list(self.journey.sent)


def _library_router(router: Any) -> Router | None:
    """Return the library's router, or the one inside of those that stand around it, if any."""
    for _ in range(MOST_AROUND):
        if router is None or isinstance(router, Router):
            return router
        router = getattr(router, "router", None)
    return None


class _LaterTimeline(Timeline):
    """A timeline that begins shortly before a moment."""

    def __init__(self, begins_s: float) -> None:
        super().__init__()
        self._origin_s = begins_s - _LEAD_STEPS * self.step_s

    def record(self, now_s: float, signal: str, value: int | None, *, later: bool = False) -> None:
        """Note a value, counted from the beginning of this timeline."""
        super().record(max(0.0, now_s - self._origin_s), signal, value, later=later)


def _closed_journey(name: str, interface: str, frame: bytes, sent: list[OutgoingFrame]) -> Journey:
    """Return the journey through a router of which only the doors are seen."""
    arrived = _cut(frame)
    try:
        last = OutgoingFrame(*sent[-1]) if sent else None
        after = arrived if last is None else _cut(last.frame)
    except (TypeError, PacketError):  # the guard says what is wrong with such an answer
        last, after, sent = None, arrived, []
    step = JourneyStep(WHOLE, 0, "the packet", arrived, after, verdict=last)
    if last is None:
        end = JourneyEnd("lost", WHOLE, "nothing was sent")
    else:
        end = JourneyEnd("sent", WHOLE, f'by the interface "{last.interface}"')
    return Journey(name, (WHOLE,), interface, arrived, (step,), end, tuple(sent), {}, ())


def _cut(frame: bytes) -> Octets:
    return Octets(frame[:ETHERNET_OCTETS], frame[ETHERNET_OCTETS:])
