"""One interface of a router between real hosts: the ways in and out, a line on each, and its books.

`line_out` is what stands between the router and the far end. `line_in` stands for the way from a
host, which shapes nothing itself: frames that the kernel has brought go through it first.
"""

__all__ = ["Port"]

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from course_lib.ip.packets import Interface
from course_lib.live.carrying.line import Line
from course_lib.live.packet_sockets.packet_ring import PacketRing
from course_lib.live.packet_sockets.packet_sender import PacketSender


@dataclass
class Port:
    """One interface. Frames count where the router meets them, or where they leave the machine."""

    interface: Interface
    ring: PacketRing
    sender: PacketSender
    line_out: Line = field(default_factory=Line)
    line_in: Line = field(default_factory=Line)
    received_frames: int = 0
    received_octets: int = 0
    sent_frames: int = 0
    sent_octets: int = 0

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
