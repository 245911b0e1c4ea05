"""The right answer to exercise 1.4, which can be bent in many ways: each one is a belief."""

__all__ = ["bent_packet", "in_decimals"]

from collections.abc import Callable
from typing import Any, Literal

Order = Literal["big", "little"]


def in_decimals(octets: bytes) -> Any:
    """Write an address in dotted decimals."""
    return ".".join(str(octet) for octet in octets)


def bent_packet(
    packet: bytes,
    *,
    dotted: Callable[[bytes], Any] = in_decimals,
    version: int | None = None,
    words: int | None = None,
    unit: int = 4,
    order: Order = "big",
    added: int = 0,
    shortest: int = 20,
    least_words: int = 5,
    least_total: int | None = None,
    check_end: bool = True,
    refusal: type[Exception] = ValueError,
    short: type[Exception] = ValueError,
) -> dict[str, Any]:
    """Return what the exercise asks for, but for what the keyword arguments bend."""
    if len(packet) < shortest:
        raise (short if refusal is ValueError else refusal)("too short")
    header = (packet[0] & 0x0F if words is None else words) * unit
    total = int.from_bytes(bytes([packet[2], packet[3]]), order) + added
    if (packet[0] >> 4 if version is None else version) != 4:
        raise refusal("not version 4")
    if header < least_words * unit:
        raise refusal("header length")
    if total < (header if least_total is None else least_total):
        raise refusal("total length")
    if check_end and total > len(packet):
        raise refusal("total length")
    return {
        "source": dotted(packet[12:16]),
        "destination": dotted(packet[16:20]),
        "protocol": packet[9],
        "time_to_live": packet[8],
        "options": packet[20:header],
        "payload": packet[header:total],
    }
