"""What is known of a packet's journey through a router: its steps, and how it ended.

`journey` writes journeys down, `course_lib.figures` draws them.
"""

__all__ = ["SLOW_PATH", "Journey", "JourneyEnd", "JourneyStep", "Octets"]

from collections.abc import Mapping
from typing import NamedTuple

from course_lib.forwarding.verdicts import Verdict
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.ip.packets import OutgoingFrame

SLOW_PATH = "slow path"


class Octets(NamedTuple):
    """A frame in two parts: its Ethernet header, and what follows.

    A packet of the router's own has no Ethernet header before it is sent.
    """

    link: bytes
    network: bytes


class JourneyStep(NamedTuple):
    """What one stage did to one packet."""

    stage: str
    leg: int  # 0: the packet on the fast path; 1, 2 and so on: what the slow path sent on
    whose: str  # which packet this is, in words
    before: Octets
    after: Octets
    facts: tuple[tuple[str, str], ...] = ()  # what was found out and is not in the octets
    verdict: Verdict | None = None  # None: the packet was handed on, or the stage failed
    counted: tuple[tuple[str, int], ...] = ()  # which counters moved, and by how much
    problem: str = ""  # what went wrong in the stage, in words
    waiting: int = 0  # how many packets wait in the router afterwards, earlier ones among them

    @property
    def is_new(self) -> bool:
        """True if the router made the packet here."""
        return not any(self.before)

    @property
    def changed(self) -> tuple[int, ...]:
        """The octets that are others now, or new, counted from the start of the frame."""
        starts = (0, ETHERNET_OCTETS)
        return tuple(
            start + place
            for start, was, now in zip(starts, self.before, self.after, strict=True)
            for place in range(len(now))
            if was[place : place + 1] != now[place : place + 1]
        )


class JourneyEnd(NamedTuple):
    """How, where and why the packet's way on the fast path ended.

    kind: "sent", "dropped", "kept back", "left the fast path", or "lost" through a stage's fault.
    """

    kind: str
    stage: str
    words: str


class Journey(NamedTuple):
    """A packet's way through a router."""

    router: str
    stages: tuple[str, ...]  # of the fast path, also those that the packet did not reach
    arrived_on: str
    arrived: Octets
    steps: tuple[JourneyStep, ...]
    end: JourneyEnd
    sent: tuple[OutgoingFrame, ...]  # all frames, with those of address resolution
    counted: Mapping[str, int]  # which counters moved, and by how much
    complaints: tuple[str, ...]
    waited: int = 0  # how many packets were waiting in the router when this one arrived

    def has_ended(self, until: int) -> bool:
        """True if the last step on the fast path is among the first `until` steps."""
        return all(step.leg for step in self.steps[until:])

    def stages_left(self, until: int) -> list[str]:
        """Return the stages of the fast path that the first `until` steps have not reached."""
        return list(self.stages[sum(1 for step in self.steps[:until] if step.leg == 0) :])
