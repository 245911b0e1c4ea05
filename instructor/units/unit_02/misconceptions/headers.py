"""Misconceptions about folding a sum and checking a header: exercises 2.1 and 2.3."""

__all__ = ["FOLD", "IS_HEADER_INTACT"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_02.misconceptions.right_sums import (
    field_out,
    right_fold,
    right_header,
    right_sum,
    right_words,
)

# 2.1 fold


def fold_drops_carries(total: int) -> int:
    """Believe that what is above 16 bits may be cut off."""
    return total & 0xFFFF


def fold_once(total: int) -> int:
    """Believe that folding cannot itself carry."""
    return (total & 0xFFFF) + (total >> 16)


def fold_once_then_cut(total: int) -> int:
    """Believe that a carry out of the fold may be cut off."""
    return ((total & 0xFFFF) + (total >> 16)) & 0xFFFF


def fold_twice(total: int) -> int:
    """Believe that two folds are enough for any total."""
    total = (total & 0xFFFF) + (total >> 16)
    return (total & 0xFFFF) + (total >> 16)


def fold_by_bare_remainder(total: int) -> int:
    """Believe that the remainder tells all ones from zero."""
    return total % 0xFFFF


def fold_at_8_bits(total: int) -> int:
    """Believe that a carry leaves an octet."""
    while total > 0xFF:
        total = (total & 0xFF) + (total >> 8)
    return total


def fold_adds_one(total: int) -> int:
    """Believe that there is at most one carry to bring back."""
    while total > 0xFFFF:
        total = (total & 0xFFFF) + 1
    return total


def fold_and_complement(total: int) -> int:
    """Believe that the sum is complemented as it is folded."""
    return right_fold(total) ^ 0xFFFF


def fold_keeps_0x10000(total: int) -> int:
    """Believe that 0x10000 still fits, since it is no more than 2**16."""
    while total > 0x10000:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def fold_with_one_digit(total: int) -> int:
    """Believe that the carry is one hexadecimal digit."""
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16 & 0xF)
    return total


def fold_takes_carry_away(total: int) -> int:
    """Believe that the carry is taken away from what is left."""
    while total > 0xFFFF:
        total = (total & 0xFFFF) - (total >> 16)
    return total


def fold_keeps_carry_alone(total: int) -> int:
    """Believe that the carry itself is what is left."""
    return total if total <= 0xFFFF else total >> 16


def fold_keeps_first_digits(total: int) -> int:
    """Believe that the first 16 bits are kept."""
    while total > 0xFFFF:
        total >>= 4
    return total


def fold_at_15_bits(total: int) -> int:
    """Believe that a carry begins with bit 15."""
    while total > 0x7FFF:
        total = (total & 0x7FFF) + (total >> 15)
    return total


def fold_by_slash(total: int) -> float:
    """Believe that / gives the carry."""
    left: float = total
    while left > 0xFFFF:
        left = left % 0x10000 + left / 0x10000
    return left


def fold_to_text(total: int) -> str:
    """Believe that a number in hexadecimal is what `hex` gives."""
    return hex(right_fold(total))


FOLD: dict[str, Callable[..., Any]] = {
    "carries-dropped": fold_drops_carries,
    "folds-once": fold_once,
    "folds-once-then-cuts": fold_once_then_cut,
    "folds-twice": fold_twice,
    "remainder-makes-all-ones-zero": fold_by_bare_remainder,
    "folds-at-8-bits": fold_at_8_bits,
    "one-for-all-carries": fold_adds_one,
    "complements-at-once": fold_and_complement,
    "0x10000-stays": fold_keeps_0x10000,
    "one-digit-of-carry": fold_with_one_digit,
    "carry-taken-away": fold_takes_carry_away,
    "carry-alone": fold_keeps_carry_alone,
    "first-digits-kept": fold_keeps_first_digits,
    "folds-at-15-bits": fold_at_15_bits,
    "slash-for-double-slash": fold_by_slash,
    "text-for-a-number": fold_to_text,
}


# 2.3 is_header_intact


def intact_turned_round(packet: bytes) -> bool:
    """Answer whether the header is damaged."""
    return right_sum(right_header(packet)) != 0xFFFF


def intact_if_own_value(packet: bytes) -> bool:
    """Believe that the field must hold the very value that one computes."""
    header = right_header(packet)
    return right_sum(field_out(header)) ^ 0xFFFF == int.from_bytes(header[10:12], "big")


def intact_over_payload(packet: bytes) -> bool:
    """Believe that the payload is checked too."""
    return right_sum(packet) == 0xFFFF


def intact_in_20_octets(packet: bytes) -> bool:
    """Believe that every header has 20 octets."""
    return right_sum(packet[:20]) == 0xFFFF


def intact_without_carries(packet: bytes) -> bool:
    """Believe that carries may be cut off."""
    return sum(right_words(right_header(packet))) & 0xFFFF == 0xFFFF


def intact_if_field_zero(packet: bytes) -> bool:
    """Believe that zero in the field switches the check off, as in UDP."""
    return packet[10:12] == b"\x00\x00" or right_sum(right_header(packet)) == 0xFFFF


def intact_without_field(packet: bytes) -> bool:
    """Believe that the field counts as zero in the check as well."""
    return right_sum(field_out(right_header(packet))) == 0xFFFF


def intact_unless_field_zero(packet: bytes) -> bool:
    """Believe that a field of zero cannot be right."""
    return packet[10:12] != b"\x00\x00" and right_sum(right_header(packet)) == 0xFFFF


def intact_without_options(packet: bytes) -> bool:
    """Believe that a longer header than 20 octets is a damaged one."""
    return packet[0] & 0x0F == 5 and right_sum(right_header(packet)) == 0xFFFF


def intact_if_length_fits(packet: bytes) -> bool:
    """Believe that the total length is part of the check."""
    fits = int.from_bytes(packet[2:4], "big") == len(packet)
    return fits and right_sum(right_header(packet)) == 0xFFFF


def intact_if_it_may_live(packet: bytes) -> bool:
    """Believe that the time to live is part of the check."""
    return packet[8] > 1 and right_sum(right_header(packet)) == 0xFFFF


def intact_or_raises(packet: bytes) -> bool:
    """Believe that a damaged header is answered with an exception."""
    if right_sum(right_header(packet)) != 0xFFFF:
        raise Exception("damaged")  # of whatever kind
    return True


def intact_or_none(packet: bytes) -> bool | None:
    """Believe that no answer is the same as False."""
    if right_sum(right_header(packet)) == 0xFFFF:
        return True
    return None


def intact_as_sum(packet: bytes) -> int:
    """Believe that the sum is the answer."""
    return right_sum(right_header(packet))


IS_HEADER_INTACT: dict[str, Callable[..., Any]] = {
    "turned-round": intact_turned_round,
    "compares-with-own-value": intact_if_own_value,
    "covers-the-payload": intact_over_payload,
    "always-20-octets": intact_in_20_octets,
    "carries-dropped": intact_without_carries,
    "zero-means-unchecked": intact_if_field_zero,
    "field-left-out": intact_without_field,
    "field-of-zero-refused": intact_unless_field_zero,
    "options-refused": intact_without_options,
    "total-length-checked": intact_if_length_fits,
    "time-to-live-checked": intact_if_it_may_live,
    "raises-for-false": intact_or_raises,
    "none-for-false": intact_or_none,
    "sum-for-a-verdict": intact_as_sum,
}
