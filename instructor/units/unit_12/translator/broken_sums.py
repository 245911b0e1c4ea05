"""Answers that break one clause of 12.4 about checksums, and keep all others.

Ports far away tell the aspects apart (`questions.PORTS_FAR`), and so do times, and codes of errors.
"""

__all__ = [
    "TcpAddressesNotSummed",
    "TcpAnew",
    "TcpPortsNotSummed",
    "TcpZeroIsNotWritten",
    "UdpAddressesNotSummed",
    "UdpAnew",
    "UdpPortsNotSummed",
    "ZeroIsASum",
    "ZeroIsWritten",
]


from instructor.units.unit_12.misconceptions.right_translator import RightTranslator
from instructor.units.unit_12.misconceptions.translator import ComputedAnew

Pair = tuple[bytes, bytes]
WEB = 443


def far(packet: bytes) -> bool:
    """Tell whether a packet goes to the port of the aspect "checksums", or comes from it."""
    return WEB in (int.from_bytes(packet[20:22], "big"), int.from_bytes(packet[22:24], "big"))


class UdpAddressesNotSummed(RightTranslator):
    """Leave addresses out of UDP's checksum, where octets are odd in number."""

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of UDP."""
        is_broken = far(packet) and packet[3] % 2 == 1
        return self.follow(before, *((old[1], new[1]) if is_broken else map(b"".join, (old, new))))


class UdpPortsNotSummed(RightTranslator):
    """Leave ports out of UDP's checksum."""

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of UDP."""
        return self.follow(
            before, *((old[0], new[0]) if far(packet) else map(b"".join, (old, new)))
        )


class TcpAddressesNotSummed(RightTranslator):
    """Leave addresses out of TCP's checksum."""

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of TCP."""
        return self.follow(
            before, *((old[1], new[1]) if far(packet) else map(b"".join, (old, new)))
        )


class TcpPortsNotSummed(RightTranslator):
    """Leave ports out of TCP's checksum."""

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of TCP."""
        return self.follow(
            before, *((old[0], new[0]) if far(packet) else map(b"".join, (old, new)))
        )


class UdpAnew(ComputedAnew):
    """Compute a checksum of UDP anew."""

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of TCP."""
        return RightTranslator.tcp_sum(self, packet, before, old, new)

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of UDP, which is whole unless it is quoted."""
        if far(packet):
            return super().udp_sum(packet, before, old, new)
        return RightTranslator.udp_sum(self, packet, before, old, new)


class TcpAnew(ComputedAnew):
    """Compute a checksum of TCP anew."""

    def udp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of UDP."""
        return RightTranslator.udp_sum(self, packet, before, old, new)


class ZeroIsASum(RightTranslator):
    """Update a checksum of UDP that is none."""

    def no_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return what stands for no checksum."""
        return self.udp_sum(packet, before, old, new) if far(packet) else before


class ZeroIsWritten(RightTranslator):
    """Write a checksum of UDP that comes out as 0."""

    def zero(self, packet: bytes) -> bytes:
        """Return what is written."""
        return bytes(2)


class TcpZeroIsNotWritten(RightTranslator):
    """Write a checksum of TCP that comes out as 0 as UDP would."""

    def tcp_sum(self, packet: bytes, before: bytes, old: Pair, new: Pair) -> bytes:
        """Return a checksum of TCP."""
        found = super().tcp_sum(packet, before, old, new)
        return b"\xff\xff" if found == bytes(2) and far(packet) else found
