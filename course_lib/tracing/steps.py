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

    @property
    def is_new(self) -> bool:
        """True if the router made the packet here."""
        return not any(self.before)

    @property
    def changed(self) -> tuple[int, ...]:
        """The octets that are others now, or new, counted from the start of the frame."""
        link = _different(self.before.link, self.after.link)
        network = _different(self.before.network, self.after.network)
        return (*link, *(ETHERNET_OCTETS + place for place in network))

    @property
    def removed(self) -> int:
        """How many octets there are less than before."""
        return max(0, sum(map(len, self.before)) - sum(map(len, self.after)))


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


def _different(before: bytes, after: bytes) -> list[int]:
    return [
        place for place, octet in enumerate(after) if place >= len(before) or before[place] != octet
    ]
