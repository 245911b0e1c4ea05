"""Where every field of every header stands: the one table that all else reads.

The header types take from it the ranges that they check, the sections that their messages cite
and the explanation that `help()` shows for a field. Diagrams are drawn from it. A test holds the
struct formats of the header types against it, bit by bit.

Bits are counted as the standards do: bit 0 is the first on the wire, the most significant bit of
octet 0 (RFC 791, appendix B). The fields of a header follow each other without a gap.
"""

__all__ = [
    "ARP",
    "ETHERNET",
    "ICMP",
    "IPV4",
    "LAYOUTS",
    "TCP",
    "UDP",
    "FieldLayout",
    "HeaderLayout",
    "describe",
    "laid_out_as",
]

from collections.abc import Callable
from typing import Any, Literal, NamedTuple, TypeVar

from course_lib.prefixes.text import format_address, format_mac

Kind = Literal["number", "code", "address", "hardware address"]
"""What a field holds. A *number* counts something, a *code* is a pattern of bits that is read in
hexadecimal. A hardware address is held as six octets, everything else as an integer."""

T = TypeVar("T")


class FieldLayout(NamedTuple):
    """One field: its place in the header, its width, and what it is for."""

    name: str
    first_bit: int
    bits: int
    kind: Kind
    meaning: str
    source: str
    always: int | None = None  # the only value that the header type allows

    @property
    def octet(self) -> int:
        """The octet of the header in which the field begins."""
        return self.first_bit // 8

    @property
    def largest(self) -> int:
        """The largest number that fits into the field."""
        return (1 << self.bits) - 1

    def to_text(self, value: int | bytes) -> str:
        """Return a value of this field as people write it.

        >>> IPV4.field("destination").to_text(0xC0000201)
        '192.0.2.1'
        """
        if isinstance(value, bytes):
            return format_mac(value)
        if self.kind == "address":
            return format_address(value)
        return f"0x{value:0{(self.bits + 3) // 4}x}" if self.kind == "code" else str(value)


class HeaderLayout(NamedTuple):
    """One header: its fixed fields in order, and how many octets of options may follow them."""

    name: str
    fields: tuple[FieldLayout, ...]
    largest_options: int = 0

    @property
    def octets(self) -> int:
        """The length of the fixed part."""
        return sum(field.bits for field in self.fields) // 8

    def field(self, name: str) -> FieldLayout:
        """Return the field called `name`; raises `KeyError` if there is none."""
        return {field.name: field for field in self.fields}[name]


_802_3 = "IEEE 802.3; RFC 894"
ETHERNET = HeaderLayout(
    "Ethernet",
    (
        FieldLayout("destination", 0, 48, "hardware address", "who shall take the frame", _802_3),
        FieldLayout("source", 48, 48, "hardware address", "who sent the frame", _802_3),
        FieldLayout("ether_type", 96, 16, "code", "what the frame carries, 0x0600 or more", _802_3),
    ),
)

_826 = 'RFC 826, "Packet format"'
ARP = HeaderLayout(
    "ARP",
    (
        FieldLayout("hardware_address_space", 0, 16, "number", "1 is Ethernet", _826, 1),
        FieldLayout("protocol_address_space", 16, 16, "code", "0x0800 is IPv4", _826, 0x0800),
        FieldLayout("hardware_address_length", 32, 8, "number", "in octets", _826, 6),
        FieldLayout("protocol_address_length", 40, 8, "number", "in octets", _826, 4),
        FieldLayout("opcode", 48, 16, "number", "1 asks, 2 answers", _826),
        FieldLayout("sender_hardware_address", 64, 48, "hardware address", "who sends this", _826),
        FieldLayout("sender_protocol_address", 112, 32, "address", "who sends this", _826),
        FieldLayout(
            "target_hardware_address", 144, 48, "hardware address", "zeros in a question", _826
        ),
        FieldLayout("target_protocol_address", 192, 32, "address", "who is looked for", _826),
    ),
)

_791 = "RFC 791, section 3.1"
IPV4 = HeaderLayout(
    "IPv4",
    (
        FieldLayout("version", 0, 4, "number", "the format of the header", _791, 4),
        FieldLayout("header_length", 4, 4, "number", "in 32-bit words, 5 or more", _791),
        FieldLayout(
            "type_of_service", 8, 8, "code", "how to treat the packet", "RFC 2474, section 3"
        ),
        FieldLayout("total_length", 16, 16, "number", "header and data, in octets", _791),
        FieldLayout("identification", 32, 16, "number", "alike in all fragments", _791),
        FieldLayout("flags", 48, 3, "code", "reserved, don't fragment, more fragments", _791),
        FieldLayout("fragment_offset", 51, 13, "number", "in units of 8 octets", _791),
        FieldLayout("time_to_live", 64, 8, "number", "hops that are left", _791),
        FieldLayout("protocol", 72, 8, "number", "what the packet carries", _791),
        FieldLayout("checksum", 80, 16, "code", "guards the header alone", _791),
        FieldLayout("source", 96, 32, "address", "who sent the packet", _791),
        FieldLayout("destination", 128, 32, "address", "who shall get the packet", _791),
    ),
    largest_options=40,
)

_792 = 'RFC 792, "Message Formats"'
ICMP = HeaderLayout(
    "ICMP",
    (
        FieldLayout("type", 0, 8, "number", "the kind of message", _792),
        FieldLayout("code", 8, 8, "number", "the case within the type", _792),
        FieldLayout("checksum", 16, 16, "code", "guards the whole message", _792),
        FieldLayout("rest_of_header", 32, 32, "code", "its use depends on the type", _792),
    ),
)

_768 = 'RFC 768, "Fields"'
UDP = HeaderLayout(
    "UDP",
    (
        FieldLayout("source_port", 0, 16, "number", "who sent the datagram, or 0", _768),
        FieldLayout("destination_port", 16, 16, "number", "who shall get the datagram", _768),
        FieldLayout("length", 32, 16, "number", "header and data, in octets", _768),
        FieldLayout("checksum", 48, 16, "code", "0 says that there is none", _768),
    ),
)

_9293 = "RFC 9293, section 3.1"
TCP = HeaderLayout(
    "TCP",
    (
        FieldLayout("source_port", 0, 16, "number", "who sent the segment", _9293),
        FieldLayout("destination_port", 16, 16, "number", "who shall get the segment", _9293),
        FieldLayout("sequence_number", 32, 32, "number", "of the first data octet", _9293),
        FieldLayout("acknowledgment_number", 64, 32, "number", "the next one expected", _9293),
        FieldLayout("data_offset", 96, 4, "number", "in 32-bit words, 5 or more", _9293),
        FieldLayout("reserved", 100, 4, "code", "sent as zero", _9293),
        FieldLayout("control_bits", 104, 8, "code", "CWR ECE URG ACK PSH RST SYN FIN", _9293),
        FieldLayout("window", 112, 16, "number", "octets that may come, unscaled", _9293),
        FieldLayout("checksum", 128, 16, "code", "guards segment and addresses", _9293),
        FieldLayout("urgent_pointer", 144, 16, "number", "where urgent data end", _9293),
    ),
    largest_options=40,
)

LAYOUTS = (ETHERNET, ARP, IPV4, ICMP, UDP, TCP)


def describe(header: Any) -> str:
    """Return the fields of any header, one a line: name, value as people write it, meaning."""
    lines = [
        f"{field.name:<24}{field.to_text(getattr(header, field.name)):<19}{field.meaning}"
        for field in header.layout.fields
    ]
    options = getattr(header, "options", b"")
    return "\n".join([*lines, f"{'options':<24}{options.hex(' ')}"] if options else lines)


def laid_out_as(layout: HeaderLayout) -> Callable[[type[T]], type[T]]:
    """Make a decorator that gives a header type its `layout`, and the values that never vary.

    It also hands the meaning of each field on to `help()`.
    """

    def lay_out(header_type: type[T]) -> type[T]:
        for field in layout.fields:
            if field.always is not None:
                setattr(header_type, field.name, field.always)
            elif field.name in header_type.__annotations__:
                text = f"{field.meaning} ({field.bits} bits; {field.source})"
                getattr(header_type, field.name).__doc__ = text
        header_type.layout = layout  # type: ignore[attr-defined]
        return header_type

    return lay_out
