"""What a stage can say about a packet.

A stage returns a packet (go on with the next stage; see `course_lib.ip.packets`), or a verdict (it
goes no further):

* `Drop(reason)`: discard it silently;
* `Refuse(reason)`: discard it and tell the sender, where the rules for ICMP errors allow it;
* `Divert(task, packet)`: the slow path has to do something before the packet can go on;
* `HELD`: the stage keeps the packet and will hand it out later;
* an `OutgoingFrame`: done.
"""

__all__ = [
    "HELD",
    "Divert",
    "Drop",
    "Held",
    "HoldingStage",
    "Refuse",
    "SlowPathTask",
    "Stage",
    "StageOrderError",
    "Stop",
    "Verdict",
    "name_of",
]

from collections.abc import Callable
from enum import Enum, StrEnum
from typing import NamedTuple, Protocol, TypeAlias

from course_lib.headers.errors import Reason
from course_lib.ip.packets import OutgoingFrame, Packet


class Drop(NamedTuple):
    """Discard the packet silently."""

    reason: Reason


class Refuse(NamedTuple):
    """Discard the packet and tell its sender why.

    `rest_of_header` are octets 4 to 7 of the ICMP message, for instance the next-hop MTU.
    """

    reason: Reason
    rest_of_header: int = 0


class SlowPathTask(StrEnum):
    """What only the slow path can do."""

    READ_RESOLUTION = "read an address resolution packet"
    REPORT_CUT = "report a datagram that was cut on its way"
    REPORT_OPTION = "report a wrong option"
    DELIVER = "deliver to the router itself"
    REDIRECT = "tell the sender of a better first hop"
    OPTIONS = "fill in options"
    FRAGMENT = "cut into fragments"
    RESOLVE = "find out a hardware address"


class Divert(NamedTuple):
    """Leave the fast path: the slow path has a task, and goes on with `packet` afterwards."""

    task: SlowPathTask
    packet: Packet


class Held(Enum):
    """The stage keeps the packet and hands it out later: it is a `HoldingStage`."""

    HELD = "held"


HELD = Held.HELD

Verdict: TypeAlias = Drop | Refuse | Divert | Held | OutgoingFrame
Stage: TypeAlias = Callable[[Packet], Packet | Verdict]


class HoldingStage(Protocol):
    """What a stage that returns `HELD` has beside: the router calls it when packets are due."""

    def tick(self, now_s: float) -> list[Packet]:
        """Return the packets that shall go on now, with the stages behind this one."""

    def next_tick_s(self) -> float:
        """Return when `tick` will next have something to do; infinity means never."""

    def depths(self) -> dict[str, int]:
        """Return how many packets are held, by interface or any other name."""


class Stop(NamedTuple):
    """Where a packet left the fast path: the verdict, whose it was, and the stages not reached."""

    packet: Packet
    verdict: Refuse | Divert
    stage: Stage
    rest: tuple[Stage, ...]


class StageOrderError(RuntimeError):
    """A stage that needs what an earlier one should have found out."""

    def __init__(self, stage: str, needed: str) -> None:
        super().__init__(f"{stage} must stand behind {needed} in the list of stages")


def name_of(stage: object) -> str:
    """Return what people call a stage: the name of the function, or what the object prints."""
    return str(getattr(stage, "__name__", None) or stage)
