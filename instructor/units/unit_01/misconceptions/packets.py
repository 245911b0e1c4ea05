"""What learners believe about the IPv4 header, as code (exercises 1.3 and 1.4).

See `unit_01.py`.
"""

__all__ = ["FRAGMENT_FIELDS", "PARSE_PACKET"]

from collections.abc import Callable
from typing import Any, Literal

Order = Literal["big", "little"]


def offset_in_octets(word: int) -> tuple[Any, ...]:
    """Read the offset as a number of octets."""
    return bool(word & 0x4000), bool(word & 0x2000), word & 0x1FFF


def offset_in_words(word: int) -> tuple[Any, ...]:
    """Read the offset in words of four octets, like the header length."""
    return bool(word & 0x4000), bool(word & 0x2000), (word & 0x1FFF) * 4


def flags_at_the_low_end(word: int) -> tuple[Any, ...]:
    """Look for the flags behind the offset."""
    return bool(word & 2), bool(word & 1), (word >> 3) * 8


def flags_trade_places(word: int) -> tuple[Any, ...]:
    """Take the flags in the other order."""
    return bool(word & 0x2000), bool(word & 0x4000), (word & 0x1FFF) * 8


def reserved_bit_counted(word: int) -> tuple[Any, ...]:
    """Take the first two of the three flags for the two that are in use."""
    return bool(word & 0x8000), bool(word & 0x4000), (word & 0x1FFF) * 8


def flag_left_in_place(word: int) -> tuple[Any, ...]:
    """Mask the flags and leave them where they stand."""
    return word & 0x4000, word & 0x2000, (word & 0x1FFF) * 8


def more_means_last(word: int) -> tuple[Any, ...]:
    """Read "more fragments" as the mark of the last one."""
    return bool(word & 0x4000), not word & 0x2000, (word & 0x1FFF) * 8


def mask_a_bit_short(word: int) -> tuple[Any, ...]:
    """Keep twelve bits, three hexadecimal digits, of the offset."""
    return bool(word & 0x4000), bool(word & 0x2000), (word & 0x0FFF) * 8


def flags_kept_in_offset(word: int) -> tuple[Any, ...]:
    """Take the offset without cutting off the flags."""
    return bool(word & 0x4000), bool(word & 0x2000), word * 8


def _dotted(octets: bytes) -> str:
    return ".".join(str(octet) for octet in octets)


def _packet(
    packet: bytes,
    *,
    dotted: Callable[[bytes], str] = _dotted,
    version: int | None = None,
    words: int | None = None,
    unit: int = 4,
    order: Order = "big",
    added: int = 0,
    check_header: bool = True,
    check_total: bool = True,
) -> dict[str, Any]:
    if len(packet) < 20:
        raise ValueError("too short")
    header = (packet[0] & 0x0F if words is None else words) * unit
    total = int.from_bytes(packet[2:4], order) + added
    if (packet[0] >> 4 if version is None else version) != 4:
        raise ValueError("not version 4")
    if check_header and (header < 5 * unit or header > len(packet)):
        raise ValueError("header length")
    if check_total and (total < header or total > len(packet)):
        raise ValueError("total length")
    return {
        "source": dotted(packet[12:16]),
        "destination": dotted(packet[16:20]),
        "protocol": packet[9],
        "time_to_live": packet[8],
        "options": packet[20:header],
        "payload": packet[header:total],
    }


def header_length_in_octets(packet: bytes) -> dict[str, Any]:
    """Read the header length as a number of octets."""
    return _packet(packet, unit=1)


def header_always_20(packet: bytes) -> dict[str, Any]:
    """Take every header for 20 octets long."""
    return _packet(packet, words=5)


def nibbles_trade_places(packet: bytes) -> dict[str, Any]:
    """Read the header length before the version."""
    words, version = divmod(packet[0] if packet else 0x45, 16)
    return _packet(packet, version=version, words=words)


def total_without_header(packet: bytes) -> dict[str, Any]:
    """Read the total length as the length of the payload."""
    header = (packet[0] & 0x0F) * 4 if packet else 0
    return _packet(packet, added=header)


def total_low_octet_first(packet: bytes) -> dict[str, Any]:
    """Read the total length low octet first."""
    return _packet(packet, order="little")


def padding_kept(packet: bytes) -> dict[str, Any]:
    """Take all that follows the header as payload."""
    fields = _packet(packet)
    fields["payload"] = packet[(packet[0] & 0x0F) * 4 :]
    return fields


def padding_refused(packet: bytes) -> dict[str, Any]:
    """Insist that the data end where the packet ends."""
    fields = _packet(packet)
    if int.from_bytes(packet[2:4], "big") != len(packet):
        raise ValueError("total length")
    return fields


def options_in_payload(packet: bytes) -> dict[str, Any]:
    """Count the options as part of what the packet carries."""
    fields = _packet(packet)
    fields["payload"] = fields["options"] + fields["payload"]
    return fields


def destination_comes_first(packet: bytes) -> dict[str, Any]:
    """Expect the destination in front, as in the Ethernet header."""
    fields = _packet(packet)
    return {**fields, "source": fields["destination"], "destination": fields["source"]}


def protocol_comes_first(packet: bytes) -> dict[str, Any]:
    """Take the protocol from octet 8 and the time to live from octet 9."""
    fields = _packet(packet)
    return {**fields, "protocol": fields["time_to_live"], "time_to_live": fields["protocol"]}


def hexadecimal_addresses(packet: bytes) -> dict[str, Any]:
    """Write IPv4 addresses in hexadecimal, as hardware addresses are."""
    return _packet(packet, dotted=lambda octets: octets.hex("."))


def version_not_looked_at(packet: bytes) -> dict[str, Any]:
    """Take every packet for IPv4."""
    return _packet(packet, version=4)


def header_length_trusted(packet: bytes) -> dict[str, Any]:
    """Accept any header length."""
    return _packet(packet, check_header=False)


def total_length_trusted(packet: bytes) -> dict[str, Any]:
    """Accept any total length: slices are silently shorter."""
    return _packet(packet, check_total=False)


FRAGMENT_FIELDS: dict[str, Callable[..., Any]] = {
    "offset-in-octets": offset_in_octets,
    "offset-in-words": offset_in_words,
    "flags-at-the-low-end": flags_at_the_low_end,
    "flags-trade-places": flags_trade_places,
    "reserved-bit-counted": reserved_bit_counted,
    "flag-left-in-place": flag_left_in_place,
    "more-means-last": more_means_last,
    "mask-a-bit-short": mask_a_bit_short,
    "flags-kept-in-offset": flags_kept_in_offset,
}

PARSE_PACKET: dict[str, Callable[..., Any]] = {
    "header-length-in-octets": header_length_in_octets,
    "header-always-20": header_always_20,
    "nibbles-trade-places": nibbles_trade_places,
    "total-without-header": total_without_header,
    "total-low-octet-first": total_low_octet_first,
    "padding-kept": padding_kept,
    "padding-refused": padding_refused,
    "options-in-payload": options_in_payload,
    "destination-first": destination_comes_first,
    "protocol-first": protocol_comes_first,
    "hexadecimal-addresses": hexadecimal_addresses,
    "version-not-looked-at": version_not_looked_at,
    "header-length-trusted": header_length_trusted,
    "total-length-trusted": total_length_trusted,
}
