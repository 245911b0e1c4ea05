"""Answers that break one clause of the contract of 11.1, and keep all others.

Most would fall in every case. So each breaks its clause for one value of `every` only.
"""

__all__ = [
    "DestinationHostIgnored",
    "DestinationPortIgnored",
    "DropsEchoes",
    "FirstOfFive",
    "NeverEveryOne",
    "NewOfSix",
    "OnceOfTwo",
    "OneOctetIsNothing",
    "OtherWayRound",
    "PassedOfFour",
    "SourceHostIgnored",
    "SourcePortIgnored",
    "TcpHeaderInOctets",
]

from typing import Any

from instructor.units.unit_11.misconceptions.right_loss import RightLoss
from instructor.units.unit_11.misconceptions.stages import LossOfNewSegments


class OtherWayRound(RightLoss):
    """Say True of what is dropped."""

    def passes(self, packet: bytes) -> bool:
        """Tell whether a packet is dropped."""
        return not super().passes(packet)


class SourceHostIgnored(RightLoss):
    """Leave out the source address."""

    def flow(self, packet: bytes) -> Any:
        """Return what a flow has in common."""
        return self.hosts(packet)[1], self.ports(packet)


class DestinationHostIgnored(RightLoss):
    """Leave out the destination address."""

    def flow(self, packet: bytes) -> Any:
        """Return what a flow has in common."""
        return self.hosts(packet)[0], self.ports(packet)


class SourcePortIgnored(RightLoss):
    """Leave out the source port."""

    def flow(self, packet: bytes) -> Any:
        """Return what a flow has in common."""
        return self.hosts(packet), self.ports(packet)[1]


class DestinationPortIgnored(RightLoss):
    """Leave out the destination port."""

    def flow(self, packet: bytes) -> Any:
        """Return what a flow has in common."""
        return self.hosts(packet), self.ports(packet)[0]


class FirstOfFive(RightLoss):
    """Drop the first of each five."""

    def drops(self, count: int) -> bool:
        """Tell whether a segment is dropped."""
        return (count - 1) % 5 == 0 if self.every == 5 else super().drops(count)


class PassedOfFour(RightLoss):
    """Let four pass between two that are dropped."""

    def drops(self, count: int) -> bool:
        """Tell whether a segment is dropped."""
        return count % 5 == 0 if self.every == 4 else super().drops(count)


class NewOfSix(LossOfNewSegments):
    """Leave out what is sent again, for every sixth."""

    def is_counted(self, packet: bytes) -> bool:
        """Tell whether this is a segment with data."""
        counted = super().is_counted(packet)
        return counted if self.every == 6 else RightLoss.is_counted(self, packet)


class OnceOfTwo(RightLoss):
    """Drop the second segment, and no more."""

    def drops(self, count: int) -> bool:
        """Tell whether a segment is dropped."""
        return count == 2 if self.every == 2 else super().drops(count)


class NeverEveryOne(RightLoss):
    """Drop nothing where everything should be."""

    def drops(self, count: int) -> bool:
        """Tell whether a segment is dropped."""
        return self.every > 1 and super().drops(count)


class OneOctetIsNothing(RightLoss):
    """Count segments with two octets or more."""

    def is_counted(self, packet: bytes) -> bool:
        """Tell whether this is a segment with data."""
        return super().is_counted(packet) and self.data(packet) > 1


class DropsEchoes(RightLoss):
    """Drop ICMP."""

    def uncounted(self, packet: bytes) -> bool:
        """Tell whether a packet that is not counted goes on."""
        return packet[9] != 1


class TcpHeaderInOctets(RightLoss):
    """Take the length of the TCP header for octets."""

    def tcp_header(self, packet: bytes) -> int:
        """Return how long the TCP header is."""
        return super().tcp_header(packet) // 4
