"""Misconceptions about when a sender may be told: exercise 5.6."""

__all__ = ["NEW_REPORTER"]

from collections.abc import Callable
from typing import Any

ERRORS = (3, 4, 5, 11, 12)


def text(octets: bytes) -> str:
    """Write an address."""
    return ".".join(map(str, octets))


class RightReporter:
    """Right in all that the others get wrong."""

    errors: tuple[int, ...] = ERRORS

    def __init__(self, broadcasts: list[str], most: int) -> None:
        self.broadcasts = list(broadcasts)
        self.most = most
        self.told_s: list[float] = []

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> Any:
        """Ask the packet first, and the clock afterwards."""
        if self.is_silent(packet, to_all) or not self.has_room(now_s):
            return False
        self.count(now_s)
        return True

    def is_silent(self, packet: bytes, to_all: bool) -> bool:
        """Tell whether nobody may be told."""
        return (
            self.is_error(packet)
            or self.is_later_fragment(packet)
            or self.is_for_all(to_all)
            or self.is_bad_destination(packet[16:20])
            or self.is_bad_source(packet[12:16])
        )

    def is_error(self, packet: bytes) -> bool:
        """Tell whether this is an ICMP error."""
        return packet[9] == 1 and packet[self.start(packet)] in self.errors

    def start(self, packet: bytes) -> int:
        """Return where the header ends."""
        return 4 * (packet[0] & 15)

    def is_later_fragment(self, packet: bytes) -> bool:
        """Tell whether the beginning is missing."""
        return packet[6] % 32 > 0 or packet[7] > 0

    def is_for_all(self, to_all: bool) -> bool:
        """Tell whether the frame was for many."""
        return to_all

    def is_bad_destination(self, address: bytes) -> bool:
        """Tell whether a packet was for many."""
        is_group = 224 <= address[0] <= 239 or text(address) == "255.255.255.255"
        return is_group or self.is_broadcast(address)

    def is_broadcast(self, address: bytes) -> bool:
        """Tell whether an address is a broadcast of our links."""
        return text(address) in self.broadcasts

    def is_bad_source(self, address: bytes) -> bool:
        """Tell whether a packet came from no single host."""
        return address[0] in (0, 127) or address[0] >= 224 or self.is_broadcast(address)

    def has_room(self, now_s: float) -> bool:
        """Tell whether one more report is allowed now."""
        return sum(now_s - then_s < 1 for then_s in self.told_s) < self.most

    def count(self, now_s: float) -> None:
        """Remember a report."""
        self.told_s.append(now_s)


class ErrorsToo(RightReporter):
    """Believe that errors are reported like anything else."""

    errors = ()


class AllMessages(RightReporter):
    """Believe that every ICMP message is an error."""

    errors = tuple(range(256))


class UnreachableAlone(RightReporter):
    """Believe that unreachable is the only error."""

    errors = (3,)


class OnesOwnAlone(RightReporter):
    """Believe that the errors which the router sends itself are all there are."""

    errors = (3, 11)


class AnyProtocol(RightReporter):
    """Believe that what is carried is always ICMP."""

    def is_error(self, packet: bytes) -> bool:
        return packet[self.start(packet)] in self.errors


class Behind20(RightReporter):
    """Believe that a header has 20 octets."""

    def start(self, packet: bytes) -> int:
        return 20


class FragmentsToo(RightReporter):
    """Believe that every fragment is reported."""

    def is_later_fragment(self, packet: bytes) -> bool:
        return False


class NoFragments(RightReporter):
    """Believe that no fragment is reported, not even the first one."""

    def is_later_fragment(self, packet: bytes) -> bool:
        return super().is_later_fragment(packet) or packet[6] & 0x20 > 0


class AnyFlag(RightReporter):
    """Believe that flags and offset are one number."""

    def is_later_fragment(self, packet: bytes) -> bool:
        return packet[6:8] != b"\0\0"


class LowOffset(RightReporter):
    """Believe that the offset is one octet."""

    def is_later_fragment(self, packet: bytes) -> bool:
        return packet[7] > 0


class LastFragments(RightReporter):
    """Believe that the last fragment is the one that is reported."""

    def is_later_fragment(self, packet: bytes) -> bool:
        return packet[6] & 0x20 > 0


class LinkNotSeen(RightReporter):
    """Believe that the packet tells all."""

    def is_for_all(self, to_all: bool) -> bool:
        return False


class SingleNotSeen(RightReporter):
    """Believe that a packet for one station is not reported either."""

    def is_for_all(self, to_all: bool) -> bool:
        return not to_all


class MulticastToo(RightReporter):
    """Believe that only broadcasts are for many."""

    def is_bad_destination(self, address: bytes) -> bool:
        return text(address) == "255.255.255.255" or self.is_broadcast(address)


class OneMulticastBlock(RightReporter):
    """Believe that multicast is 224 in the first octet."""

    def is_bad_destination(self, address: bytes) -> bool:
        is_group = address[0] == 224 or text(address) == "255.255.255.255"
        return is_group or self.is_broadcast(address)


class OwnLinksNotSeen(RightReporter):
    """Believe that 255.255.255.255 is the only broadcast."""

    def is_broadcast(self, address: bytes) -> bool:
        return False


class LimitedNotSeen(RightReporter):
    """Believe that the list has all broadcasts in it."""

    def is_bad_destination(self, address: bytes) -> bool:
        return 224 <= address[0] <= 239 or self.is_broadcast(address)


class Ends255(RightReporter):
    """Believe that an address that ends in 255 is a broadcast."""

    def is_broadcast(self, address: bytes) -> bool:
        return address[3] == 255 or super().is_broadcast(address)


class SourceNotSeen(RightReporter):
    """Believe that any source can be told."""

    def is_bad_source(self, address: bytes) -> bool:
        return False


class AllZerosAlone(RightReporter):
    """Believe that 0.0.0.0 is the only address of net 0."""

    def is_bad_source(self, address: bytes) -> bool:
        is_other = address[0] == 0 and address != bytes(4)
        return not is_other and super().is_bad_source(address)


class OneLoopback(RightReporter):
    """Believe that 127.0.0.1 is the only address of the loopback net."""

    def is_bad_source(self, address: bytes) -> bool:
        is_other = address[0] == 127 and text(address) != "127.0.0.1"
        return not is_other and super().is_bad_source(address)


class ClassEToo(RightReporter):
    """Believe that what lies above multicast is a host like any other."""

    def is_bad_source(self, address: bytes) -> bool:
        return address[0] < 240 and super().is_bad_source(address)


class GroupsAsSource(RightReporter):
    """Believe that nobody sends from a group."""

    def is_bad_source(self, address: bytes) -> bool:
        return not 224 <= address[0] < 240 and super().is_bad_source(address)


class PrivateNot(RightReporter):
    """Believe that private sources cannot be told."""

    def is_bad_source(self, address: bytes) -> bool:
        is_private = address[0] == 10 or address[:2] == b"\xc0\xa8"
        return is_private or super().is_bad_source(address)


class SourceForDestination(RightReporter):
    """Believe that the destination stands in front of the source."""

    def is_silent(self, packet: bytes, to_all: bool) -> bool:
        turned = packet[:12] + packet[16:20] + packet[12:16] + packet[20:]
        return super().is_silent(turned, to_all)


class NoLimit(RightReporter):
    """Believe that the kind of packet decides alone."""

    def has_room(self, now_s: float) -> bool:
        return True


class OneMore(RightReporter):
    """Believe that with so many reports one more is allowed."""

    def has_room(self, now_s: float) -> bool:
        return sum(now_s - then_s < 1 for then_s in self.told_s) <= self.most


class InAll(RightReporter):
    """Believe that so many reports are allowed for ever."""

    def has_room(self, now_s: float) -> bool:
        return len(self.told_s) < self.most


class SecondIncluded(RightReporter):
    """Believe that a report of exactly a second ago still counts."""

    def has_room(self, now_s: float) -> bool:
        return sum(now_s - then_s <= 1 for then_s in self.told_s) < self.most


class WholeSeconds(RightReporter):
    """Believe that each second of the clock begins anew."""

    def has_room(self, now_s: float) -> bool:
        return sum(now_s // 1 == then_s // 1 for then_s in self.told_s) < self.most


class FromTheFirst(RightReporter):
    """Believe that a second begins with its first report, and ends all at once."""

    def has_room(self, now_s: float) -> bool:
        if self.told_s and now_s - self.told_s[0] >= 1:
            self.told_s.clear()
        return len(self.told_s) < self.most


class OneAtATime(RightReporter):
    """Believe that reports come at equal distances."""

    def has_room(self, now_s: float) -> bool:
        return not self.told_s or now_s - self.told_s[-1] >= 1 / self.most


class AskedCounts(RightReporter):
    """Believe that every question counts, whatever its answer."""

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> Any:
        may = self.has_room(now_s) and not self.is_silent(packet, to_all)
        self.count(now_s)
        return may


class SilenceCounts(RightReporter):
    """Believe that a packet which must not be reported uses up a report."""

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> Any:
        if not self.has_room(now_s):
            return False
        self.count(now_s)
        return not self.is_silent(packet, to_all)


class ForEachSource(RightReporter):
    """Believe that each sender has a limit of its own."""

    def __init__(self, broadcasts: list[str], most: int) -> None:
        super().__init__(broadcasts, most)
        self.of: dict[bytes, list[float]] = {}

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> Any:
        self.told_s = self.of.setdefault(packet[12:16], [])
        return super().may_report(now_s, packet, to_all)


NEW_REPORTER: dict[str, Callable[..., Any]] = {
    "errors-about-errors": ErrorsToo,
    "every-message-an-error": AllMessages,
    "unreachable-alone": UnreachableAlone,
    "ones-own-errors-alone": OnesOwnAlone,
    "protocol-not-looked-at": AnyProtocol,
    "header-always-twenty": Behind20,
    "every-fragment-reported": FragmentsToo,
    "no-fragment-reported": NoFragments,
    "flags-in-the-offset": AnyFlag,
    "offset-of-one-octet": LowOffset,
    "last-fragment-reported": LastFragments,
    "link-not-looked-at": LinkNotSeen,
    "only-what-was-for-all": SingleNotSeen,
    "multicast-reported": MulticastToo,
    "multicast-only-224": OneMulticastBlock,
    "own-broadcasts-not-known": OwnLinksNotSeen,
    "limited-broadcast-reported": LimitedNotSeen,
    "ends-in-255": Ends255,
    "source-not-looked-at": SourceNotSeen,
    "net-0-is-one-address": AllZerosAlone,
    "loopback-is-one-address": OneLoopback,
    "class-e-told": ClassEToo,
    "groups-told": GroupsAsSource,
    "private-not-told": PrivateNot,
    "source-for-destination": SourceForDestination,
    "no-limit": NoLimit,
    "one-report-too-many": OneMore,
    "limit-for-ever": InAll,
    "full-second-included": SecondIncluded,
    "seconds-of-the-clock": WholeSeconds,
    "second-from-the-first": FromTheFirst,
    "equal-distances": OneAtATime,
    "every-question-counts": AskedCounts,
    "silence-counts": SilenceCounts,
    "limit-for-each-sender": ForEachSource,
}
