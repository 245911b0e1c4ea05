"""The headers of Ethernet II and ARP: what a frame begins with, and how neighbours are found.

They work as the first page of `course_lib.headers` says. ARP stands here and not with IPv4: its
packets lie directly in frames, and what they tell of is the hardware addresses of frames.
"""

__all__ = ["ETHERNET_OCTETS", "ARPPacket", "EthernetHeader"]

import struct
from typing import NamedTuple, Self

from course_lib.headers.errors import PacketError, Reason, cut_short, refusal, unbuildable
from course_lib.headers.layouts import ARP, ETHERNET, laid_out_as

ETHERNET_OCTETS = 14  # without preamble and frame check sequence
_ETHERNET = struct.Struct("!6s6sH")
_ARP = struct.Struct("!HHBBH6sI6sI")
_ARP_IN_PIECES = struct.Struct("!6sH6sI6sI")  # the four that never vary in one: compared at once
_SMALLEST_ETHER_TYPE = 0x0600  # below it the field is a length: IEEE 802.3; RFC 9542, section 3
_ETHERNET_IPV4 = (1, 0x0800, 6, 4)  # the beginning of an ARP packet: RFC 826, "Packet format"
_ETHERNET_IPV4_OCTETS = struct.pack("!HHBB", *_ETHERNET_IPV4)


# `cls(...)` would go through a constructor written in Python, which costs more than the unpacking.
_new = tuple.__new__


@laid_out_as(ETHERNET)
class EthernetHeader(NamedTuple):
    """The header of an Ethernet II frame; preamble and frame check sequence are not part of it.

    Real routers: the port's hardware checks and removes both before anybody sees the frame.
    """

    destination: bytes
    source: bytes
    ether_type: int

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
            allowed, met = "0x0600 or more, as smaller values are lengths", header.ether_type
            raise refusal(ETHERNET, "ether_type", Reason.NOT_ETHERNET_II, met, allowed)
        return header

    def payload(self, data: bytes) -> bytes:
        """Return what follows the header; padding cannot be told apart at this layer."""
        return data[ETHERNET_OCTETS:]

    def build(self) -> bytes:
        """Pack the fields; raises `ValueError` or `TypeError` for one that does not fit."""
        if len(self.destination) != 6 or len(self.source) != 6:  # struct would pad or cut silently
            raise unbuildable(ETHERNET, self)
        try:
            return _ETHERNET.pack(*self)
        except struct.error:
            raise unbuildable(ETHERNET, self) from None


@laid_out_as(ARP)
class ARPPacket(NamedTuple):
    """An address resolution packet for IPv4 addresses on Ethernet (RFC 826).

    For this pair the first four fields never vary: they are no parts of the tuple, but constants of
    the class. `parse` insists on them, `build` writes them.
    """

    opcode: int
    sender_hardware_address: bytes
    sender_protocol_address: int
    target_hardware_address: bytes
    target_protocol_address: int

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
            raise unbuildable(ARP, self)
        try:
            return _ARP.pack(*_ETHERNET_IPV4, *self)
        except struct.error:
            raise unbuildable(ARP, self) from None


def _other_addresses(values: tuple[int, ...]) -> PacketError:
    """Return the error for an ARP packet of other networks: its first field that differs."""
    beginning = zip(ARP.fields[:4], values[:4], strict=True)
    field, met = next((field, met) for field, met in beginning if met != field.always)
    is_space = field.name.endswith("space")
    reason = Reason.WRONG_ADDRESS_SPACE if is_space else Reason.WRONG_ADDRESS_LENGTH
    return refusal(ARP, field.name, reason, met, field.to_text(field.always or 0))
