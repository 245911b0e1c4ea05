"""What a room tells its members, and they the room. Plain values; `READER` makes octets of them.

A member says `Join` first, and is answered `Placed` or `Refused`. Then it opens a UDP socket for
each line, says at which `Ports`, and gets `Lines` whenever something about its neighbours changes.
Once a second it says `Report`, and what is new in its `Progress` if its student shares that. A
stream and a packet that is followed are asked for by the screen.

Addresses inside are texts ("10.100.1.2"), as are blocks. Times are seconds; those of two machines
are never compared.
"""

__all__ = [
    "DELIVERED", "DISCARDED", "FORWARDED", "HELD", "READER", "TO_MEMBER", "TO_ROOM", "Arrived",
    "AwaitStream", "EndStream", "Ended", "EntryTold", "FollowPackets", "InterfaceTold", "Join",
    "Leave", "LineReport", "LineTold", "Lines", "Passed", "Placed", "PlacedLine", "Ports",
    "Progress", "Refused", "Report", "RouteTold", "SendEchoes", "SendStream", "TakenOver",
]  # fmt: skip

from dataclasses import dataclass

from course_lib.joining.plain_messages import Reader

Address = tuple[str, int]  # an IP address and a UDP port


@dataclass(frozen=True)
class InterfaceTold:
    """An interface inside: its name, addresses, block and MTU (octets)."""

    name: str
    hardware_address: str  # 12 digits of base 16
    address: str
    prefix: str
    mtu: int


# --- from the room


@dataclass(frozen=True)
class LineTold:
    """A line as it is now.

    addresses: where the other machine is; none if nobody is there now. None: the room does not know
    (yet, or since it was started again), and what was told before still holds.
    """

    number: int
    addresses: tuple[Address, ...] | None
    is_pulled: bool


@dataclass(frozen=True)
class PlacedLine:
    """A line of the plan: which end is ours, our interface, and who is at the other end."""

    number: int
    end: int
    interface: InterfaceTold
    neighbour: str
    neighbour_address: str


@dataclass(frozen=True)
class Placed:
    """Which pier is ours, for how long, and all that is fixed about it.

    way: how routers find their routes, one of `course_lib.live.speaking_routers`' ways.
    """

    pier: str
    way: str
    ends_in_s: float
    rate_bits_per_s: float
    router: InterfaceTold  # the one to its host
    host: InterfaceTold
    lines: tuple[PlacedLine, ...]


@dataclass(frozen=True)
class Lines:
    """How lines of ours are now; those that are not named are as before."""

    lines: tuple[LineTold, ...]


@dataclass(frozen=True)
class Refused:
    """Nobody can join so; `why` is for the person."""

    why: str


@dataclass(frozen=True)
class TakenOver:
    """The same student has joined from elsewhere, and has the pier now."""

    why: str


@dataclass(frozen=True)
class Ended:
    """The room is over."""

    why: str


@dataclass(frozen=True)
class SendStream:
    """Send a stream to an address inside: so many datagrams, one each `interval_s`."""

    stream: int
    destination: str
    count: int
    interval_s: float


@dataclass(frozen=True)
class AwaitStream:
    """Tell what arrives of a stream, several times a second."""

    stream: int
    count: int
    interval_s: float


@dataclass(frozen=True)
class EndStream:
    """The stream is not wanted any more."""

    stream: int


@dataclass(frozen=True)
class FollowPackets:
    """Say of packets between these addresses inside what becomes of each, for some seconds."""

    story: int
    source: str
    destination: str


@dataclass(frozen=True)
class SendEchoes:
    """Send some echo requests to an address inside: the packets to follow."""

    story: int
    destination: str


# --- from a member


@dataclass(frozen=True)
class Join:
    """Who wants to join: a number drawn by lot. where: "live" or "simulated"."""

    student: str
    where: str


@dataclass(frozen=True)
class Ports:
    """At which UDP port each of our lines is, as pairs of line and port."""

    ports: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class LineReport:
    """A line, as counted since it was made."""

    number: int
    is_up: bool
    frames_out: int
    octets_out: int
    frames_in: int
    octets_in: int
    lost: int  # numbers of the other end that never came


@dataclass(frozen=True)
class RouteTold:
    """A route of the router. next_hop: None for a block of its own."""

    prefix: str
    next_hop: str | None
    interface: str


@dataclass(frozen=True)
class Report:
    """What a member's router does, once a second.

    forwarded: packets of others. astray: those of them that left by another line than its own table
    says.
    """

    is_alive: bool
    forwarded: int
    astray: int
    lines: tuple[LineReport, ...]
    routes: tuple[RouteTold, ...]
    complaints: tuple[str, ...]


@dataclass(frozen=True)
class Arrived:
    """Datagrams of a stream that have come: number and time on the way (by two clocks).

    quiet_s: for how long none has come.
    """

    stream: int
    datagrams: tuple[tuple[int, float], ...]
    quiet_s: float


@dataclass(frozen=True)
class Passed:
    """What our router did with a packet that is followed.

    packet: which of the echo requests it is. outcome: forwarded, delivered, held, or discarded.
    towards: the neighbour that it was forwarded to, "" if none, or our host. why: more in words, if
    there is more to say. The time to live is told as the packet came, and as it left: None if it
    did not. octets: as it left, or else as it came, in digits of base 16.
    """

    story: int
    packet: int
    outcome: str
    towards: str
    why: str
    came_with: int
    left_with: int | None
    octets: str


FORWARDED, DELIVERED, HELD, DISCARDED = "forwarded", "delivered", "held", "discarded"


@dataclass(frozen=True)
class EntryTold:
    """How far somebody is with an exercise; see `course_lib.exercises.progress.Entry`."""

    exercise: str
    best: float
    outcome: str
    attempts: int
    belief: str
    minutes: float


@dataclass(frozen=True)
class Progress:
    """How far the student is, for the board of the room; only of those who want that."""

    entries: tuple[EntryTold, ...]


@dataclass(frozen=True)
class Leave:
    """We go; somebody else may have the pier."""


TO_MEMBER = (Placed, Lines, Refused, TakenOver, Ended, SendStream, AwaitStream, EndStream,
             FollowPackets, SendEchoes)  # fmt: skip
TO_ROOM = (Join, Ports, Report, Arrived, Passed, Progress, Leave)
READER = Reader((*TO_MEMBER, *TO_ROOM))
