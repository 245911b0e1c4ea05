"""Misconceptions about the checks of a header: exercise 6.1."""

__all__ = ["FIRST_FAULT"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_06.misconceptions.right_sums import right_sum, right_total, right_word


def right_octets(datagram: bytes) -> int:
    """Return the header's length in octets, as the header says."""
    return 4 * (datagram[0] & 15) if datagram else 0


def right_header(datagram: bytes) -> bytes:
    """Return what came of the header."""
    return datagram[: right_octets(datagram)]


def right_checks(datagram: bytes) -> dict[int, bool]:
    """Return all checks by number: True where the datagram passes."""
    octets, total = right_octets(datagram), right_word(datagram, 2)
    return {
        1: len(datagram) >= 20,
        2: right_sum(right_header(datagram)) == 0xFFFF,
        3: bool(datagram) and datagram[0] >> 4 == 4,
        4: octets >= 20,
        5: total >= octets,
        6: total <= len(datagram),
    }


def right_first(checks: dict[int, bool], order: str = "123456") -> int | None:
    """Return the first check that fails, in an order."""
    return next((int(number) for number in order if not checks[int(number)]), None)


def fault_with(datagram: bytes, number: int, passes: bool) -> int | None:
    """Return the first fault where one check has another result."""
    return right_first(right_checks(datagram) | {number: passes})


# The order of the checks.


def fault_of_fields_first(datagram: bytes) -> int | None:
    """Believe that the fields are looked at before the sum."""
    return right_first(right_checks(datagram), "134562")


def fault_of_version_first(datagram: bytes) -> int | None:
    """Believe that the version comes before everything that depends on it."""
    return right_first(right_checks(datagram), "132456")


def fault_of_length_before_version(datagram: bytes) -> int | None:
    """Believe that the header's length is looked at before the version."""
    return right_first(right_checks(datagram), "124356")


def fault_of_total_before_header(datagram: bytes) -> int | None:
    """Believe that the total length is compared before the header's length is."""
    return right_first(right_checks(datagram), "123546")


def fault_of_cut_before_total(datagram: bytes) -> int | None:
    """Believe that what came is compared before the two lengths are."""
    return right_first(right_checks(datagram), "123465")


def fault_of_sum_before_size(datagram: bytes) -> int | None:
    """Believe that the sum is looked at before it is known how much came."""
    return right_first(right_checks(datagram), "213456")


def fault_that_is_last(datagram: bytes) -> int | None:
    """Believe that a later fault replaces an earlier one."""
    checks = right_checks(datagram)
    return 1 if not checks[1] else right_first(checks, "65432")


# Checks left out.


def fault_in_any_size(datagram: bytes) -> int | None:
    """Believe that 20 octets always come."""
    first = datagram[0]  # where nothing came, Python refuses
    return right_first(right_checks(bytes([first]) + datagram[1:]), "23456")


def fault_but_in_the_sum(datagram: bytes) -> int | None:
    """Believe that the sum is a matter of the sender and the destination."""
    return right_first(right_checks(datagram), "13456")


def fault_in_any_version(datagram: bytes) -> int | None:
    """Believe that only version 4 arrives."""
    return right_first(right_checks(datagram), "12456")


def fault_in_any_header(datagram: bytes) -> int | None:
    """Believe that no header says that it is shorter than 5 words."""
    return right_first(right_checks(datagram), "12356")


def fault_in_any_total(datagram: bytes) -> int | None:
    """Believe that the total length always covers the header."""
    return right_first(right_checks(datagram), "12346")


def fault_when_cut(datagram: bytes) -> int | None:
    """Believe that what is sent arrives whole."""
    return right_first(right_checks(datagram), "12345")


# The sum.


def fault_in_20_octets(datagram: bytes) -> int | None:
    """Believe that the sum covers 20 octets, whatever the header length says."""
    return fault_with(datagram, 2, right_sum(datagram[:20]) == 0xFFFF)


def fault_in_the_payload(datagram: bytes) -> int | None:
    """Believe that the sum covers everything that came."""
    return fault_with(datagram, 2, right_sum(datagram) == 0xFFFF)


def fault_without_complement(datagram: bytes) -> int | None:
    """Believe that an intact header sums up to zero."""
    return fault_with(datagram, 2, right_sum(right_header(datagram)) == 0)


def fault_where_intact(datagram: bytes) -> int | None:
    """Believe that 0xFFFF is the sign of a damaged header."""
    return fault_with(datagram, 2, right_sum(right_header(datagram)) != 0xFFFF)


def fault_of_nothing(datagram: bytes) -> int | None:
    """Believe that a sum of zero is as good as one of 0xFFFF."""
    return fault_with(datagram, 2, right_total(right_header(datagram)) % 0xFFFF == 0)


def fault_with_carries_dropped(datagram: bytes) -> int | None:
    """Believe that carries may be cut off."""
    return fault_with(datagram, 2, right_total(right_header(datagram)) & 0xFFFF == 0xFFFF)


def fault_by_comparing(datagram: bytes) -> int | None:
    """Believe that a header is intact only if its field is what a sender would write."""
    header = right_header(datagram)
    anew = right_sum(header[:10] + bytes(2) + header[12:]) ^ 0xFFFF
    return fault_with(datagram, 2, bool(header) and anew == right_word(datagram, 10))


def fault_in_a_cut_header(datagram: bytes) -> int | None:
    """Believe that a header that did not come whole has a wrong sum."""
    checks = right_checks(datagram)
    return right_first(checks | {2: checks[2] and right_octets(datagram) <= len(datagram)})


# Version and header length.


def fault_of_version_6(datagram: bytes) -> int | None:
    """Believe that a router for version 4 also takes version 6."""
    return fault_with(datagram, 3, bool(datagram) and datagram[0] >> 4 in (4, 6))


def fault_of_4_words(datagram: bytes) -> int | None:
    """Believe that 4 words are enough."""
    return fault_with(datagram, 4, right_octets(datagram) >= 16)


def fault_of_length_in_octets(datagram: bytes) -> int | None:
    """Believe that the header length is compared as octets."""
    return fault_with(datagram, 4, bool(datagram) and datagram[0] & 15 >= 20)


def fault_of_5_words(datagram: bytes) -> int | None:
    """Believe that a header has to be longer than 5 words."""
    return fault_with(datagram, 4, right_octets(datagram) > 20)


def fault_of_options(datagram: bytes) -> int | None:
    """Believe that a header has 5 words, no more and no fewer."""
    return fault_with(datagram, 4, right_octets(datagram) == 20)


# What came, and the total length.


def fault_of_a_bare_header(datagram: bytes) -> int | None:
    """Believe that a datagram has to carry something."""
    return fault_with(datagram, 1, len(datagram) > 20)


def fault_of_padding(datagram: bytes) -> int | None:
    """Believe that the total length is exactly what came."""
    return fault_with(datagram, 6, right_word(datagram, 2) == len(datagram))


def fault_one_octet_short(datagram: bytes) -> int | None:
    """Believe that one octet may be missing, since counting begins with 0."""
    return fault_with(datagram, 6, right_word(datagram, 2) <= len(datagram) + 1)


def fault_of_payload_length(datagram: bytes) -> int | None:
    """Believe that the total length leaves the header out."""
    octets, total = right_octets(datagram), right_word(datagram, 2)
    return fault_with(datagram, 6, total + octets <= len(datagram))


def fault_below_20_only(datagram: bytes) -> int | None:
    """Believe that 20 is enough for a total length, options or not."""
    return fault_with(datagram, 5, right_word(datagram, 2) >= 20)


def fault_of_no_payload(datagram: bytes) -> int | None:
    """Believe that the total length has to be greater than that of the header."""
    return fault_with(datagram, 5, right_word(datagram, 2) > right_octets(datagram))


def fault_with_half_words_low(datagram: bytes) -> int | None:
    """Believe that the last octet of an odd number stands in the low half of its word."""
    header = right_header(datagram)
    filled = header[:-1] + b"\0" + header[-1:] if len(header) % 2 == 1 else header
    return fault_with(datagram, 2, right_sum(filled) == 0xFFFF)


def fault_of_turned_total(datagram: bytes) -> int | None:
    """Believe that the low octet of the total length comes first."""
    total = int.from_bytes(datagram[2:4], "little")
    changed = {5: total >= right_octets(datagram), 6: total <= len(datagram)}
    return right_first(right_checks(datagram) | changed)


def fault_of_words_in_total(datagram: bytes) -> int | None:
    """Believe that the total length is compared with the number of words."""
    return fault_with(datagram, 5, right_word(datagram, 2) >= right_octets(datagram) // 4)


def fault_as_zero(datagram: bytes) -> int:
    """Believe that 0 says that nothing is wrong."""
    return right_first(right_checks(datagram)) or 0


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
    "size-not-looked-at": fault_in_any_size,
    "sum-not-looked-at": fault_but_in_the_sum,
    "version-not-looked-at": fault_in_any_version,
    "header-length-not-looked-at": fault_in_any_header,
    "total-length-not-looked-at": fault_in_any_total,
    "cut-not-noticed": fault_when_cut,
    "five-words-refused": fault_of_5_words,
    "options-refused": fault_of_options,
    "payload-wanted": fault_of_no_payload,
    "zero-is-intact": fault_of_nothing,
    "field-compared": fault_by_comparing,
    "cut-header-is-damaged": fault_in_a_cut_header,
    "zero-for-none": fault_as_zero,
    "sum-before-the-size": fault_of_sum_before_size,
    "end-before-total-length": fault_of_cut_before_total,
    "header-length-before-version": fault_of_length_before_version,
    "total-length-turned-round": fault_of_turned_total,
    "last-octet-low": fault_with_half_words_low,
    "words-against-octets": fault_of_words_in_total,
}
