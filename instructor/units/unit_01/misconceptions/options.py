"""What learners believe about options and lengths, as code (exercises 1.5 and 1.6).

See `unit_01.py`.
"""

__all__ = ["BUILD_PACKET", "LIST_OPTIONS"]

from collections.abc import Callable
from typing import Any, Literal

Order = Literal["big", "little"]


def _options(
    options: bytes,
    *,
    uncounted: int = 0,
    single: tuple[int, ...] = (0, 1),
    last: int = 0,
    data_from: int = 2,
    smallest: int = 2,
    check_end: bool = True,
    report: bool = False,
    short: type[Exception] = ValueError,
) -> list[tuple[int, bytes]]:
    """Walk the options; `uncounted` octets of each are believed not to be in its length."""
    found: list[tuple[int, bytes]] = []
    place = 0
    while place < len(options):
        kind = options[place]
        if kind in single:
            if report:
                found.append((kind, b""))
            if kind == last:
                break
            place += 1
            continue
        if place + 1 == len(options):
            raise short("no length")
        end = place + options[place + 1] + uncounted
        if end - place < smallest or (check_end and end > len(options)):
            raise ValueError("bad length")
        found.append((kind, options[place + data_from : end]))
        place = end
    return found


def length_counts_data_only(options: bytes) -> list[tuple[int, bytes]]:
    """Take the length for the length of the data."""
    return _options(options, uncounted=2)


def length_without_type(options: bytes) -> list[tuple[int, bytes]]:
    """Count from the octet that holds the length."""
    return _options(options, uncounted=1)


def no_operation_has_a_length(options: bytes) -> list[tuple[int, bytes]]:
    """Expect a length behind every type but the end of the list."""
    return _options(options, single=(0,))


def end_has_a_length(options: bytes) -> list[tuple[int, bytes]]:
    """Expect a length behind the end of the list, too."""
    return _options(options, single=(1,))


def end_not_noticed(options: bytes) -> list[tuple[int, bytes]]:
    """Skip a zero as padding, and read on."""
    return _options(options, last=-1)


def single_octets_listed(options: bytes) -> list[tuple[int, bytes]]:
    """List the single octets as options without data."""
    return _options(options, report=True)


def head_kept_in_data(options: bytes) -> list[tuple[int, bytes]]:
    """Take the whole option for its data."""
    return _options(options, data_from=0)


def zero_length_goes_on(options: bytes) -> list[tuple[int, bytes]]:
    """Step by the length, whatever it is: a zero never moves on."""
    return _options(options, smallest=0)


def options_cut_short(options: bytes) -> list[tuple[int, bytes]]:
    """Trust the slice, which is silently shorter at the end."""
    return _options(options, check_end=False)


def length_always_there(options: bytes) -> list[tuple[int, bytes]]:
    """Read the length without asking whether there is one."""
    return _options(options, short=IndexError)


def _build(
    source: str,
    destination: str,
    source_port: int,
    destination_port: int,
    payload: bytes,
    options: bytes,
    *,
    first: Callable[[int], int] = lambda header: 0x40 + header // 4,
    total: Callable[[int, int], int] = lambda header, data: header + 8 + data,
    udp: Callable[[int], int] = lambda data: 8 + data,
    order: Order = "big",
) -> bytes:
    header = 20 + len(options)
    packet = bytes([first(header), 0]) + total(header, len(payload)).to_bytes(2, order)
    packet += bytes([0, 0, 0, 0, 64, 17, 0, 0])
    packet += bytes(int(part) for part in f"{source}.{destination}".split("."))
    ports = source_port.to_bytes(2, order) + destination_port.to_bytes(2, order)
    return packet + options + ports + udp(len(payload)).to_bytes(2, order) + bytes(2) + payload


def _padded(options: bytes) -> bytes:
    return options + bytes(-len(options) % 4)


def udp_length_of_payload(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Take the length of UDP for the length of its data."""
    return _build(s, d, sp, dp, data, _padded(o), udp=lambda length: length)


def total_without_ip_header(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Take the total length for the length of what IPv4 carries."""
    return _build(s, d, sp, dp, data, _padded(o), total=lambda _, length: 8 + length)


def total_without_udp_header(
    s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b""
) -> bytes:
    """Forget that the eight octets of UDP are data for IPv4."""
    return _build(s, d, sp, dp, data, _padded(o), total=lambda header, length: header + length)


def low_octets_first(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Write the 16-bit fields low octet first."""
    return _build(s, d, sp, dp, data, _padded(o), order="little")


def ports_trade_places(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Write the destination's port first."""
    return _build(s, d, dp, sp, data, _padded(o))


def addresses_trade_places(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Write the destination's address first, as in the Ethernet header."""
    return _build(d, s, sp, dp, data, _padded(o))


def header_length_counts_octets(
    s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b""
) -> bytes:
    """Write the number of octets where a number of words belongs."""
    return _build(s, d, sp, dp, data, _padded(o), first=lambda header: 0x40 + header)


def header_length_comes_first(
    s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b""
) -> bytes:
    """Write the header length in front of the version."""
    return _build(s, d, sp, dp, data, _padded(o), first=lambda header: header // 4 * 16 + 4)


def header_length_always_5(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Keep the header length of a header without options."""
    return _build(s, d, sp, dp, data, _padded(o), first=lambda _: 0x45)


def options_not_padded(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Put the options in as they come."""
    return _build(s, d, sp, dp, data, o)


def padding_before_options(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Put the padding in front of the options."""
    return _build(s, d, sp, dp, data, bytes(-len(o) % 4) + o)


def padding_not_counted(s: str, d: str, sp: int, dp: int, data: bytes, o: bytes = b"") -> bytes:
    """Count the options in the total length, and not their padding."""
    bare = 20 + len(o) + 8
    return _build(s, d, sp, dp, data, _padded(o), total=lambda _, length: bare + length)


LIST_OPTIONS: dict[str, Callable[..., Any]] = {
    "length-counts-data-only": length_counts_data_only,
    "length-without-type": length_without_type,
    "no-operation-has-a-length": no_operation_has_a_length,
    "end-has-a-length": end_has_a_length,
    "end-not-noticed": end_not_noticed,
    "single-octets-listed": single_octets_listed,
    "head-kept-in-data": head_kept_in_data,
    "zero-length-goes-on": zero_length_goes_on,
    "options-cut-short": options_cut_short,
    "length-always-there": length_always_there,
}

BUILD_PACKET: dict[str, Callable[..., Any]] = {
    "udp-length-of-payload": udp_length_of_payload,
    "total-without-ip-header": total_without_ip_header,
    "total-without-udp-header": total_without_udp_header,
    "low-octet-first": low_octets_first,
    "ports-trade-places": ports_trade_places,
    "addresses-trade-places": addresses_trade_places,
    "header-length-counts-octets": header_length_counts_octets,
    "header-length-comes-first": header_length_comes_first,
    "header-length-always-5": header_length_always_5,
    "options-not-padded": options_not_padded,
    "padding-before-options": padding_before_options,
    "padding-not-counted": padding_not_counted,
}
