"""Misconceptions about one hop of a whole frame: exercise 6.2."""

__all__ = ["REWRITE_FRAME"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_06.misconceptions.right_sums import right_sum, right_total, right_word

Station = tuple[bytes, bytes]


def right_old(frame: bytes) -> bytes:
    """Return the datagram as it came, without padding."""
    return frame[14 : 14 + right_word(frame, 16)]


def right_aged(frame: bytes) -> bytes:
    """Return the datagram one hop older, its checksum as it was, or refuse it."""
    datagram = right_old(frame)
    if datagram[8] <= 1:
        raise ValueError("lived too long")
    return datagram[:8] + bytes([datagram[8] - 1]) + datagram[9:]


def right_blank(datagram: bytes, octets: int = 0) -> bytes:
    """Return the header, or so many octets, with zero in the checksum field."""
    whole = datagram[:10] + bytes(2) + datagram[12:]
    return whole[: octets or 4 * (datagram[0] & 15)]


def right_with_field(datagram: bytes, field: int) -> bytes:
    """Put a value into the checksum field."""
    return datagram[:10] + field.to_bytes(2, "big") + datagram[12:]


def right_resummed(datagram: bytes, octets: int = 0) -> bytes:
    """Put the checksum right, summing up the header or so many octets."""
    return right_with_field(datagram, right_sum(right_blank(datagram, octets)) ^ 0xFFFF)


def right_datagram(frame: bytes) -> bytes:
    """Return the datagram one hop older, or refuse it."""
    return right_resummed(right_aged(frame))


def right_front(leaves_by: Station, next_hop: Station) -> bytes:
    """Return the Ethernet header for the next link."""
    return next_hop[0] + leaves_by[0] + b"\x08\x00"


# The two envelopes.


def rewrite_end_to_end(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that hardware addresses run from end to end."""
    return frame[:14] + right_datagram(frame)


def rewrite_destination_only(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the sender's hardware address stays in the frame."""
    return next_hop[0] + frame[6:14] + right_datagram(frame)


def rewrite_to_the_receiver(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a frame goes on to the hardware address for which it came."""
    return frame[:6] + leaves_by[0] + frame[12:14] + right_datagram(frame)


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


# Time to live and checksum.


def rewrite_with_old_time_to_live(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that only the envelope changes."""
    right_aged(frame)
    return right_front(leaves_by, next_hop) + right_old(frame)


def rewrite_with_old_checksum(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum stays as it was."""
    return right_front(leaves_by, next_hop) + right_aged(frame)


def rewrite_with_falling_checksum(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum falls as the time to live falls."""
    field = (right_word(frame, 24) - 0x0100) % 0x10000
    return right_front(leaves_by, next_hop) + right_with_field(right_aged(frame), field)


def rewrite_with_lost_carry(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a carry out of the checksum is cut off."""
    field = (right_word(frame, 24) + 0x0100) & 0xFFFF
    return right_front(leaves_by, next_hop) + right_with_field(right_aged(frame), field)


def rewrite_with_the_other_zero(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that adding to the checksum, carry and all, gives what a computation gives."""
    field = right_word(frame, 24) + 0x0100
    folded = (field & 0xFFFF) + (field >> 16)
    return right_front(leaves_by, next_hop) + right_with_field(right_aged(frame), folded)


def rewrite_folding_once(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that folding once brings all carries back in."""
    datagram = right_aged(frame)
    total = right_total(right_blank(datagram))
    field = ~((total & 0xFFFF) + (total >> 16)) & 0xFFFF
    return right_front(leaves_by, next_hop) + right_with_field(datagram, field)


def rewrite_without_complement(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum is the sum itself."""
    datagram = right_aged(frame)
    field = right_sum(right_blank(datagram))
    return right_front(leaves_by, next_hop) + right_with_field(datagram, field)


def rewrite_with_field_left_in(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the header is summed again with its old checksum in it."""
    old = right_aged(frame)
    field = right_sum(old[: 4 * (old[0] & 15)]) ^ 0xFFFF
    return right_front(leaves_by, next_hop) + right_with_field(old, field)


# What belongs to what.


def rewrite_with_padding(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that all octets of a frame belong to the datagram."""
    behind = frame[14 + right_word(frame, 16) :]
    return right_front(leaves_by, next_hop) + right_datagram(frame) + behind


def rewrite_padded(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a short frame is to be padded to 60 octets."""
    return (right_front(leaves_by, next_hop) + right_datagram(frame)).ljust(60, b"\0")


def rewrite_up_to_the_total(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the total length counts the Ethernet header."""
    whole = right_front(leaves_by, next_hop) + right_datagram(frame)
    return whole[: right_word(frame, 16)]


def rewrite_the_header_alone(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a frame holds the two headers, and nothing else."""
    octets = 4 * (frame[14] & 15)
    return right_front(leaves_by, next_hop) + right_datagram(frame)[:octets]


def rewrite_summing_20_octets(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum covers 20 octets."""
    return right_front(leaves_by, next_hop) + right_resummed(right_datagram(frame), 20)


def rewrite_summing_all(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the checksum covers the data, too."""
    datagram = right_datagram(frame)
    return right_front(leaves_by, next_hop) + right_resummed(datagram, len(datagram))


def rewrite_without_options(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that the header that goes on has 20 octets."""
    datagram = right_datagram(frame)
    octets = 4 * (datagram[0] & 15)
    total = len(datagram) - octets + 20
    bare = b"\x45" + datagram[1:2] + total.to_bytes(2, "big") + datagram[4:20]
    return right_front(leaves_by, next_hop) + right_resummed(bare + datagram[octets:])


def rewrite_unmarked(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that identification, flags and offset are made anew on every hop."""
    datagram = right_datagram(frame)
    unmarked = datagram[:6] + bytes(2) + datagram[8:]
    return right_front(leaves_by, next_hop) + right_resummed(unmarked)


# Refusals.


def rewrite_the_last_hop_too(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a packet may go on with time to live 0."""
    if frame[22] != 1:
        return right_front(leaves_by, next_hop) + right_datagram(frame)
    datagram = right_old(frame)
    aged = right_resummed(datagram[:8] + b"\0" + datagram[9:])
    return right_front(leaves_by, next_hop) + aged


def rewrite_from_0_to_255(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that 0 is followed by 255."""
    if frame[22] != 0:
        return right_front(leaves_by, next_hop) + right_datagram(frame)
    datagram = right_old(frame)
    aged = right_resummed(datagram[:8] + b"\xff" + datagram[9:])
    return right_front(leaves_by, next_hop) + aged


def rewrite_but_the_next_to_last(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that a packet has to leave with more than 1."""
    if frame[22] == 2:
        raise ValueError("lived too long")
    return right_front(leaves_by, next_hop) + right_datagram(frame)


def rewrite_or_nothing(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes | None:
    """Believe that None is as good as a refusal."""
    if frame[22] <= 1:
        return None
    return right_front(leaves_by, next_hop) + right_datagram(frame)


def rewrite_or_another(frame: bytes, leaves_by: Station, next_hop: Station) -> bytes:
    """Believe that any exception will do."""
    if frame[22] <= 1:
        raise Exception("time exceeded")
    return right_front(leaves_by, next_hop) + right_datagram(frame)


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
    "time-to-live-kept": rewrite_with_old_time_to_live,
    "the-other-zero": rewrite_with_the_other_zero,
    "folded-once": rewrite_folding_once,
    "not-inverted": rewrite_without_complement,
    "padded-to-60": rewrite_padded,
    "total-counts-the-frame": rewrite_up_to_the_total,
    "options-dropped": rewrite_without_options,
    "data-left-behind": rewrite_the_header_alone,
    "data-summed-too": rewrite_summing_all,
    "zero-becomes-255": rewrite_from_0_to_255,
    "two-refused": rewrite_but_the_next_to_last,
    "none-for-a-refusal": rewrite_or_nothing,
    "another-exception": rewrite_or_another,
}
