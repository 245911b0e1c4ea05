"""The contracts of unit 01, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_01.misconceptions import (
    building,
    fragments,
    frames,
    options,
    packets,
    tags,
    words,
)

READ_WORD = Contract(
    clauses=(
        Clause("high octet first", "words", words.low_octet_first),
        Clause("that starts at octet `offset`", "words", words.offset_counts_words),
        Clause("the offset may be even or odd", "words", words.odd_offset_refused),
        Clause("as a number from 0 to 65535", "words", words.word_with_a_sign),
        Clause("because the data end too early", "refusals", words.half_a_word_returned),
        Clause("it raises `ValueError`", "refusals", words.another_error_beyond_the_end),
        Clause("because `offset` is negative", "refusals", words.counts_back_from_the_end),
        Clause("when the word is not all inside `data`", "refusals", words.last_word_refused),
    ),
    says_only=(
        "`data` may have any number of octets, even none, and `offset` may be any whole number.",
        'Example: read_word(bytes.fromhex("4500 0015 006f"), 2) returns 21.',
    ),
)

PARSE_FRAME = Contract(
    clauses=(
        Clause("returns a tuple of five", "", frames.list_in_place_of_a_tuple),
        Clause("with colons between", "", frames.no_colons),
        Clause("destination and source as text", "plain frames", frames.source_comes_first),
        Clause("Two lower-case hexadecimal digits", "plain frames", frames.upper_case_digits),
        Clause("stand for each octet of an address", "plain frames", frames.no_leading_zeros),
        Clause(
            "and only there",
            "plain frames",
            frames.tag_sought_in_the_payload,
            also=(
                tags.tag_sought_in_the_header,
                tags.tag_by_its_first_octet,
                tags.tag_by_a_comparison,
            ),
        ),
        Clause("The payload keeps its padding.", "plain frames", frames.padding_cut_off),
        Clause("may be empty", "plain frames", frames.frame_of_14_refused),
        Clause("and may be empty", "tagged frames", frames.frame_of_18_refused),
        Clause("A VLAN id of 0 is an id, not None.", "tagged frames", frames.id_0_is_no_id),
        Clause(
            "The VLAN id is the last 12 bits of the tag.", "tagged frames", frames.whole_tag_as_id
        ),
        Clause(
            "when the frame ends inside its header",
            "refusals",
            frames.short_frames_in_python_s_way,
        ),
        Clause("ValueError when the frame ends", "refusals", frames.cut_tags_not_noticed),
        Clause("is below 0x0600", "refusals", frames.type_without_a_tag_trusted),
        Clause(
            "Nothing else is refused.",
            "refusals",
            frames.first_type_refused,
            also=(tags.last_id_refused,),
        ),
        Clause("(behind the tag, if there is one)", "refusals", frames.type_behind_a_tag_trusted),
    ),
    says_only=(
        "A second tag never follows it.",
        "Frames here may be shorter than a real wire allows.",
        "Return destination, source, VLAN id or None, ether type and payload.",
        'Addresses are text such as "00:00:5e:00:53:01".',
        'Example: bytes.fromhex("00005e005301 00005e005302 0800 61686f79") gives '
        '("00:00:5e:00:53:01", "00:00:5e:00:53:02", None, 0x0800, b"ahoy").',
    ),
)

FRAGMENT_FIELDS = Contract(
    clauses=(
        Clause("returns a tuple of three", "", fragments.list_in_place_of_a_tuple),
        Clause("(True or False)", "", fragments.flag_left_in_place),
        Clause(
            "is the packet not to be fragmented (True or False), do more fragments follow",
            "flags",
            fragments.flags_trade_places,
        ),
        Clause("The reserved bit is ignored", "flags", fragments.reserved_bit_counts_too),
        Clause(
            "in octets, not in the unit of the field",
            "first octet",
            fragments.unit_of_8_only_where_more_follow,
        ),
        Clause("the offset is its last 13 bits", "first octet", fragments.mask_a_bit_short),
    ),
    says_only=(
        "a number from 0 to 65535",
        "counted from 0",
        "`word` holds octets 6 and 7 of an IPv4 header",
        "the flags may be set in any mixture",
        'Return "do not fragment", "more fragments", and the first data octet.',
        "Example: fragment_fields(0x0003) returns (False, False, 24).",
    ),
)

PARSE_PACKET = Contract(
    clauses=(
        Clause("a dict with six keys and no more", "", packets.more_keys),
        Clause('(text such as `"198.51.100.33"`)', "", packets.hexadecimal_addresses),
        Clause("(`bytes`, perhaps empty)", "", packets.octets_as_lists),
        Clause("`source` and `destination`", "fields", packets.destination_comes_first),
        Clause("`protocol` and `time_to_live`", "fields", packets.protocol_comes_first),
        Clause("`options` and `payload`", "options and lengths", packets.options_of_one_word),
        Clause("perhaps empty)", "options and lengths", packets.nothing_behind_options_refused),
        Clause(
            "Options keep their padding.", "options and lengths", packets.options_without_padding
        ),
        Clause(
            "The payload ends where the total length says",
            "options and lengths",
            packets.zeros_taken_for_padding,
        ),
        Clause("whatever lies behind", "options and lengths", packets.padding_kept),
        Clause(
            "that is smaller than the header",
            "options and lengths",
            packets.total_may_end_in_the_header,
        ),
        Clause("for fewer than 20 octets", "refusals", packets.short_data_in_python_s_way),
        Clause("a version other than 4", "refusals", packets.version_not_looked_at),
        Clause("a header length below 5 words", "refusals", packets.header_length_trusted),
        Clause("Raise `ValueError`", "refusals", packets.two_faults_cancel),
        Clause(
            "reaches beyond the octets that came", "refusals", packets.end_of_data_not_looked_at
        ),
        Clause("Nothing else is refused.", "refusals", packets.exactly_20_refused),
    ),
    says_only=(
        "The checksum waits for the next workbook.",
        "Return the fields of an IPv4 packet as a dict.",
        "Keys: source, destination (dotted text), protocol, time_to_live (numbers), options, "
        "payload (bytes).",
        "The payload ends at the total length.",
        "Raises ValueError when version or lengths cannot be right.",
        'Example: parse_packet(packet)["payload"] is b"A" for the packet in the recap.',
    ),
)

LIST_OPTIONS = Contract(
    clauses=(
        Clause(
            "The length of an option counts its type, the length itself and the data.",
            "",
            options.length_counts_data_only,
        ),
        Clause("a tuple of type (a number) and data", "", options.pairs_as_lists),
        Clause("a list of pairs in order", "options", options.types_in_order),
        Clause("also where one type comes twice", "options", options.a_type_only_once),
        Clause("(`bytes`, perhaps empty)", "options", options.empty_options_refused),
        Clause("types 0 and 1 are not listed", "ends and padding", options.fillers_listed),
        Clause(
            "What stands behind type 0 is not looked at",
            "ends and padding",
            options.end_not_noticed,
        ),
        Clause(
            "without a type 0 the list ends with the octets",
            "ends and padding",
            options.last_option_refused,
        ),
        Clause("No octets give an empty list.", "ends and padding", options.no_octets_refused),
        Clause("when a length is missing", "refusals", options.length_always_there),
        Clause("below 2", "refusals", options.short_lengths_stretched),
        Clause("beyond the end", "refusals", options.options_cut_short),
    ),
    says_only=(
        "40 octets at most, perhaps none, whole words or not",
        "Nothing else is refused.",
        "Return type and data of each option",
        'Example: list_options(bytes.fromhex("01 94 04 00 00 00")) returns [(148, b"\\x00\\x00")].',
    ),
)

BUILD_PACKET = Contract(
    clauses=(
        Clause("time to live is 64; the protocol is 17", "", building.time_to_live_255),
        Clause("identification, flags and offset are 0", "", building.never_to_be_cut),
        Clause("Both checksums are 0", "", building.checksum_filled_in),
        Clause("(source, destination", "addresses and ports", building.addresses_trade_places),
        Clause("source_port, destination_port", "addresses and ports", building.ports_trade_places),
        Clause("numbers from 0 to 65535", "addresses and ports", building.port_0_refused),
        Clause(
            "total length and UDP length are worked out", "payloads", building.total_in_one_octet
        ),
        Clause("UDP length", "payloads", building.udp_length_made_even),
        Clause(
            "Options are padded with zeros, the payload is not.",
            "payloads",
            building.zeros_of_payload_dropped,
        ),
        Clause("are `bytes`, perhaps empty", "payloads", building.empty_payload_refused),
        Clause("header length", "options", building.one_word_of_options),
        Clause(
            "at their end with zeros to whole words", "options", building.padding_before_options
        ),
        Clause(
            "Where they are whole words already, nothing is added.",
            "options",
            building.a_word_too_much,
        ),
    ),
    says_only=(
        "All values fit: nothing is refused, and options are taken as they are.",
        "Return an IPv4 packet that carries a UDP datagram, octet by octet.",
        "Addresses are dotted text.",
        "Time to live 64, protocol 17, checksums 0",
        "Example: with an empty payload and no options the packet has 28 octets.",
    ),
)

CLAUSES: Mapping[str, Contract] = {
    "1.1": READ_WORD,
    "1.2": PARSE_FRAME,
    "1.3": FRAGMENT_FIELDS,
    "1.4": PARSE_PACKET,
    "1.5": LIST_OPTIONS,
    "1.6": BUILD_PACKET,
}
