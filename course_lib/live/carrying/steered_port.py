"""What somebody outside may see of a port, and change: the face that `course_lib.steering` knows.

Settings are those of the line behind the router. Taking a link down takes both directions down.
"""

__all__ = ["SteeredPort", "kernel_counters"]

from collections.abc import Iterable

from course_lib.live.carrying.ports import Port
from course_lib.steering.changes import SetLine
from course_lib.steering.lines import LineBooks


class SteeredPort:
    """A port as a `SteeredLine`."""

    def __init__(self, port: Port) -> None:
        self._port = port

    @property
    def is_up(self) -> bool:
        """Whether the line is whole, and if it is a link to another machine, that one is heard."""
        return self._port.is_up

    @property
    def rate_bits_per_s(self) -> float | None:
        """How fast the line sends, None for as fast as it can be."""
        return self._port.line_out.settings.rate_bits_per_s

    @property
    def delay_s(self) -> float:
        """How long a frame travels."""
        return self._port.line_out.settings.delay_s

    @property
    def queue_packets(self) -> int | None:
        """How many packets there is room for, None for as many as want to wait."""
        return self._port.line_out.settings.queue_packets

    @property
    def loss_period(self) -> int | None:
        """After how many frames one gets lost, None for never."""
        return self._port.line_out.settings.loss_period

    def books(self) -> LineBooks:
        """Return what has come and gone at the interface, and on its lines."""
        port, out, into = self._port, self._port.line_out, self._port.line_in
        return LineBooks(
            received_frames=port.received_frames,
            received_octets=port.received_octets,
            sent_frames=port.sent_frames,
            sent_octets=port.sent_octets,
            dropped_packets=out.dropped + into.dropped,
            lost_packets=out.lost + into.lost,
            waiting_packets=out.waiting,
        )

    def set_link(self, *, is_up: bool) -> None:
        """Cut the line, in both directions, or mend it."""
        self._port.set_up(is_up=is_up)

    def set_line(self, change: SetLine) -> None:
        """Set the line behind the router; the rules of its queue stay."""
        line = self._port.line_out
        line.settings = line.settings._replace(
            rate_bits_per_s=change.rate_bits_per_s,
            delay_s=change.delay_s,
            queue_packets=change.queue_packets,
            loss_period=change.loss_period,
        )


def kernel_counters(ports: Iterable[Port]) -> dict[str, int]:
    """Return what the kernel did not do for the router, each under a name in words.

    If the first is not 0 the machine was too busy: what was measured meanwhile says nothing about
    the router. At a link to another machine it may also be strangers whom the kernel turned away.
    """
    counted = {"frames dropped by the kernel": 0, "frames too long for the interface": 0}
    for port in ports:
        counted["frames dropped by the kernel"] += port.ring.dropped()
        counted["frames too long for the interface"] += port.ring.too_long
        for why, number in port.sender.refused.items():
            name = f"frames refused by the kernel: {why}"
            counted[name] = counted.get(name, 0) + number
    return counted
