"""Wires: what they do to a frame on its way from one interface to another.

A wire has two directions that know nothing of each other. In each of them a frame

    comes -> is there room? -> waits its turn -> is sent, bit by bit -> travels -> arrives

* To send takes (octets on the wire) * 8 / rate. Only then can the next frame begin.
* To travel takes the delay, however fast the wire is. Any number of frames travel at once.
* The other end has a frame when its last bit is there, not before: store and forward.
* `buffer_frames` counts the frames that wait *and* the one that is being sent. If one leaves at
  the very time when another comes, it leaves first, and its room is free (`course_lib.queueing`
  counts in the same way).
* A frame is lost with the chance `loss_rate`, drawn from a generator that this direction has for
  itself: traffic elsewhere changes nothing here. A lost frame takes as much time as any other.
* With a `loss_period` of 100 every hundredth frame that was offered gets lost as well.

Every direction keeps books: sent = delivered + lost + dropped + in flight, at any time.

Real routers: the buffer is theirs, in front of the wire, and how it is kept is a subject of its own
(`course_lib.queueing`). Real wires: bits are damaged, and the receiver discards the frame because
its check sequence is wrong; here such a frame is lost at once.
"""

__all__ = [
    "BARE",
    "ETHERNET",
    "Direction",
    "End",
    "Framing",
    "NetworkError",
    "Passage",
    "Traffic",
    "Wire",
    "check_wire",
]

import math
import random
from collections import deque
from typing import NamedTuple

from course_lib.network.records import What

LARGEST_RATE_BITS_PER_S = 1e13  # beyond it a frame takes less time than the clock can resolve


class NetworkError(ValueError):
    """A network that cannot be built; the message names the place and what to do."""


class Framing(NamedTuple):
    """What a frame takes up on the wire besides its own octets."""

    smallest_octets: int = 0  # a shorter frame is filled up to this length
    extra_octets: int = 0


BARE = Framing()
"""Count the octets of the frame and nothing else: sums that can be done by hand."""
ETHERNET = Framing(smallest_octets=60, extra_octets=24)
"""Fill up to 60 octets and add 24: preamble 8, frame check sequence 4, gap 12 (RFC 2544, B)."""


class End(NamedTuple):
    """Where a wire ends: an interface of a router or a host."""

    place: str
    interface: str

    def __str__(self) -> str:
        return f"{self.place}, interface {self.interface!r}"


class Wire(NamedTuple):
    """A wire between two interfaces, the same in both directions."""

    name: str
    ends: tuple[End, End]
    rate_bits_per_s: float = 100e6
    delay_s: float = 0.0
    loss_rate: float = 0.0
    buffer_frames: int = 100
    framing: Framing = BARE
    loss_period: int | None = None


class Passage(NamedTuple):
    """What becomes of one frame: its fate, and when it begins to be sent, has left, and arrives.

    The fate is known at once: delivered, lost or dropped. Those on the way must not know it.
    """

    number: int  # 1 for the first frame that was ever offered to this direction
    fate: What
    began_s: float
    left_s: float
    arrives_s: float


class Traffic(NamedTuple):
    """The books of one direction; `in_flight` waits, is being sent, or travels."""

    sent: int
    delivered: int
    lost: int
    dropped: int
    in_flight: int


class Direction:
    """One direction of a wire. It tells what will become of a frame; others keep the clock."""

    def __init__(self, wire: Wire, origin: End, target: End, seed: int) -> None:
        self.wire, self.origin, self.target = wire, origin, target
        self.is_cut = False
        self._random = random.Random(f"{seed} {wire.name} {origin.place} {origin.interface}")
        self._free_s = -math.inf
        self._leaving_s: deque[float] = deque()  # of the frames in the buffer
        self._under_way: dict[int, bytes] = {}
        self._sent = self._delivered = self._lost = self._dropped = 0

    def traffic(self) -> Traffic:
        """Return the books as they are now."""
        counts = self._sent, self._delivered, self._lost, self._dropped
        return Traffic(*counts, in_flight=len(self._under_way))

    def time_to_send_s(self, octets: int) -> float:
        """Return how long a frame of so many octets keeps the wire busy."""
        smallest, extra = self.wire.framing
        return (max(octets, smallest) + extra) * 8 / self.wire.rate_bits_per_s

    def waiting(self, now_s: float) -> int:
        """Return how many frames are in the buffer, the one that is being sent included."""
        while self._leaving_s and self._leaving_s[0] <= now_s:
            self._leaving_s.popleft()
        return len(self._leaving_s)

    def offer(self, now_s: float, frame: bytes) -> Passage:
        """Take a frame and tell its way. One that is dropped, or meets a cut wire, goes nowhere."""
        self._sent += 1
        if self.is_cut:
            self._lost += 1
            return Passage(self._sent, What.LOST, now_s, now_s, now_s)
        if self.waiting(now_s) >= self.wire.buffer_frames:
            self._dropped += 1
            return Passage(self._sent, What.DROPPED, now_s, now_s, now_s)
        # All is reckoned now: who comes later waits behind it, so only a cut can change it.
        began_s = max(now_s, self._free_s)
        self._free_s = began_s + self.time_to_send_s(len(frame))
        self._leaving_s.append(self._free_s)
        self._under_way[self._sent] = frame
        period = self.wire.loss_period
        is_lost = self._random.random() < self.wire.loss_rate
        is_lost |= period is not None and self._sent % period == 0
        fate = What.LOST if is_lost else What.DELIVERED
        return Passage(self._sent, fate, began_s, self._free_s, self._free_s + self.wire.delay_s)

    def take_off(self, passage: Passage) -> bytes | None:
        """Take a frame off the wire when it is due; None if it went with a cut before that."""
        frame = self._under_way.pop(passage.number, None)
        if frame is not None:
            self._delivered += passage.fate is What.DELIVERED
            self._lost += passage.fate is What.LOST
        return frame

    def cut(self) -> dict[int, bytes]:
        """Stop carrying anything; return the frames, by number, that are lost with it."""
        gone, self._under_way = self._under_way, {}
        self._lost += len(gone)
        self._leaving_s.clear()  # what waited is gone too, so a mended wire begins empty
        self._free_s = -math.inf
        self.is_cut = True
        return gone

    def mend(self) -> None:
        """Carry frames again."""
        self.is_cut = False


def check_wire(wire: Wire) -> None:
    """Raise `NetworkError` for a wire that cannot be."""
    one, other = wire.ends
    if one.place == other.place:
        raise NetworkError(
            f"wire {wire.name!r} joins {one.place!r} to itself; lead its other end elsewhere"
        )
    rate, highest = wire.rate_bits_per_s, LARGEST_RATE_BITS_PER_S
    full = "1 or more, as the frame that is being sent counts"
    limits = (
        ("rate_bits_per_s", 0 < rate <= highest, f"more than 0, at most {highest:g}"),
        ("delay_s", 0 <= wire.delay_s < math.inf, "0 or more, and finite"),
        ("loss_rate", 0 <= wire.loss_rate <= 1, "0 to 1"),
        ("buffer_frames", wire.buffer_frames >= 1, full),
        ("framing", min(wire.framing) >= 0, "0 or more octets each"),
        ("loss_period", wire.loss_period is None or wire.loss_period >= 1, "None, or 1 or more"),
    )
    for field, is_allowed, allowed in limits:
        if not is_allowed:
            raise NetworkError(
                f"wire {wire.name!r} from {one.place!r} to {other.place!r}: "
                f"{field} must be {allowed}, not {getattr(wire, field)!r}"
            )
