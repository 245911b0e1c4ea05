"""One interface of a router between real hosts: the ways in and out, a line on each, and its books.

`line_out` is what stands between the router and the far end. `line_in` stands for the way from a
host, which shapes nothing itself: frames that the kernel has brought go through it first.
"""

__all__ = ["FrameSink", "FrameSource", "Port"]

from collections import Counter
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from course_lib.ip.packets import Interface
from course_lib.live.carrying.line import Line
from course_lib.live.packet_sockets.packet_ring import Burst


class FrameSource(Protocol):
    """The way in, as `PacketRing` is one."""

    too_long: int

    def fileno(self) -> int:
        """Return the descriptor that becomes readable when a frame is there."""

    def burst(self) -> Burst | None:
        """Return the oldest frames, or None."""

    def give_back(self, burst: Burst) -> None:
        """Take note that the burst returned last is done with."""

    def dropped(self) -> int:
        """Return how many frames found no room."""

    def close(self) -> None:
        """Let go of it."""


class FrameSink(Protocol):
    """The way out, as `PacketSender` is one."""

    @property
    def refused(self) -> Counter[str]:
        """What the kernel did not take, and why."""

    def send(self, frame: bytes) -> bool:
        """Send a frame; return whether it was taken."""

    def send_rows(self, rows: NDArray[np.uint8], places: NDArray[np.intp],
                  octets: NDArray[np.int64]) -> int:  # fmt: skip
        """Send the rows at these places; return how many were taken."""

    def close(self) -> None:
        """Let go of it."""


@dataclass
class Port:
    """One interface. Frames count where the router meets them, or where they leave the machine."""

    interface: Interface
    ring: FrameSource
    sender: FrameSink
    line_out: Line = field(default_factory=Line)
    line_in: Line = field(default_factory=Line)
    received_frames: int = 0
    received_octets: int = 0
    sent_frames: int = 0
    sent_octets: int = 0

    @property
    def is_up(self) -> bool:
        """Whether nobody has cut it."""
        return self.line_out.is_up

    def set_up(self, *, is_up: bool) -> None:
        """Cut it, in both directions, or mend it."""
        self.line_out.is_up = self.line_in.is_up = is_up

    def count_in(self, frames: int, octets: int) -> None:
        """Enter frames that the router gets."""
        self.received_frames += frames
        self.received_octets += octets

    def hand_out(self, now_s: float, frame: bytes) -> bool:
        """Take a frame of the router's; return True if it is on its way at once."""
        if not self.line_out.is_bare:
            self.line_out.offer(now_s, frame)
            return False
        self.line_out.pass_through(1, len(frame))
        self._send(frame)
        return True

    def hand_out_rows(
        self, times_s: NDArray[np.float64], rows: NDArray[np.uint8],
        places: NDArray[np.intp], octets: NDArray[np.int64],
    ) -> None:  # fmt: skip
        """Take frames that lie in rows, at once or one by one through the line."""
        if self.line_out.is_bare:
            sent_octets = int(octets.sum())
            self.line_out.pass_through(len(places), sent_octets)
            self.sent_frames += self.sender.send_rows(rows, places, octets)
            self.sent_octets += sent_octets
            return
        for place, length in zip(places.tolist(), octets.tolist(), strict=True):
            self.line_out.offer(float(times_s[place]), rows[place, :length].tobytes())

    def let_out(self, now_s: float) -> list[bytes]:
        """Send what has come to the end of the line by now; return it."""
        departures = self.line_out.due(now_s)
        for _, frame in departures:
            self._send(frame)
        return [frame for _, frame in departures]

    def close(self) -> None:
        """Let go of the interface."""
        self.ring.close()
        self.sender.close()

    def _send(self, frame: bytes) -> None:
        if self.sender.send(frame):
            self.sent_frames += 1
            self.sent_octets += len(frame)
