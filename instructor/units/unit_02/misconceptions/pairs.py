"""Misconceptions about pairs of flips that cancel: exercise 2.6."""

__all__ = ["MISSED_PAIRS"]

import itertools
import math
from collections.abc import Callable, Iterable
from typing import Any

from instructor.units.unit_02.misconceptions.right_sums import right_sum, right_words

LENGTH = range(4, 8)  # the low half of octet 0, in bits counted from the first on the wire


def missed_twice(header: bytes) -> int:
    """Believe that "first and second" and "second and first" are two pairs."""
    return 2 * missed_in_columns(header)


def missed_in_columns(header: bytes) -> int:
    """Count one 0 and one 1 in the same column."""
    words = right_words(header)
    ones = [sum(word >> column & 1 for word in words) for column in range(16)]
    return sum(count * (len(words) - count) for count in ones)


def missed_whatever_the_bits(header: bytes) -> int:
    """Believe that any two flips in one column cancel."""
    return 16 * math.comb(len(header) // 2, 2)


def missed_equal_bits(header: bytes) -> int:
    """Believe that two flips cancel if the bits are equal."""
    return 16 * math.comb(len(header) // 2, 2) - missed_in_columns(header)


def missed_in_neighbours(header: bytes) -> int:
    """Believe that only words next to each other can hide an error."""
    words = right_words(header)
    return sum((one ^ other).bit_count() for one, other in itertools.pairwise(words))


def missed_in_any_column(header: bytes) -> int:
    """Believe that a 0 and a 1 cancel wherever they stand."""
    ones = int.from_bytes(header, "big").bit_count()
    return ones * (8 * len(header) - ones)


def missed_in_octets(header: bytes) -> int:
    """Believe that the columns are those of octets."""
    ones = [sum(octet >> column & 1 for octet in header) for column in range(8)]
    return sum(count * (len(header) - count) for count in ones)


def missed_with_itself(header: bytes) -> int:
    """Believe that a bit makes a pair with itself."""
    return missed_in_columns(header) + 8 * len(header)


def missed_one_in_32(header: bytes) -> int:
    """Believe that the share for long random data holds for every header."""
    return math.comb(8 * len(header), 2) // 32


def missed_without_last_word(header: bytes) -> int:
    """Believe that a range reaches its end."""
    return missed_in_columns(header[:-2])


def missed_without_top_column(header: bytes) -> int:
    """Believe that 15 columns are all there are."""
    words = right_words(header)
    ones = [sum(word >> column & 1 for word in words) for column in range(15)]
    return sum(count * (len(words) - count) for count in ones)


def missed_in_20_octets(header: bytes) -> int:
    """Believe that ten words are all there are."""
    return missed_in_columns(header[:20])


def missed_without_field(header: bytes) -> int:
    """Believe that flips in the checksum field are no damage."""
    return missed_in_columns(header[:10] + header[12:])


def missed_or_too_short(header: bytes) -> int:
    """Believe that fewer than 20 octets are not to be counted."""
    if len(header) < 20:
        raise ValueError("no header")
    return missed_in_columns(header)


def missed_as_share(header: bytes) -> float:
    """Believe that the share is asked for."""
    return missed_in_columns(header) / math.comb(8 * len(header), 2)


def missed_turned_round(header: bytes) -> int:
    """Count the pairs that are noticed."""
    return math.comb(8 * len(header), 2) - missed_in_columns(header)


def missed_each_bit_once(header: bytes) -> int:
    """Believe that a bit is used up by its first partner."""
    words = right_words(header)
    ones = [sum(word >> column & 1 for word in words) for column in range(16)]
    return sum(min(count, len(words) - count) for count in ones)


def missed_by_own_value(header: bytes) -> int:
    """Believe that a checksum is computed and compared with the field, which is never 0xFFFF."""
    field = header[10:12]
    if len(header) < 12:
        return missed_in_columns(header)
    rest = header[:10] + header[12:]
    outside = missed_in_columns(rest) if field != b"\xff\xff" else 0
    zeros = format(int.from_bytes(field, "big") ^ 0xFFFF, "b").count("1")
    inside = 0
    for column in range(16):
        ones = sum(word >> column & 1 for word in right_words(rest))
        if not right_words(field)[0] >> column & 1:
            inside += ones if zeros > 1 else 0  # the last 0 of the field would make it 0xFFFF
        else:
            inside += len(rest) // 2 - ones
    return outside + inside


def missed_without_folding(header: bytes) -> int:
    """Believe that the sum must be 0xFFFF before it is folded."""
    return missed_in_columns(header) if sum(right_words(header)) == 0xFFFF else 0


def missed_with_length_read_anew(header: bytes) -> int:
    """Believe that the damaged header still says how long it is."""
    number, bits = int.from_bytes(header, "big"), 8 * len(header)
    places, missed = range(bits), 0
    tried: Iterable[tuple[int, int]] = itertools.combinations(places, 2)
    if len(header) >= 20:  # where the length stays, the columns say it faster
        missed = missed_without_length(header)
        others = (place for place in places if place not in LENGTH)
        tried = itertools.chain(
            itertools.combinations(LENGTH, 2), itertools.product(LENGTH, others)
        )
    for one, other in tried:
        changed = number ^ 1 << bits - 1 - one ^ 1 << bits - 1 - other
        missed += passes_by_its_length(changed, len(header))
    return missed


def missed_without_length(header: bytes) -> int:
    """Count the missed pairs of a real header that leave the low half of octet 0 alone."""
    words = right_words(header)
    missed = missed_in_columns(header)
    for column in range(8, 12):
        ones = sum(word >> column & 1 for word in words[1:])
        missed -= len(words) - 1 - ones if words[0] >> column & 1 else ones
    return missed


def passes_by_its_length(number: int, octets: int) -> bool:
    """Check data as far as the low half of octet 0 says."""
    data = number.to_bytes(octets, "big")
    return right_sum(data[: 4 * (data[0] & 0x0F)]) == 0xFFFF


MISSED_PAIRS: dict[str, Callable[..., Any]] = {
    "each-pair-twice": missed_twice,
    "whatever-the-bits": missed_whatever_the_bits,
    "equal-bits-cancel": missed_equal_bits,
    "neighbouring-words-only": missed_in_neighbours,
    "any-column": missed_in_any_column,
    "columns-of-octets": missed_in_octets,
    "a-bit-with-itself": missed_with_itself,
    "one-in-32": missed_one_in_32,
    "last-word-left-out": missed_without_last_word,
    "top-column-left-out": missed_without_top_column,
    "first-ten-words-only": missed_in_20_octets,
    "field-left-out": missed_without_field,
    "short-data-refused": missed_or_too_short,
    "share-for-a-count": missed_as_share,
    "noticed-for-missed": missed_turned_round,
    "each-bit-once": missed_each_bit_once,
    "compares-with-own-value": missed_by_own_value,
    "sum-not-folded": missed_without_folding,
    "length-read-anew": missed_with_length_read_anew,
}
