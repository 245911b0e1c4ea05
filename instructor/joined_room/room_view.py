"""What the screen at the front shows of a room, as plain data: names of piers and numbers only."""

__all__ = [
    "ROUTER_ENDED", "LinkView", "MemberView", "RoomView", "StoryStep", "StoryView", "StreamView",
]  # fmt: skip

from dataclasses import asdict, dataclass
from typing import Any, Literal

MemberState = Literal["here", "asleep", "gone", "awaited"]
LinkState = Literal["up", "down", "pulled"]
Heard = Literal["played", "late", "lost"]
ROUTER_ENDED = "its router has ended"  # a fault; the page knows it, and says why links are down


@dataclass(frozen=True)
class MemberView:
    """A pier, where it lies on the map, and what is wrong with its router, in words."""

    pier: str
    x: float  # to the right
    y: float  # downwards; any unit, since the map is stretched to the screen
    state: MemberState
    faults: tuple[str, ...] = ()


@dataclass(frozen=True)
class LinkView:
    """A link. Pairs hold what goes from the first end to the second, then the way back."""

    number: int
    ends: tuple[str, str]
    state: LinkState
    bits_per_s: tuple[float, float] = (0.0, 0.0)
    lost_share: tuple[float, float] = (0.0, 0.0)  # from 0 to 1


@dataclass(frozen=True)
class StreamView:
    """A stream of packets from one pier to another, and how it comes out there."""

    source: str
    destination: str
    path: tuple[str, ...]  # of piers, both ends with it; empty while nobody knows
    sent: int
    received: int
    late: int
    lost: int
    strip: tuple[Heard, ...]  # the last 150 packets, the newest last
    quiet_s: float | None  # how long no packet has come, and still none comes
    back_after_s: float | None  # how long none had come when they flowed again


@dataclass(frozen=True)
class StoryStep:
    """What one router said about the packet that is followed, and the octets as they left it.

    lives: the time to live as the packet came, and as it left: None if it did not. No lives, and no
    octets, stand for a router that says nothing.
    """

    pier: str
    verdict: str
    octets_hex: str = ""
    lives: tuple[int, int | None] | None = None


@dataclass(frozen=True)
class StoryView:
    """The life of one packet, as far as it is known. number: of the story, no two are the same."""

    number: int
    packet: str
    steps: tuple[StoryStep, ...]


@dataclass(frozen=True)
class RoomView:
    """All that the screen shows, at one moment: `at_s` since the room was opened (again)."""

    room: str
    code_hint: str
    at_s: float
    members: tuple[MemberView, ...]
    links: tuple[LinkView, ...]
    stream: StreamView | None = None
    story: StoryView | None = None

    def to_plain(self) -> dict[str, Any]:
        """Return the same as dictionaries, tuples, texts and numbers, fit for JSON."""
        return asdict(self)
