"""The contracts of unit 02, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_02 import broken_clauses as broken
from instructor.units.unit_02.misconceptions import checksums, datagrams, headers, hops, pairs

CORNERS = "corners of the sum"
ALONE = "the header alone"
LONGER = "longer data"

CLAUSES: Mapping[str, Contract] = {
    "2.1": Contract(
        clauses=(
            Clause("Bring every carry above 16 bits back in", "", headers.fold_drops_carries),
            Clause("until 16 bits are left", "more carries", broken.fold_once_if_it_is_two_words),
            Clause(
                "a sum of up to a million 16-bit words: a whole number, 0 or more, below 2**36",
                "more carries",
                headers.fold_twice,
            ),
            Clause("0 or more", "one carry", broken.fold_of_zero),
            Clause(
                "What fits into 16 bits stays as it is",
                "one carry",
                headers.fold_by_bare_remainder,
            ),
            Clause("Returns a whole number from 0 to 0xFFFF", "", broken.fold_to_float),
        ),
        says_only=("Example: fold(0x2DDF0) returns 0xDDF2 (RFC 1071, section 3).",),
    ),
    "2.2": Contract(
        clauses=(
            Clause("Return the checksum", "", checksums.checksum_without_complement),
            Clause("the complement of the folded sum", CORNERS, checksums.checksum_folded_once),
            Clause(
                "the header's length in 32-bit words, 5 to 15",
                ALONE,
                checksums.checksum_of_20_octets,
            ),
            Clause(
                "whatever stands in them counts as zero",
                "old field",
                checksums.checksum_with_old_field,
                also=(checksums.checksum_field_by_value, checksums.checksum_words_like_the_field),
            ),
            Clause(
                "payload, of any length; it does not count",
                ALONE,
                checksums.checksum_over_payload,
            ),
            Clause("a whole number", "", broken.checksum_as_float),
            Clause("0 to 0xFFFF", CORNERS, checksums.checksum_never_zero),
        ),
        says_only=(
            "Octets 10 and 11 are the field",
            "The header is always whole, and its version is 4.",
            "Example: 0xB861 for 4500 0073 0000 4000 4011 0000 c0a8 0001 c0a8 00c7.",
        ),
    ),
    "2.3": Contract(
        clauses=(
            Clause("fold to 0xFFFF", "", headers.intact_without_carries),
            Clause("the checksum field as it stands", "both zeros", headers.intact_if_own_value),
            Clause(
                "the checksum field as it stands among them",
                "both zeros",
                headers.intact_if_field_zero,
            ),
            Clause(
                "the header's length in 32-bit words, 5 to 15", ALONE, headers.intact_in_20_octets
            ),
            Clause("No other field decides", ALONE, headers.intact_if_length_fits),
            Clause("payload, of any length; it does not count", ALONE, headers.intact_over_payload),
            Clause("Returns True or False", "", headers.intact_as_sum),
        ),
        says_only=(
            "Tell whether the IPv4 header at the start of `packet` passes the check.",
            "The header is always whole, and its version is 4.",
            "Example: True for 4500 0073 0000 4000 4011 b861 c0a8 0001 c0a8 00c7.",
        ),
    ),
    "2.4": Contract(
        clauses=(
            Clause("Return the checksum", "", datagrams.udp_without_complement),
            Clause("the complement of the folded sum", CORNERS, datagrams.udp_folded_once),
            Clause("8 to 1,480 octets", "even lengths", datagrams.udp_length_in_one_octet),
            Clause(
                "octets 6 and 7, the checksum field, count as zero",
                "fields",
                datagrams.udp_with_old_field,
                also=(datagrams.udp_field_by_value, datagrams.udp_words_like_the_field),
            ),
            Clause(
                "is the number of octets of `datagram`, whatever octets 4 and 5 say",
                "fields",
                datagrams.udp_length_from_field,
            ),
            Clause(
                "Behind an odd number of octets a zero is summed, but not counted",
                "odd lengths",
                datagrams.udp_padded_in_front,
            ),
            Clause("a whole number", "", broken.udp_as_float),
            Clause("a checksum of 0 is sent as 0xFFFF", CORNERS, datagrams.udp_zero_stays),
        ),
        says_only=(
            '`source` and `destination` are IPv4 addresses such as "203.0.113.1".',
            'Example: from "192.0.2.1" to "198.51.100.2", the datagram 03e8 07d0 000b 0000 6162 63 '
            "has the checksum 0x4386.",
        ),
    ),
    "2.5": Contract(
        clauses=(
            Clause("The time to live (octet 8) is one lower", "", hops.lower_protocol_instead),
            Clause("what a fresh computation would give", CORNERS, hops.lower_by_rfc_1141),
            Clause("options included", "options", hops.lower_in_20_octets),
            Clause(
                "All else stays",
                "ordinary headers",
                broken.lower_clears_the_fragment,
                also=(
                    hops.lower_first_word_like_it,
                    hops.lower_all_words_like_it,
                    hops.lower_all_words_like_the_field,
                    hops.lower_first_word_like_the_field,
                ),
            ),
            Clause("Raises ValueError if", "refusals", hops.lower_refuses_two),
            Clause("comes in as 0", "refusals", hops.lower_from_zero),
            Clause("or 1", "refusals", hops.lower_forwards_last_hop),
        ),
        says_only=(
            "Return an intact IPv4 header as it leaves for the next hop.",
            "it always passes the check",
            "Example: 4011 b861 in the words 4 and 5, counted from 0, becomes 3f11 b961.",
        ),
    ),
    "2.6": Contract(
        clauses=(
            Clause("from 2", "short data", broken.missed_in_two_words_or_more),
            Clause(
                "it may be shorter than a real header, and all its octets count, "
                "whatever octet 0 says",
                "short data",
                broken.missed_as_far_as_octet_0_says,
            ),
            Clause("A pair is two different bits", "", pairs.missed_with_itself),
            Clause("anywhere in it", LONGER, pairs.missed_in_20_octets),
            Clause("what comes out folds to 0xFFFF again", LONGER, pairs.missed_without_folding),
            Clause("is the same pair as flipping b and a", "", pairs.missed_twice),
        ),
        says_only=(
            "Count the pairs of flipped bits that the check of `header` misses.",
            "`header` folds to 0xFFFF.",
            "Example: 16 for ffff 0000.",
        ),
    ),
}
