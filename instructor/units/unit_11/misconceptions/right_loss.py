"""A stage without any fault, of which the misconceptions of exercise 11.1 get one part wrong."""

__all__ = ["RightLoss"]

from typing import Any


class RightLoss:
    """The stage in small parts, of which others get one wrong."""

    def __init__(self, every: int) -> None:
        self.every = every
        self.counts: dict[Any, int] = {}

    def passes(self, packet: bytes) -> bool:
        """Tell whether a packet goes on."""
        if not self.is_counted(packet):
            return self.uncounted(packet)
        flow = self.flow(packet)
        self.counts[flow] = self.counts.get(flow, 0) + 1
        return not self.drops(self.counts[flow])

    def uncounted(self, packet: bytes) -> bool:
        """Tell whether a packet that is not counted goes on."""
        return True

    def drops(self, count: int) -> bool:
        """Tell whether the segment with this count is dropped."""
        return count % self.every == 0

    def is_counted(self, packet: bytes) -> bool:
        """Tell whether this is a segment with data."""
        return self.is_tcp(packet) and self.is_whole(packet) and self.data(packet) > 0

    def is_tcp(self, packet: bytes) -> bool:
        """Look at the protocol."""
        return packet[9] == 6

    def is_whole(self, packet: bytes) -> bool:
        """Look at the fragment offset."""
        return int.from_bytes(packet[6:8], "big") & 0x1FFF == 0

    def data(self, packet: bytes) -> int:
        """Return how many octets of data there are."""
        return self.end(packet) - self.start(packet) - self.tcp_header(packet)

    def end(self, packet: bytes) -> int:
        """Return where the packet ends."""
        return int.from_bytes(packet[2:4], "big")

    def start(self, packet: bytes) -> int:
        """Return where the segment begins."""
        return 4 * (packet[0] & 0x0F)

    def tcp_header(self, packet: bytes) -> int:
        """Return how long the TCP header is."""
        return 4 * (packet[self.start(packet) + 12] >> 4)

    def flow(self, packet: bytes) -> Any:
        """Return what a flow has in common."""
        return self.hosts(packet), self.ports(packet)

    def hosts(self, packet: bytes) -> tuple[bytes, bytes]:
        """Return both addresses."""
        return packet[12:16], packet[16:20]

    def ports(self, packet: bytes) -> tuple[bytes, bytes]:
        """Return both ports."""
        start = self.start(packet)
        return packet[start : start + 2], packet[start + 2 : start + 4]
