"""What learners believe about lengths when they build a packet, as code (exercise 1.6).

Many beliefs bend one function: the bends are keyword arguments of a helper.
"""

__all__ = ["BUILD_PACKET"]

from collections.abc import Callable
from typing import Any, Literal

Order = Literal["big", "little"]


def _padded(options: bytes) -> bytes:
    return options + bytes(-len(options) % 4)


def _build(
    source: str,
    destination: str,
    source_port: int,
    destination_port: int,
    payload: bytes,
    options: bytes = b"",
    *,
    padded: Callable[[bytes], bytes] = _padded,
    first: Callable[[int], int] = lambda header: 0x40 + header // 4,
    total: Callable[[int, int, int], int] = lambda header, _, data: header + 8 + data,
    udp: Callable[[int, int], int] = lambda header, data: 8 + data,
    fixed: tuple[int, ...] = (0, 0, 0, 0, 64, 17, 0, 0),
    checksum: Callable[[bytes], bytes] = lambda header: b"\x00\x00",
    filled: Callable[[bytes], bytes] = lambda payload: payload,
    options_behind: bool = False,
    order: Order = "big",
) -> bytes:
    content, rest = filled(payload), padded(options)
    header = 20 + len(rest)
    count = total(header, 20 + len(options), len(content))
    packet = bytes([first(header), 0]) + count.to_bytes(2, order) + bytes(fixed)
    packet += bytes(int(part) for part in f"{source}.{destination}".split("."))
    packet = packet[:10] + checksum(packet + rest) + packet[12:]
    words = (source_port, destination_port, udp(header, len(content)), 0)
    datagram = b"".join(word.to_bytes(2, order) for word in words)
    return packet + (datagram + rest if options_behind else rest + datagram) + content


def udp_length_of_payload(*given: Any) -> bytes:
    """Take the length of UDP for the length of its data."""
    return _build(*given, udp=lambda _, data: data)


def udp_length_of_everything(*given: Any) -> bytes:
    """Write the total length twice."""
    return _build(*given, udp=lambda header, data: header + 8 + data)


def udp_length_in_words(*given: Any) -> bytes:
    """Count the datagram in words, like the header of IPv4."""
    return _build(*given, udp=lambda _, data: (8 + data + 3) // 4)


def total_without_ip_header(*given: Any) -> bytes:
    """Take the total length for the length of what IPv4 carries."""
    return _build(*given, total=lambda _, __, data: 8 + data)


def total_without_udp_header(*given: Any) -> bytes:
    """Forget that the eight octets of UDP are data for IPv4."""
    return _build(*given, total=lambda header, _, data: header + data)


def total_without_options(*given: Any) -> bytes:
    """Take 20 octets of header for granted in the total length."""
    return _build(*given, total=lambda _, __, data: 28 + data)


def total_in_words(*given: Any) -> bytes:
    """Count the total length in words, like the header length."""
    return _build(*given, total=lambda header, _, data: (header + 8 + data + 3) // 4)


def total_in_one_octet(*given: Any) -> bytes:
    """Write the low octet of the total length only."""
    return _build(*given, total=lambda header, _, data: (header + 8 + data) % 256)


def udp_length_made_even(*given: Any) -> bytes:
    """Count an odd payload as if it were filled up."""
    return _build(*given, udp=lambda _, data: 8 + data + data % 2)


def low_octets_first(*given: Any) -> bytes:
    """Write the 16-bit fields low octet first."""
    return _build(*given, order="little")


def ports_trade_places(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Write the destination's port first."""
    return _build(s, d, dp, sp, data, o)


def addresses_trade_places(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Write the destination's address first, as in the Ethernet header."""
    return _build(d, s, sp, dp, data, o)


def header_length_counts_octets(*given: Any) -> bytes:
    """Write the number of octets where a number of words belongs."""
    return _build(*given, first=lambda header: 0x40 + header)


def header_length_comes_first(*given: Any) -> bytes:
    """Write the header length in front of the version."""
    return _build(*given, first=lambda header: header // 4 * 16 + 4)


def header_length_always_5(*given: Any) -> bytes:
    """Keep the header length of a header without options."""
    return _build(*given, first=lambda _: 0x45)


def one_word_of_options(*given: Any) -> bytes:
    """Write a header length of 6 words wherever there are options."""
    return _build(*given, first=lambda header: 0x46 if header > 20 else 0x45)


def options_not_padded(*given: Any) -> bytes:
    """Put the options in as they come."""
    return _build(*given, padded=lambda options: options)


def padding_before_options(*given: Any) -> bytes:
    """Put the padding in front of the options."""
    return _build(*given, padded=lambda options: bytes(-len(options) % 4) + options)


def padding_not_counted(*given: Any) -> bytes:
    """Count the options in the total length, and not their padding."""
    return _build(*given, total=lambda _, bare, data: bare + 8 + data)


def padded_with_fillers(*given: Any) -> bytes:
    """Fill up with type 1, which fills space."""
    return _build(*given, padded=lambda options: options + b"\x01" * (-len(options) % 4))


def padded_to_40(*given: Any) -> bytes:
    """Fill options up to the largest header there is."""
    return _build(*given, padded=lambda options: options and options.ljust(40, b"\x00"))


def a_word_too_much(*given: Any) -> bytes:
    """Fill up with four zeros where none are missing."""
    return _build(*given, padded=lambda options: options and options + bytes(4 - len(options) % 4))


def options_behind_udp(*given: Any) -> bytes:
    """Put the options between UDP and its payload."""
    return _build(*given, options_behind=True)


def options_left_out(*given: Any) -> bytes:
    """Build every packet without options."""
    return _build(*given[:5])


def payload_filled_up(*given: Any) -> bytes:
    """Fill an odd payload up with a zero, as for a checksum."""
    return _build(*given, filled=lambda payload: payload + bytes(len(payload) % 2))


def zeros_of_payload_dropped(*given: Any) -> bytes:
    """Take zeros at the end of the payload for padding."""
    return _build(*given, filled=lambda payload: payload.rstrip(b"\x00"))


def empty_payload_refused(*given: Any) -> bytes:
    """Want something to carry."""
    if not given[4]:
        raise ValueError("no payload")
    return _build(*given)


def port_0_refused(*given: Any) -> bytes:
    """Let ports begin with 1."""
    if not given[2] or not given[3]:
        raise ValueError("no port")
    return _build(*given)


def protocol_left_at_0(*given: Any) -> bytes:
    """Leave the protocol out."""
    return _build(*given, fixed=(0, 0, 0, 0, 64, 0, 0, 0))


def protocol_comes_first(*given: Any) -> bytes:
    """Write the protocol in front of the time to live."""
    return _build(*given, fixed=(0, 0, 0, 0, 17, 64, 0, 0))


def time_to_live_255(*given: Any) -> bytes:
    """Give the packet the longest life there is."""
    return _build(*given, fixed=(0, 0, 0, 0, 255, 17, 0, 0))


def never_to_be_cut(*given: Any) -> bytes:
    """Set "do not fragment", as many systems do."""
    return _build(*given, fixed=(0, 0, 0x40, 0, 64, 17, 0, 0))


def _sum_of(header: bytes) -> bytes:
    total = sum(int.from_bytes(header[at : at + 2], "big") for at in range(0, len(header), 2))
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return (0xFFFF - total).to_bytes(2, "big")


def checksum_filled_in(*given: Any) -> bytes:
    """Work out the checksum of IPv4."""
    return _build(*given, checksum=_sum_of)


def datagram_alone(*given: Any) -> bytes:
    """Return the datagram, without the header of IPv4."""
    packet = _build(*given)
    return packet[packet[0] % 16 * 4 :]


BUILD_PACKET: dict[str, Callable[..., Any]] = {
    "udp-length-of-payload": udp_length_of_payload,
    "udp-length-of-everything": udp_length_of_everything,
    "udp-length-in-words": udp_length_in_words,
    "total-without-ip-header": total_without_ip_header,
    "total-without-udp-header": total_without_udp_header,
    "total-without-options": total_without_options,
    "total-in-words": total_in_words,
    "udp-length-made-even": udp_length_made_even,
    "total-in-one-octet": total_in_one_octet,
    "low-octet-first": low_octets_first,
    "ports-trade-places": ports_trade_places,
    "addresses-trade-places": addresses_trade_places,
    "header-length-counts-octets": header_length_counts_octets,
    "header-length-comes-first": header_length_comes_first,
    "header-length-always-5": header_length_always_5,
    "one-word-of-options": one_word_of_options,
    "options-not-padded": options_not_padded,
    "padding-before-options": padding_before_options,
    "padding-not-counted": padding_not_counted,
    "padded-with-fillers": padded_with_fillers,
    "padded-to-40": padded_to_40,
    "a-word-too-much": a_word_too_much,
    "options-behind-udp": options_behind_udp,
    "options-left-out": options_left_out,
    "payload-filled-up": payload_filled_up,
    "zeros-dropped": zeros_of_payload_dropped,
    "port-0-refused": port_0_refused,
    "protocol-left-at-0": protocol_left_at_0,
    "protocol-first": protocol_comes_first,
    "time-to-live-255": time_to_live_255,
    "never-to-be-cut": never_to_be_cut,
    "checksum-filled-in": checksum_filled_in,
    "datagram-alone": datagram_alone,
}
