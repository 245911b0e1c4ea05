"""Misconceptions about the next hop: exercise 2.5.

The rule of RFC 1141 is a published mistake: RFC 1624 corrects it.
"""

__all__ = ["LOWER_TIME_TO_LIVE"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_02.misconceptions.right_sums import right_fold, right_sum, right_words


def with_words(header: bytes, word: int, checksum: int) -> bytes:
    """Put a new word 4 and a new checksum into a header."""
    return header[:8] + word.to_bytes(2, "big") + checksum.to_bytes(2, "big") + header[12:]


def lower_keeps_checksum(header: bytes) -> bytes:
    """Believe that only the time to live changes."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    return header[:8] + bytes([header[8] - 1]) + header[9:]


def lower_subtracts_from_checksum(header: bytes) -> bytes:
    """Believe that the checksum falls as the word falls."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    return with_words(header, words[4] - 0x0100, (words[5] - 0x0100) & 0xFFFF)


def lower_by_rfc_1141(header: bytes) -> bytes:
    """Believe that HC + m + ~m' is enough (RFC 1141; RFC 1624, section 4, shows where not)."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = words[4] - 0x0100
    return with_words(header, new, right_fold(words[5] + words[4] + (new ^ 0xFFFF)))


def lower_forwards_last_hop(header: bytes) -> bytes:
    """Believe that a packet may go on while its time to live is 1 or more."""
    if header[8] < 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = words[4] - 0x0100
    total = right_fold((words[5] ^ 0xFFFF) + (words[4] ^ 0xFFFF) + new)
    return with_words(header, new, total ^ 0xFFFF)


def lower_refuses_two(header: bytes) -> bytes:
    """Believe that one hop must be left after this one."""
    if header[8] - 1 <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = words[4] - 0x0100
    total = right_fold((words[5] ^ 0xFFFF) + (words[4] ^ 0xFFFF) + new)
    return with_words(header, new, total ^ 0xFFFF)


def lower_loses_carry(header: bytes) -> bytes:
    """Believe that a carry out of the new checksum may be cut off."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    return with_words(header, words[4] - 0x0100, (words[5] + 0x0100) & 0xFFFF)


def lower_protocol_instead(header: bytes) -> bytes:
    """Believe that the time to live stands in octet 9."""
    if header[9] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = words[4] - 1
    total = right_fold((words[5] ^ 0xFFFF) + (words[4] ^ 0xFFFF) + new)
    return with_words(header, new, total ^ 0xFFFF)


def lower_with_old_field(header: bytes) -> bytes:
    """Believe that the whole may be summed again with the old checksum in its place."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    new = right_words(header)[4] - 0x0100
    changed = header[:8] + new.to_bytes(2, "big") + header[10:]
    return with_words(header, new, right_sum(changed) ^ 0xFFFF)


def lower_without_room_for_a_carry(header: bytes) -> bytes:
    """Believe that 0x0100 more always fits into 16 bits."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    if words[5] + 0x0100 > 0xFFFF:
        raise Exception("no room for a carry")  # of which kind depends on how it is written
    return with_words(header, words[4] - 0x0100, words[5] + 0x0100)


def lower_by_one_in_the_sum(header: bytes) -> bytes:
    """Believe that the time to live is the low half of its word."""
    refuse_the_last_hop(header)
    words = right_words(header)
    return with_words(header, words[4] - 0x0100, right_fold(words[5] + 1) % 0xFFFF)


def lower_from_zero(header: bytes) -> bytes:
    """Believe that only a time to live of 1 must be looked for."""
    if header[8] == 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = (words[4] - 0x0100) & 0xFFFF
    total = right_fold((words[5] ^ 0xFFFF) + (words[4] ^ 0xFFFF) + new)
    return with_words(header, new, total ^ 0xFFFF)


def lower_or_none(header: bytes) -> bytes | None:
    """Believe that to refuse is to return nothing."""
    return None if header[8] <= 1 else right_lower(header)


def lower_or_empty(header: bytes) -> bytes:
    """Believe that to refuse is to return no octets."""
    return b"" if header[8] <= 1 else right_lower(header)


def lower_without_options(header: bytes) -> bytes:
    """Believe that a header of more than 20 octets is none."""
    if len(header) > 20:
        raise ValueError("no options, please")
    return right_lower(header)


def lower_or_as_it_was(header: bytes) -> bytes:
    """Believe that to refuse is to change nothing."""
    return header if header[8] <= 1 else right_lower(header)


def lower_or_other_exception(header: bytes) -> bytes:
    """Believe that any kind of exception will do."""
    if header[8] <= 1:
        raise Exception("time exceeded")
    return right_lower(header)


def lower_in_20_octets(header: bytes) -> bytes:
    """Believe that the sum of every header is one of 20 octets."""
    refuse_the_last_hop(header)
    new = right_words(header)[4] - 0x0100
    changed = with_words(header, new, 0)
    return with_words(header, new, right_sum(changed[:20]) ^ 0xFFFF)


def lower_drops_options(header: bytes) -> bytes:
    """Believe that 20 octets go on."""
    return right_lower(header)[:20]


def lower_after_summing(header: bytes) -> bytes:
    """Believe that the checksum may be worked out before the time to live is lowered."""
    refuse_the_last_hop(header)
    words = right_words(header)
    fresh = right_sum(with_words(header, words[4], 0)) ^ 0xFFFF
    return with_words(header, words[4] - 0x0100, fresh)


def lower_without_complement(header: bytes) -> bytes:
    """Believe that the sum itself goes into the field."""
    refuse_the_last_hop(header)
    new = right_words(header)[4] - 0x0100
    return with_words(header, new, right_sum(with_words(header, new, 0)))


def lower_drops_carries(header: bytes) -> bytes:
    """Believe that carries of the new sum may be cut off."""
    refuse_the_last_hop(header)
    new = right_words(header)[4] - 0x0100
    total = sum(right_words(with_words(header, new, 0)))
    return with_words(header, new, total & 0xFFFF ^ 0xFFFF)


def lower_first_word_like_it(header: bytes) -> bytes:
    """Believe that the word of the time to live is found by what stands in it."""
    lowered = right_lower(header)
    changed = header.replace(header[8:10], lowered[8:10], 1)
    return changed[:10] + lowered[10:12] + changed[12:]


def lower_all_words_like_it(header: bytes) -> bytes:
    """Change every word that is equal to that of the time to live."""
    lowered = right_lower(header)
    changed = header.replace(header[8:10], lowered[8:10])
    return changed[:10] + lowered[10:12] + changed[12:]


def lower_all_words_like_the_field(header: bytes) -> bytes:
    """Believe that the checksum is found by what stands in it."""
    lowered = right_lower(header)
    return (lowered[:10] + header[10:]).replace(header[10:12], lowered[10:12])


def lower_first_word_like_the_field(header: bytes) -> bytes:
    """Change the first word that is equal to the checksum."""
    lowered = right_lower(header)
    return (lowered[:10] + header[10:]).replace(header[10:12], lowered[10:12], 1)


def lower_to_numbers(header: bytes) -> list[int]:
    """Believe that a list of numbers is as good as octets."""
    return list(right_lower(header))


def refuse_the_last_hop(header: bytes) -> None:
    """Refuse a header whose time is up."""
    if header[8] <= 1:
        raise ValueError("time exceeded")


def right_lower(header: bytes) -> bytes:
    """Lower the time to live as asked."""
    refuse_the_last_hop(header)
    words = right_words(header)
    new = words[4] - 0x0100
    total = right_fold((words[5] ^ 0xFFFF) + (words[4] ^ 0xFFFF) + new)
    return with_words(header, new, total ^ 0xFFFF)


LOWER_TIME_TO_LIVE: dict[str, Callable[..., Any]] = {
    "checksum-kept": lower_keeps_checksum,
    "checksum-falls-too": lower_subtracts_from_checksum,
    "all-ones-for-zero": lower_by_rfc_1141,
    "forwards-the-last-hop": lower_forwards_last_hop,
    "refuses-two": lower_refuses_two,
    "carry-lost": lower_loses_carry,
    "protocol-lowered": lower_protocol_instead,
    "old-field-left-in": lower_with_old_field,
    "carry-does-not-fit": lower_without_room_for_a_carry,
    "one-in-the-sum": lower_by_one_in_the_sum,
    "zero-goes-on": lower_from_zero,
    "none-for-refusing": lower_or_none,
    "empty-for-refusing": lower_or_empty,
    "options-refused": lower_without_options,
    "as-it-was-for-refusing": lower_or_as_it_was,
    "another-exception": lower_or_other_exception,
    "always-20-octets": lower_in_20_octets,
    "options-dropped": lower_drops_options,
    "summed-too-early": lower_after_summing,
    "no-complement": lower_without_complement,
    "carries-dropped": lower_drops_carries,
    "word-found-by-value": lower_first_word_like_it,
    "field-found-by-value": lower_all_words_like_the_field,
    "numbers-for-octets": lower_to_numbers,
}
