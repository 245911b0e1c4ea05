"""Misconceptions about a stage that loses segments: exercise 11.1."""

__all__ = ["NEW_LOSS"]

from collections.abc import Callable
from typing import Any, ClassVar

from instructor.units.unit_11.misconceptions.right_loss import RightLoss


class LossOfOneCount(RightLoss):
    """Believe that one count for all flows hits all of them alike."""

    def flow(self, packet: bytes) -> Any:
        return "all"


class LossByHosts(RightLoss):
    """Believe that a flow is what goes from one host to another."""

    def flow(self, packet: bytes) -> Any:
        return self.hosts(packet)


class LossByConnection(RightLoss):
    """Believe that both ways of a connection are one flow."""

    def flow(self, packet: bytes) -> Any:
        return frozenset(zip(self.hosts(packet), self.ports(packet), strict=True))


class LossBySource(RightLoss):
    """Believe that a flow is what one sender sends from one port."""

    def flow(self, packet: bytes) -> Any:
        return self.hosts(packet)[0], self.ports(packet)[0]


class LossByDestination(RightLoss):
    """Believe that a flow is what goes to one port of one host."""

    def flow(self, packet: bytes) -> Any:
        return self.hosts(packet)[1], self.ports(packet)[1]


class LossByPorts(RightLoss):
    """Believe that the ports alone tell flows apart."""

    def flow(self, packet: bytes) -> Any:
        return self.ports(packet)


class LossOnce(RightLoss):
    """Believe that a flow loses one segment, and no more after that."""

    def drops(self, count: int) -> bool:
        return count == self.every


class LossOfTheFirst(RightLoss):
    """Believe that the first segment of every group is dropped."""

    def drops(self, count: int) -> bool:
        return (count - 1) % self.every == 0


class LossBehindTheNth(RightLoss):
    """Believe that so many segments pass between two that are dropped."""

    def drops(self, count: int) -> bool:
        return count % (self.every + 1) == 0


class LossOfNewSegments(RightLoss):
    """Believe that a segment which is sent again is not counted."""

    def __init__(self, every: int) -> None:
        super().__init__(every)
        self.seen: set[Any] = set()

    def is_counted(self, packet: bytes) -> bool:
        start = self.start(packet)
        what = self.flow(packet), packet[start + 4 : start + 8]
        is_new = what not in self.seen
        self.seen.add(what)
        return is_new and super().is_counted(packet)


class LossForAll(RightLoss):
    """Believe that all stages count together."""

    shared: ClassVar[dict[Any, int]] = {}

    def __init__(self, every: int) -> None:
        super().__init__(every)
        self.counts = self.shared
        self.counts.clear()


class LossOfAcknowledgements(RightLoss):
    """Believe that an acknowledgement is a segment like any other."""

    def data(self, packet: bytes) -> int:
        return 1


class LossThatCountsAcknowledgements(RightLoss):
    """Believe that acknowledgements are counted, and only spared when their turn comes."""

    def passes(self, packet: bytes) -> bool:
        if not (self.is_tcp(packet) and self.is_whole(packet)):
            return True
        flow = self.flow(packet)
        self.counts[flow] = self.counts.get(flow, 0) + 1
        return not self.drops(self.counts[flow]) or self.data(packet) <= 0


class LossWithShortTcpHeaders(RightLoss):
    """Believe that a TCP header has 20 octets."""

    def tcp_header(self, packet: bytes) -> int:
        return 20


class LossWithPadding(RightLoss):
    """Believe that a packet ends where its octets end."""

    def end(self, packet: bytes) -> int:
        return len(packet)


class LossWithShortHeaders(RightLoss):
    """Believe that an IPv4 header has 20 octets."""

    def start(self, packet: bytes) -> int:
        return 20


class LossWithoutTheBit(RightLoss):
    """Believe that whatever acknowledges is no data."""

    def data(self, packet: bytes) -> int:
        is_acknowledging = packet[self.start(packet) + 13] & 0x10
        return 0 if is_acknowledging else super().data(packet)


class LossOfHandshakes(RightLoss):
    """Believe that a segment which opens or closes a connection counts as data."""

    def data(self, packet: bytes) -> int:
        return super().data(packet) + (packet[self.start(packet) + 13] & 0x03)


class LossOfAnyProtocol(RightLoss):
    """Believe that whatever comes is TCP."""

    def is_tcp(self, packet: bytes) -> bool:
        return True


class LossOfLaterFragments(RightLoss):
    """Believe that every fragment begins with a TCP header."""

    def is_whole(self, packet: bytes) -> bool:
        return True


class LossWithoutFlags(RightLoss):
    """Believe that the field of the fragment offset holds nothing else."""

    def is_whole(self, packet: bytes) -> bool:
        return packet[6:8] == bytes(2)


class LossOfWholePacketsOnly(RightLoss):
    """Believe that no fragment has ports, not even the first one."""

    def is_whole(self, packet: bytes) -> bool:
        return int.from_bytes(packet[6:8], "big") & 0x3FFF == 0


class LossOfAllElse(RightLoss):
    """Believe that what is not TCP has no business here."""

    def uncounted(self, packet: bytes) -> bool:
        return self.is_tcp(packet)


NEW_LOSS: dict[str, Callable[..., Any]] = {
    "one-count-for-all-flows": LossOfOneCount,
    "flow-is-two-hosts": LossByHosts,
    "flow-is-the-connection": LossByConnection,
    "flow-is-the-source": LossBySource,
    "flow-is-the-destination": LossByDestination,
    "flow-is-the-ports": LossByPorts,
    "drops-once": LossOnce,
    "first-is-dropped": LossOfTheFirst,
    "n-pass-then-one-is-dropped": LossBehindTheNth,
    "sent-again-is-not-counted": LossOfNewSegments,
    "stages-count-together": LossForAll,
    "acknowledgements-are-dropped": LossOfAcknowledgements,
    "acknowledgements-are-counted": LossThatCountsAcknowledgements,
    "tcp-header-is-20": LossWithShortTcpHeaders,
    "padding-is-data": LossWithPadding,
    "header-is-20": LossWithShortHeaders,
    "acknowledging-means-no-data": LossWithoutTheBit,
    "opening-is-data": LossOfHandshakes,
    "any-protocol-counts": LossOfAnyProtocol,
    "later-fragments-count": LossOfLaterFragments,
    "flags-are-offset": LossWithoutFlags,
    "first-fragment-is-no-segment": LossOfWholePacketsOnly,
    "all-else-is-dropped": LossOfAllElse,
}
