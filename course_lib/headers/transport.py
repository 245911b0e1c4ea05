"""The headers that follow an IPv4 header: ICMP, UDP and TCP.

They work as `course_lib.headers` says, which is also the place to import them from. Hand `parse`
and `payload` exactly what the IPv4 header carries: ICMP and TCP have no length of their own and
end where the datagram ends.

The checksums of UDP and TCP also cover the addresses of the IPv4 header. A header alone cannot
verify them, so here they are carried and not looked at.
"""

__all__ = ["ICMPHeader", "TCPHeader", "UDPHeader"]

import struct
from typing import NamedTuple, Self

from course_lib.checksum import checksum, is_intact
from course_lib.headers.errors import Reason, between, cut_short, refusal, unbuildable
from course_lib.headers.layouts import ICMP, TCP, UDP, laid_out_as

_ICMP = struct.Struct("!BBHI")
_UDP = struct.Struct("!HHHH")
_TCP = struct.Struct("!HHIIBBHHH")

_new = tuple.__new__  # see `ethernet`


@laid_out_as(ICMP)
class ICMPHeader(NamedTuple):
    """The eight octets with which every ICMP message begins (RFC 792).

    Half of them mean something else in every type: an echo has an identifier and a sequence number
    there, a parameter problem a pointer, a time exceeded nothing. `rest_of_header` is all 32 bits.
    """

    type: int
    code: int
    checksum: int
    rest_of_header: int

    @classmethod
    def parse(cls, data: bytes, *, verify_checksum: bool = False) -> Self:
        """Read the header of a message; the checksum covers all of `data`."""
        try:
            header = _new(cls, _ICMP.unpack_from(data))
        except struct.error:
            raise cut_short(ICMP, len(data)) from None
        if verify_checksum and not is_intact(data):
            right = header.with_checksum(data[8:]).checksum
            allowed = f"{right:#06x} for this message"
            raise refusal(ICMP, "checksum", Reason.WRONG_CHECKSUM, header.checksum, allowed)
        return header

    def payload(self, data: bytes) -> bytes:
        """Return what follows the header."""
        return data[8:]

    def build(self) -> bytes:
        """Pack the fields; raises `ValueError` or `TypeError` for one that does not fit."""
        try:
            return _ICMP.pack(*self)
        except struct.error:
            raise unbuildable(ICMP, self) from None

    def with_checksum(self, payload: bytes) -> Self:
        """Return this header with the checksum of a message that carries `payload`."""
        return self._replace(checksum=checksum(self._replace(checksum=0).build() + payload))


@laid_out_as(UDP)
class UDPHeader(NamedTuple):
    """The header of a UDP datagram (RFC 768).

    >>> UDPHeader(49152, 53, 8, 0).build().hex(" ", 2)
    'c000 0035 0008 0000'
    """

    source_port: int
    destination_port: int
    length: int
    checksum: int

    @classmethod
    def parse(cls, data: bytes) -> Self:
        """Read the header of a datagram."""
        try:
            header = _new(cls, _UDP.unpack_from(data))
        except struct.error:
            raise cut_short(UDP, len(data)) from None
        if not 8 <= header.length <= len(data):
            lengths = f"the header has 8 octets, {len(data)} are there"
            allowed = f"{between(8, len(data))}: {lengths}"
            raise refusal(UDP, "length", Reason.WRONG_UDP_LENGTH, header.length, allowed)
        return header

    def payload(self, data: bytes) -> bytes:
        """Return what follows the header, up to the length."""
        return data[8 : self.length]

    def build(self) -> bytes:
        """Pack the fields; raises `ValueError` or `TypeError` for one that does not fit."""
        try:
            return _UDP.pack(*self)
        except struct.error:
            raise unbuildable(UDP, self) from None


@laid_out_as(TCP)
class TCPHeader(NamedTuple):
    """The header of a TCP segment (RFC 9293)."""

    source_port: int
    destination_port: int
    sequence_number: int
    acknowledgment_number: int
    reserved: int
    control_bits: int
    window: int
    checksum: int
    urgent_pointer: int
    options: bytes = b""

    @property
    def data_offset(self) -> int:
        """The length of the header in 32-bit words, as it stands on the wire."""
        return 5 + len(self.options) // 4

    @classmethod
    def parse(cls, data: bytes) -> Self:
        """Read the header of a segment."""
        present = len(data)
        try:
            source, target, sequence, acknowledgment, first, control, window, check, urgent = (
                _TCP.unpack_from(data)
            )
        except struct.error:
            raise cut_short(TCP, present) from None
        octets = (first >> 4) * 4
        if not 20 <= octets <= present:
            words = f"{between(5, min(present // 4, 15))}, as {present} octets are there"
            raise refusal(TCP, "data_offset", Reason.WRONG_DATA_OFFSET, octets // 4, words)
        reserved, options = first & 0x0F, data[20:octets] if octets > 20 else b""
        # fmt: off
        return _new(cls, (source, target, sequence, acknowledgment, reserved, control,
                          window, check, urgent, options))
        # fmt: on

    def payload(self, data: bytes) -> bytes:
        """Return what follows the header."""
        return data[20 + len(self.options) :]

    def build(self) -> bytes:
        """Pack the fields; raises `ValueError` or `TypeError` for one that does not fit."""
        source, destination, sequence, acknowledgment, reserved, *rest, options = self
        if reserved >> 4 or len(options) % 4 or len(options) > 40:
            raise unbuildable(TCP, self)
        try:
            offset = 5 + len(options) // 4 << 4 | reserved
            fixed = _TCP.pack(source, destination, sequence, acknowledgment, offset, *rest)
        except struct.error:
            raise unbuildable(TCP, self) from None
        return fixed + options
