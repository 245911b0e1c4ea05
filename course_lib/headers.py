"""The headers of Ethernet II, ARP and IPv4, and through this module those of ICMP, UDP and TCP.

A header is an immutable value with the fields of the standard, in the units of the wire: lengths
of headers in 32-bit words, other lengths in octets, IPv4 addresses as 32-bit numbers, hardware
addresses as six octets. Where a field stands is written in `course_lib.layouts`.

* `Header.parse(data)` reads the header at the beginning of `data`. It checks what has to be right
  for the fields to mean anything, and raises `PacketError`, and never anything else.
* `header.payload(data)` gives what the header carries, of the same `data`. What stands behind the
  end that the header itself states, such as the padding of a short Ethernet frame, is left out.
* `header.build()` packs exactly the fields that are there. No length and no checksum is filled in,
  and a value that lies is packed as it is: a test of a router needs such packets.
* `header._replace(field=value)` gives a header that differs in one field (Python's named tuples
  have this method); `with_checksum` gives one whose checksum is right.

How long an IPv4 or TCP header is follows from its options, so the length is not stored a second
time. Options are raw octets here: where one ends and the next begins is not looked at.

Real routers: the same checks, done by a chip for several packets at a time.
"""

__all__ = [
    "ARPPacket",
    "EthernetHeader",
    "ICMPHeader",
    "IPv4Header",
    "PacketError",
    "Reason",
    "TCPHeader",
    "UDPHeader",
    "ipv4_from_text",
    "ipv4_to_text",
    "mac_from_text",
    "mac_to_text",
]

import struct
from typing import NamedTuple, Self

from course_lib.addresses import ipv4_from_text, ipv4_to_text, mac_from_text, mac_to_text
from course_lib.checksum import checksum, is_intact
from course_lib.layouts import ARP, ETHERNET, IPV4, HeaderLayout, explain_fields
from course_lib.packet_errors import PacketError, Reason, cut_short, refusal, unbuildable
from course_lib.transport_headers import ICMPHeader, TCPHeader, UDPHeader

_ETHERNET = struct.Struct("!6s6sH")
_ARP = struct.Struct("!HHBBH6sI6sI")
_ARP_IN_PIECES = struct.Struct("!6sH6sI6sI")  # the four that never vary in one: compared at once
_IPV4 = struct.Struct("!BBHHHBBHII")

_SMALLEST_ETHER_TYPE = 0x0600  # below it the field is a length: IEEE 802.3; RFC 7042, section 3
_ETHERNET_IPV4 = (1, 0x0800, 6, 4)  # the beginning of an ARP packet: RFC 826, "Packet format"
_ETHERNET_IPV4_OCTETS = struct.pack("!HHBB", *_ETHERNET_IPV4)

# `cls(...)` would go through a constructor written in Python, which costs more than the unpacking.
_new = tuple.__new__


@explain_fields(ETHERNET)
class EthernetHeader(NamedTuple):
    """The header of an Ethernet II frame; preamble and frame check sequence are not part of it."""

    destination: bytes
    source: bytes
    ether_type: int

    @property
    def layout(self) -> HeaderLayout:
        """Where the fields stand."""
        return ETHERNET

    @classmethod
    def parse(cls, data: bytes) -> Self:
        """Read the header of a frame.

        >>> EthernetHeader.parse(bytes.fromhex("00005e005302 00005e005301 0800")).ether_type
        2048
        """
        try:
            header = _new(cls, _ETHERNET.unpack_from(data))
        except struct.error:
            raise cut_short(ETHERNET, len(data)) from None
        if header.ether_type < _SMALLEST_ETHER_TYPE:
            raise refusal(
                ETHERNET,
                "ether_type",
                Reason.NOT_ETHERNET_II,
                header.ether_type,
                "0x0600 or more, as smaller values are lengths",
            )
        return header

    def payload(self, data: bytes) -> bytes:
        """Return what follows the header; padding cannot be told apart at this layer."""
        return data[14:]

    def build(self) -> bytes:
        """Pack the fields; raises `ValueError` or `TypeError` for one that does not fit."""
        if len(self.destination) != 6 or len(self.source) != 6:  # struct would pad or cut silently
            raise unbuildable(self)
        try:
            return _ETHERNET.pack(*self)
        except struct.error:
            raise unbuildable(self) from None


@explain_fields(ARP)
class ARPPacket(NamedTuple):
    """An address resolution packet for IPv4 addresses on Ethernet (RFC 826).

    For this pair the first four fields never vary; `parse` insists on them, `build` writes them.
    """

    opcode: int
    sender_hardware_address: bytes
    sender_protocol_address: int
    target_hardware_address: bytes
    target_protocol_address: int

    @property
    def layout(self) -> HeaderLayout:
        """Where the fields stand."""
        return ARP

    @property
    def hardware_address_space(self) -> int:
        """Ethernet."""
        return _ETHERNET_IPV4[0]

    @property
    def protocol_address_space(self) -> int:
        """IPv4."""
        return _ETHERNET_IPV4[1]

    @property
    def hardware_address_length(self) -> int:
        """Six octets."""
        return _ETHERNET_IPV4[2]

    @property
    def protocol_address_length(self) -> int:
        """Four octets."""
        return _ETHERNET_IPV4[3]

    @classmethod
    def parse(cls, data: bytes) -> Self:
        """Read a packet; octets beyond its 28 are padding."""
        try:
            pieces = _ARP_IN_PIECES.unpack_from(data)
        except struct.error:
            raise cut_short(ARP, len(data)) from None
        if pieces[0] != _ETHERNET_IPV4_OCTETS:
            raise _other_addresses(_ARP.unpack_from(data))
        return _new(cls, pieces[1:])

    def payload(self, data: bytes) -> bytes:
        """Return nothing: an ARP packet carries no other packet."""
        return b""

    def build(self) -> bytes:
        """Pack the fields; raises `ValueError` or `TypeError` for one that does not fit."""
        if len(self.sender_hardware_address) != 6 or len(self.target_hardware_address) != 6:
            raise unbuildable(self)
        try:
            return _ARP.pack(*_ETHERNET_IPV4, *self)
        except struct.error:
            raise unbuildable(self) from None


@explain_fields(IPV4)
class IPv4Header(NamedTuple):
    """The header of an IPv4 datagram, or of a fragment of one (RFC 791)."""

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
    def layout(self) -> HeaderLayout:
        """Where the fixed fields stand."""
        return IPV4

    @property
    def version(self) -> int:
        """Always 4."""
        return 4

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
            words = f"5 to {min(present // 4, 15)} for {present} octets of data"
            raise refusal(IPV4, "header_length", Reason.WRONG_HEADER_LENGTH, octets // 4, words)
        if verify_checksum and not is_intact(data[:octets]):
            right = f"{checksum(data[:10] + bytes(2) + data[12:octets]):#06x} for this header"
            raise refusal(IPV4, "checksum", Reason.WRONG_CHECKSUM, check, right)
        if not octets <= total <= present:
            range_ = f"{octets} (the header) to {present} (the data)"
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
            raise unbuildable(self)
        first, fragment = 0x45 + len(options) // 4, flags << 13 | offset
        try:
            fixed = _IPV4.pack(
                first, service, total, ident, fragment, hops, protocol, check, source, target
            )
        except struct.error:
            raise unbuildable(self) from None
        return fixed + options

    def with_checksum(self) -> Self:
        """Return this header with the checksum that belongs to it."""
        return self._replace(checksum=checksum(self._replace(checksum=0).build()))


def _other_addresses(values: tuple[int, ...]) -> PacketError:
    """Return the error for an ARP packet of other networks: its first field that differs."""
    beginning = zip(ARP.fields[:4], values[:4], strict=True)
    field, met = next((field, met) for field, met in beginning if met != field.always)
    is_space = field.name.endswith("space")
    reason = Reason.WRONG_ADDRESS_SPACE if is_space else Reason.WRONG_ADDRESS_LENGTH
    return refusal(ARP, field.name, reason, met, field.to_text(field.always or 0))
