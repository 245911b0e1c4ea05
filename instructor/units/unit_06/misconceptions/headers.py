"""Misconceptions about header checks and about one hop: exercises 6.1 and 6.2."""

__all__ = ["FIRST_FAULT", "REWRITE_FRAME"]

from collections.abc import Callable
from typing import Any

Station = tuple[bytes, bytes]


def right_word(data: bytes, place: int) -> int:
    """Return the 16-bit word that begins at an octet; what is missing counts as zero."""
    return int.from_bytes(data[place : place + 2].ljust(2, b"\0"), "big")


def right_sum(data: bytes) -> int:
    """Add up words and fold."""
    total = sum(right_word(data, place) for place in range(0, len(data), 2))
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


# 6.1 first_fault


def right_checks(datagram: bytes) -> dict[int, bool]:
    """Return all checks by number: True where the datagram passes."""
    octets = 4 * (datagram[0] & 15) if datagram else 0
    total = right_word(datagram, 2)
    return {
        1: len(datagram) >= 20,
        2: right_sum(datagram[:octets]) == 0xFFFF,
        3: bool(datagram) and datagram[0] >> 4 == 4,
        4: octets >= 20,
        5: total >= octets,
        6: total <= len(datagram),
    }


def right_first(checks: dict[int, bool], order: str = "123456") -> int | None:
    """Return the first check that fails, in an order."""
    return next((int(number) for number in order if not checks[int(number)]), None)


def fault_of_fields_first(datagram: bytes) -> int | None:
    """Believe that the fields are looked at before the sum."""
    return right_first(right_checks(datagram), "134562")


def fault_of_version_first(datagram: bytes) -> int | None:
    """Believe that the version comes before everything that depends on it."""
    return right_first(right_checks(datagram), "132456")


def fault_that_is_last(datagram: bytes) -> int | None:
    """Believe that a later fault replaces an earlier one."""
    checks = right_checks(datagram)
    return 1 if not checks[1] else right_first(checks, "65432")


def fault_in_20_octets(datagram: bytes) -> int | None:
    """Believe that the sum covers 20 octets, whatever the header length says."""
    checks = right_checks(datagram)
    checks[2] = right_sum(datagram[:20]) == 0xFFFF
    return right_first(checks)


def fault_in_the_payload(datagram: bytes) -> int | None:
    """Believe that the sum covers everything that came."""
    checks = right_checks(datagram)
    checks[2] = right_sum(datagram) == 0xFFFF
    return right_first(checks)


def fault_of_padding(datagram: bytes) -> int | None:
    """Believe that the total length is exactly what came."""
    checks = right_checks(datagram)
    checks[6] = right_word(datagram, 2) == len(datagram)
    return right_first(checks)


def fault_of_payload_length(datagram: bytes) -> int | None:
    """Believe that the total length leaves the header out."""
    checks = right_checks(datagram)
    octets = 4 * (datagram[0] & 15) if datagram else 0
    checks[6] = right_word(datagram, 2) + octets <= len(datagram)
    return right_first(checks)


def fault_of_length_in_octets(datagram: bytes) -> int | None:
    """Believe that the header length is compared as octets."""
    checks = right_checks(datagram)
    checks[4] = bool(datagram) and datagram[0] & 15 >= 20
    return right_first(checks)


def fault_below_20_only(datagram: bytes) -> int | None:
    """Believe that 20 is enough for a total length, options or not."""
    checks = right_checks(datagram)
    checks[5] = right_word(datagram, 2) >= 20
    return right_first(checks)


def fault_without_complement(datagram: bytes) -> int | None:
    """Believe that an intact header sums up to zero."""
    checks = right_checks(datagram)
    octets = 4 * (datagram[0] & 15) if datagram else 0
    checks[2] = right_sum(datagram[:octets]) == 0
    return right_first(checks)


def fault_with_carries_dropped(datagram: bytes) -> int | None:
    """Believe that carries may be cut off."""
    checks = right_checks(datagram)
    part = datagram[: 4 * (datagram[0] & 15)] if datagram else b""
    total = sum(right_word(part, place) for place in range(0, len(part), 2))
    checks[2] = total & 0xFFFF == 0xFFFF
    return right_first(checks)


def fault_of_a_bare_header(datagram: bytes) -> int | None:
    """Believe that a datagram has to carry something."""
    checks = right_checks(datagram)
    checks[1] = len(datagram) > 20
    return right_first(checks)


FIRST_FAULT: dict[str, Callable[..., Any]] = {
    "fields-before-the-sum": fault_of_fields_first,
    "sum-of-20-octets": fault_in_20_octets,
    "padding-refused": fault_of_padding,
    "version-before-the-sum": fault_of_version_first,
    "last-fault-named": fault_that_is_last,
    "length-without-header": fault_of_payload_length,
    "payload-summed-too": fault_in_the_payload,
    "header-length-in-octets": fault_of_length_in_octets,
    "twenty-is-enough": fault_below_20_only,
    "sum-should-be-zero": fault_without_complement,
    "carries-dropped": fault_with_carries_dropped,
    "bare-header-refused": fault_of_a_bare_header,
}


# 6.2 rewrite_frame


def right_datagram(frame: bytes) -> bytes:
    """Return the datagram one hop older, or refuse it."""
    datagram = frame[14 : 14 + right_word(frame, 16)]
    if datagram[8] <= 1:
        raise ValueError("lived too long")
    return right_resummed(datagram[:8] + bytes([datagram[8] - 1]) + datagram[9:])


def right_resummed(datagram: bytes, octets: int = 0) -> bytes:
    """Put the checksum right, summing up the header or so many octets."""
    blank = datagram[:10] + bytes(2) + datagram[12:]
    checksum = right_sum(blank[: octets or 4 * (datagram[0] & 15)]) ^ 0xFFFF
    return datagram[:10] + checksum.to_bytes(2, "big") + datagram[12:]


def right_front(leaves_by: Station, next_hop: Station) -> bytes:
    """Return the Ethernet header for the next link."""
    return next_hop[0] + leaves_by[0] + b"\x08\x00"


def rewrite_end_to_end(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that hardware addresses run from end to end."""
    return frame[:14] + right_datagram(frame)


def rewrite_destination_only(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the sender's hardware address stays in the frame."""
    return next_hop[0] + frame[6:14] + right_datagram(frame)


def rewrite_source_first(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a frame begins with its source."""
    return leaves_by[0] + next_hop[0] + b"\x08\x00" + right_datagram(frame)


def rewrite_as_an_answer(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the two hardware addresses trade places."""
    return frame[6:12] + frame[:6] + frame[12:14] + right_datagram(frame)


def rewrite_to_the_next_hop(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the next hop becomes the destination of the datagram."""
    datagram = right_datagram(frame)
    readdressed = datagram[:16] + next_hop[1] + datagram[20:]
    return right_front(leaves_by, next_hop) + right_resummed(readdressed)


def rewrite_from_the_router(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the router becomes the source of the datagram."""
    datagram = right_datagram(frame)
    readdressed = datagram[:12] + leaves_by[1] + datagram[16:]
    return right_front(leaves_by, next_hop) + right_resummed(readdressed)


def rewrite_with_old_checksum(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum stays as it was."""
    datagram = right_datagram(frame)
    kept = datagram[:10] + frame[24:26] + datagram[12:]
    return right_front(leaves_by, next_hop) + kept


def rewrite_with_falling_checksum(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum falls as the time to live falls."""
    datagram = right_datagram(frame)
    checksum = (right_word(frame, 24) - 0x0100) % 0x10000
    return (
        right_front(leaves_by, next_hop) + datagram[:10] + checksum.to_bytes(2, "big")
    ) + datagram[12:]


def rewrite_with_lost_carry(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a carry out of the checksum is cut off."""
    datagram = right_datagram(frame)
    checksum = (right_word(frame, 24) + 0x0100) & 0xFFFF
    return (
        right_front(leaves_by, next_hop) + datagram[:10] + checksum.to_bytes(2, "big")
    ) + datagram[12:]


def rewrite_the_last_hop_too(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a packet may go on with time to live 0."""
    if frame[22] != 1:
        return right_front(leaves_by, next_hop) + right_datagram(frame)
    datagram = frame[14 : 14 + right_word(frame, 16)]
    aged = right_resummed(datagram[:8] + b"\0" + datagram[9:])
    return right_front(leaves_by, next_hop) + aged


def rewrite_with_padding(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that all octets of a frame belong to the datagram."""
    behind = frame[14 + right_word(frame, 16) :]
    return right_front(leaves_by, next_hop) + right_datagram(frame) + behind


def rewrite_summing_20_octets(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum covers 20 octets."""
    return right_front(leaves_by, next_hop) + right_resummed(right_datagram(frame), 20)


def rewrite_with_field_left_in(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the header is summed again with its old checksum in it."""
    datagram = right_datagram(frame)
    old = datagram[:10] + frame[24:26] + datagram[12:]
    checksum = right_sum(old[: 4 * (old[0] & 15)]) ^ 0xFFFF
    whole = old[:10] + checksum.to_bytes(2, "big") + old[12:]
    return right_front(leaves_by, next_hop) + whole


REWRITE_FRAME: dict[str, Callable[..., Any]] = {
    "checksum-kept": rewrite_with_old_checksum,
    "hardware-addresses-stay": rewrite_end_to_end,
    "padding-goes-along": rewrite_with_padding,
    "next-hop-into-the-datagram": rewrite_to_the_next_hop,
    "sender-s-address-stays": rewrite_destination_only,
    "router-into-the-datagram": rewrite_from_the_router,
    "forwards-the-last-hop": rewrite_the_last_hop_too,
    "checksum-falls-too": rewrite_with_falling_checksum,
    "source-first": rewrite_source_first,
    "addresses-trade-places": rewrite_as_an_answer,
    "carry-lost": rewrite_with_lost_carry,
    "sum-of-20-octets": rewrite_summing_20_octets,
    "old-field-left-in": rewrite_with_field_left_in,
}
