"""Answers that break one clause of 12.4 about errors, and keep all others.

Ports far away tell the aspects apart (`questions.PORTS_FAR`), and so do times, and codes of errors.
"""

__all__ = [
    "CodeForgotten",
    "ErrorSumLeft",
    "LongQuotesCut",
    "NewestIsMeant",
    "OnlyUnreachable",
    "OuterLeft",
    "QuoteLeft",
    "QuotedHeaderSumLeft",
    "QuotedUdpSumLeft",
    "UnknownQuotePasses",
]

from typing import Any

from instructor.units.unit_12.misconceptions.right_translator import RightTranslator


class OnlyUnreachable(RightTranslator):
    """Know no parameter problem."""

    kinds = 3, 11

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        return super().error(now_s, packet) if packet[20] in self.kinds else "no mapping"


class CodeForgotten(RightTranslator):
    """Forget the MTU that an error tells."""

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        right = super().error(now_s, packet)
        return right if isinstance(right, str) else right[:24] + bytes(4) + right[28:]


class NewestIsMeant(RightTranslator):
    """Send an error to whoever got the newest mapping, where there are two."""

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        if len(self.ways) == 2:
            newest = self.ways[-1].outside.to_bytes(2, "big")
            packet = packet[:48] + newest + packet[50:]
        return super().error(now_s, packet)


class UnknownQuotePasses(RightTranslator):
    """Let an error pass that quotes a port of nobody."""

    def nobody(self, now_s: float, packet: bytes) -> Any:
        """Say that there is no mapping."""
        return packet if packet[9] == 1 else "no mapping"


class OfOneCode(RightTranslator):
    """Break something where an error has the type 3 and one code."""

    code = 0

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        return right

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        right = super().error(now_s, packet)
        is_it = packet[20:22] == bytes([3, self.code]) and not isinstance(right, str)
        return self.breaks(packet, right) if is_it else right


class OuterLeft(OfOneCode):
    """Leave the destination as it was."""

    code = 1

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        return right[:10] + packet[10:12] + right[12:16] + packet[16:20] + right[20:]


class QuoteLeft(OfOneCode):
    """Leave the quote as it was."""

    code = 0

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        return right[:22] + packet[22:24] + right[24:28] + packet[28:]


class ErrorSumLeft(OfOneCode):
    """Leave the checksum of ICMP as it was."""

    code = 10

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        return right[:22] + packet[22:24] + right[24:]


class QuotedHeaderSumLeft(OfOneCode):
    """Leave the checksum of the quoted header as it was."""

    code = 10

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        wrong = right[:38] + packet[38:40] + right[40:]
        return wrong[:22] + self.follow(right[22:24], right[38:40], packet[38:40]) + wrong[24:]


class QuotedUdpSumLeft(OfOneCode):
    """Leave the checksum of quoted UDP as it was."""

    code = 9

    def breaks(self, packet: bytes, right: bytes) -> bytes:
        """Return what is wrong."""
        wrong = right[:54] + packet[54:56] + right[56:]
        return wrong[:22] + self.follow(right[22:24], right[54:56], packet[54:56]) + wrong[24:]


class LongQuotesCut(RightTranslator):
    """Cut a quote behind 28 octets."""

    def error(self, now_s: float, packet: bytes) -> Any:
        """Translate an ICMP error."""
        right = super().error(now_s, packet)
        return right[:56] if isinstance(right, bytes) else right
