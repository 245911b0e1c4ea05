"""A wire of the simulated network, as somebody who steers a router sees it from one end."""

__all__ = ["NO_LIMIT", "Octets", "SteeredWire"]

import sys
from collections import Counter
from dataclasses import dataclass, field

from course_lib.network.simulation import Network
from course_lib.network.wires import LARGEST_RATE_BITS_PER_S, Direction, End
from course_lib.steering.changes import SetLine
from course_lib.steering.lines import LineBooks

NO_LIMIT = sys.maxsize  # a buffer for as many frames as want to wait


@dataclass
class Octets:
    """How many octets have come in and gone out so far, by interface."""

    received: Counter[str] = field(default_factory=Counter)
    sent: Counter[str] = field(default_factory=Counter)


class SteeredWire:
    """One end of a wire; it is a `SteeredLine`. No rate and no limit are very large numbers."""

    def __init__(self, network: Network, end: End, octets: Octets) -> None:
        out = network.direction(end)
        back = network.direction(out.target) if out is not None else None
        if out is None or back is None:
            raise ValueError(f"there is no wire at {end}")
        self._network, self._interface, self._octets = network, end.interface, octets
        self._out: Direction = out
        self._back: Direction = back

    @property
    def is_up(self) -> bool:
        """Whether the wire is whole."""
        return not self._out.is_cut

    @property
    def rate_bits_per_s(self) -> float | None:
        """How fast frames are sent."""
        rate = self._out.wire.rate_bits_per_s
        return None if rate >= LARGEST_RATE_BITS_PER_S else rate

    @property
    def delay_s(self) -> float:
        """How long a frame travels."""
        return self._out.wire.delay_s

    @property
    def queue_packets(self) -> int | None:
        """How many packets may wait, with the one that is being sent."""
        return None if self._out.wire.buffer_frames == NO_LIMIT else self._out.wire.buffer_frames

    @property
    def loss_period(self) -> int | None:
        """After how many frames one gets lost on purpose."""
        return self._out.wire.loss_period

    def books(self) -> LineBooks:
        """Return what has come and gone. A frame is sent when it has reached the far end."""
        out, name = self._out.traffic(), self._interface
        return LineBooks(
            received_frames=self._back.traffic().delivered,
            received_octets=self._octets.received[name],
            sent_frames=out.delivered,
            sent_octets=self._octets.sent[name],
            dropped_packets=out.dropped,
            lost_packets=out.lost,
            waiting_packets=self._out.waiting(self._network.now_s),
        )

    def set_link(self, *, is_up: bool) -> None:
        """Cut the wire, in both directions, or mend it."""
        if is_up != self.is_up:
            (self._network.mend if is_up else self._network.cut)(self._out.wire.name)

    def set_line(self, change: SetLine) -> None:
        """Set the direction that leaves here; what waits already leaves as it was reckoned."""
        rate, queue = change.rate_bits_per_s, change.queue_packets
        self._out.wire = self._out.wire._replace(
            rate_bits_per_s=LARGEST_RATE_BITS_PER_S if rate is None else rate,
            delay_s=change.delay_s,
            buffer_frames=NO_LIMIT if queue is None else queue,
            loss_period=change.loss_period,
        )
