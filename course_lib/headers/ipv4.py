"""The header of an IPv4 datagram, or of a fragment of one (RFC 791)."""

__all__ = ["IPv4Header"]

import struct
from typing import NamedTuple, Self

from course_lib.checksum import checksum
from course_lib.headers.errors import Reason, between, cut_short, refusal, unbuildable
from course_lib.headers.layouts import IPV4, laid_out_as

_IPV4 = struct.Struct("!BBHHHBBHII")
_ALL_ONES = 0xFFFF
_number_from = int.from_bytes  # most significant octet first; looked up once, for speed


# `cls(...)` would go through a constructor written in Python, which costs more than the unpacking.
_new = tuple.__new__


@laid_out_as(IPV4)
class IPv4Header(NamedTuple):
    """The header of an IPv4 datagram, or of a fragment of one (RFC 791).

    >>> header = IPv4Header(0, 20, 1, 0, 0, 64, 17, 0, 0xC0000201, 0xC6336402).with_checksum()
    >>> IPv4Header.parse(header.build(), verify_checksum=True) == header
    True
    """

    type_of_service: int
    total_length: int
    identification: int
    flags: int
    fragment_offset: int
    time_to_live: int
    protocol: int
    checksum: int
    source: int
    destination: int
    options: bytes = b""

    @property
    def header_length(self) -> int:
        """The length of the header in 32-bit words, as it stands on the wire."""
        return 5 + len(self.options) // 4

    @classmethod
    def parse(cls, data: bytes, *, verify_checksum: bool = False) -> Self:
        """Read the header of a datagram.

        A router has to verify the checksum (RFC 1812, section 5.2.2). It comes before the total
        length: in a damaged header that number means nothing.
        """
        present = len(data)
        try:
            first, service, total, ident, fragment, hops, protocol, check, source, target = (
                _IPV4.unpack_from(data)
            )
        except struct.error:
            raise cut_short(IPV4, present) from None
        octets = (first & 0x0F) * 4
        if first >> 4 != 4:
            raise refusal(IPV4, "version", Reason.WRONG_VERSION, first >> 4, "4")
        if not 20 <= octets <= present:
            words = f"{between(5, min(present // 4, 15))}, as {present} octets are there"
            raise refusal(IPV4, "header_length", Reason.WRONG_HEADER_LENGTH, octets // 4, words)
        # `is_intact` without the call: a header that begins with a version is not zero throughout.
        if verify_checksum and _number_from(data[:octets]) % _ALL_ONES:
            right = f"{checksum(data[:10] + bytes(2) + data[12:octets]):#06x} for this header"
            raise refusal(IPV4, "checksum", Reason.WRONG_CHECKSUM, check, right)
        if not octets <= total <= present:
            lengths = f"the header has {octets} octets, {present} are there"
            range_ = f"{between(octets, present)}: {lengths}"
            raise refusal(IPV4, "total_length", Reason.WRONG_TOTAL_LENGTH, total, range_)
        flags, offset = fragment >> 13, fragment & 0x1FFF
        options = data[20:octets] if octets > 20 else b""
        return _new(
            cls,
            (service, total, ident, flags, offset, hops, protocol, check, source, target, options),
        )

    def payload(self, data: bytes) -> bytes:
        """Return what follows the header, up to the total length."""
        return data[20 + len(self.options) : self.total_length]

    def build(self) -> bytes:
        """Pack the fields; raises `ValueError` or `TypeError` for one that does not fit."""
        service, total, ident, flags, offset, hops, protocol, check, source, target, options = self
        if offset >> 13 or len(options) % 4 or len(options) > 40:
            raise unbuildable(IPV4, self)
        first, fragment = 0x45 + len(options) // 4, flags << 13 | offset
        try:
            fixed = _IPV4.pack(
                first, service, total, ident, fragment, hops, protocol, check, source, target
            )
        except struct.error:
            raise unbuildable(IPV4, self) from None
        return fixed + options

    def with_checksum(self) -> Self:
        """Return this header with the checksum that belongs to it."""
        return self._replace(checksum=checksum(self._replace(checksum=0).build()))
