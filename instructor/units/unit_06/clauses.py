"""The contracts of unit 06, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_06.misconceptions import (
    droppers,
    faults,
    faulty_stages,
    frames,
    frames_by_value,
    paths,
    rules,
    stages,
)

SUM, HEAD, LENGTHS = "the sum", "version and header length", "lengths"
ENVELOPE, LIFE, BELONGS, REFUSALS = (
    "addresses", "time to live and checksum", "options and padding", "refusals",
)  # fmt: skip

FIRST_FAULT = Contract(
    clauses=(
        Clause("or None if all are passed", "", faults.fault_as_zero),
        Clause("1: at least 20 octets came", LENGTHS, faults.fault_of_a_bare_header),
        Clause("any number of octets, even none", LENGTHS, faults.fault_in_any_size),
        Clause("2: the 16-bit words of the header fold to 0xFFFF", "", faults.fault_where_intact),
        Clause("2 for bytes(24): no words at all fold to 0", SUM, faults.fault_of_nothing),
        Clause("the 16-bit words of the header fold", SUM, faults.fault_in_the_payload),
        Clause("fold to 0xFFFF", SUM, faults.fault_by_comparing),
        Clause("says how long the header is", SUM, faults.fault_in_20_octets),
        Clause("what is missing counts as zero", SUM, faults.fault_with_half_words_low),
        Clause("what is missing counts as zero", LENGTHS, faults.fault_in_a_cut_header),
        Clause("3: the version, the high half of octet 0, is 4", HEAD, faults.fault_of_version_6),
        Clause("4: the header's length is 5 words or more", HEAD, faults.fault_of_4_words),
        Clause("5: the total length, octets 2 and 3, is at least the header's length in octets",
               LENGTHS, faults.fault_of_no_payload),
        Clause("6: at least as many octets came", LENGTHS, faults.fault_of_padding),
        Clause("as the total length says", LENGTHS, faults.fault_one_octet_short),
        Clause("in this order", SUM, faults.fault_of_version_first),
        Clause("in this order", HEAD, faults.fault_of_length_before_version),
        Clause("in this order", HEAD, faults.fault_of_total_before_header),
    ),
    says_only=(
        "`datagram` is what came behind the Ethernet header:",
        "(1 to 5 as in RFC 1812, section 5.2.2; 6 is the one it adds):",
        'Example: 1 for b"".',
    ),
)  # fmt: skip

REWRITE_FRAME = Contract(
    clauses=(
        Clause("goes to the hardware address of the next hop", ENVELOPE,
               frames.rewrite_to_the_receiver),
        Clause("comes from that of the interface", ENVELOPE, frames.rewrite_destination_only,
               also=(frames_by_value.rewrite_addresses_by_value,)),
        Clause("The time to live is one lower", "", frames.rewrite_with_old_time_to_live),
        Clause("what a fresh computation would give", "", frames.rewrite_with_old_checksum),
        Clause("never 0xFFFF", LIFE, frames.rewrite_with_the_other_zero),
        Clause("a fresh computation", LIFE, frames.rewrite_folding_once),
        Clause("a fresh computation", BELONGS, frames.rewrite_summing_20_octets),
        Clause("Padding is left out", BELONGS, frames.rewrite_with_padding),
        Clause("Everything else stays as it is", ENVELOPE, frames.rewrite_to_the_next_hop),
        Clause("Everything else stays as it is", ENVELOPE, frames.rewrite_from_the_router),
        Clause("Everything else stays as it is", BELONGS, frames.rewrite_the_header_alone),
        Clause("Everything else stays as it is", BELONGS, frames.rewrite_unmarked,
               also=(frames_by_value.rewrite_all_words_like_it,
                     frames_by_value.rewrite_first_word_like_it)),
        Clause("Raises ValueError", REFUSALS, frames.rewrite_or_another),
        Clause("comes in as 0 or 1", REFUSALS, frames.rewrite_but_the_next_to_last),
    ),
    says_only=(
        "`frame` is an Ethernet header of 14 octets",
        "`leaves_by` tells the hardware address (6 octets) and the IP address (4 octets)",
        "`next_hop` tells those of the station that gets it next",
        "Return the frame in which a datagram leaves for its next hop.",
        "Example: octets 22 to 25 of a frame are 4011 2605; in the new one, 3f11 2705.",
    ),
)  # fmt: skip

THROUGH, DROPS, FAULTY = "the way through", "drops", "faulty stages"
CARRY = Contract(
    clauses=(
        Clause("The result is a tuple of two", "", stages.carry_and_list),
        Clause("a packet for the next stage", THROUGH, stages.carry_the_first_packet),
        Clause("the packets that the last stage has returned", THROUGH,
               stages.carry_and_send_the_old_one),
        Clause("in the order in which they came", THROUGH, stages.carry_newest_first),
        Clause("without stages, of what came in", THROUGH, stages.carry_nothing_without_stages),
        Clause("A packet is a dict, perhaps an empty one", THROUGH, stages.carry_no_empty_packets),
        Clause("or a text (str), perhaps an empty one", DROPS, stages.carry_without_empty_reasons),
        Clause("once for each packet that reaches it", DROPS, stages.carry_calling_twice),
        Clause("ends the way of that packet alone", DROPS, stages.carry_until_a_drop_on_purpose),
        Clause("its keys are tuples (name of the stage, reason)", DROPS,
               stages.carry_blaming_the_last_on_purpose),
        Clause("If it raises an exception", FAULTY, faulty_stages.carry_without_care),
        Clause("or returns anything else", FAULTY, faulty_stages.carry_past_nothing),
        Clause("or returns anything else", FAULTY, faulty_stages.carry_anything_but_none),
        Clause("pairs that did not occur are left out", "", stages.carry_listing_all),
    ),
    says_only=(
        "Return the packets that are sent, and how many are dropped where and why.",
        "A stage is a tuple (name, function); no name occurs twice.",
        "the reason why it drops the packet.",
        "Stages share nothing, and none of them ends the program (SystemExit).",
        "So packets may go one by one, or stage by stage.",
        "Then a dict that counts drops:",
        "You may change the lists that come in.",
        'Example: ([{"to": "Mast"}], {}) for [{"to": "Mast"}] and no stages.',
    ),
)  # fmt: skip

ORDER, PORTS, FRAGMENTS = "rules in order", "ports", "fragments"
MAY_PASS = Contract(
    clauses=(
        Clause("its prefix covers the destination address", ORDER,
               rules.may_pass_by_source_address),
        Clause("its prefix covers the destination address", ORDER, rules.may_pass_by_whole_octets),
        Clause("from /0 to /32", ORDER, rules.may_pass_without_default),
        Clause("The first rule that fits decides", ORDER, rules.may_pass_by_the_last_rule),
        Clause("with True the datagram passes, with False it does not", "",
               rules.may_pass_turned_round),
        Clause("If no rule fits, it passes", ORDER, rules.may_pass_by_default_not),
        Clause("and, unless `port` is None", PORTS, rules.may_pass_by_port_alone),
        Clause("the datagram carries this destination port", PORTS, rules.may_pass_by_source_port),
        Clause("a number from 0 to 65535, or None", PORTS, rules.may_pass_with_any_port_for_0),
        Clause("only TCP (protocol 6) and UDP (17) count", PORTS, rules.may_pass_udp_alone),
        Clause("only TCP (protocol 6) and UDP (17) count", PORTS,
               rules.may_pass_with_ports_for_all),
        Clause("right behind the IPv4 header with its options", PORTS,
               rules.may_pass_with_ports_at_20),
        Clause("A fragment whose offset is not 0 carries none", FRAGMENTS,
               rules.may_pass_reading_all_fragments),
        Clause("whose offset is not 0", FRAGMENTS, rules.may_pass_fragments_by_any_flag),
        Clause("It fits if its prefix covers", FRAGMENTS, rules.may_pass_all_fragments),
    ),
    says_only=(
        "Tell whether a filter lets a datagram pass: True or False.",
        "A rule is a tuple (prefix, port, verdict)",
        "a text such as \"203.0.113.0/24\"",
        "True or False.",
        "`datagram` has passed all checks of 6.1.",
        'Example: False for port 7 of 203.0.113.2 and [("203.0.113.0/24", 7, False)].',
    ),
)  # fmt: skip

ONE, SEVERAL, COUNTS = "one flow", "several flows", "counts and refusals"
NEW_DROPPER = Contract(
    clauses=(
        Clause("every, 2 * every, 3 * every, ... of their flow", ONE, droppers.dropper_that_stops),
        Clause("counted from 1", "", droppers.dropper_of_the_first),
        Clause("and True for all others", "", droppers.dropper_that_says_dropped),
        Clause("packets with the same text are one flow", SEVERAL, droppers.dropper_for_all),
        Clause("Objects know nothing of each other", SEVERAL, droppers.dropper_that_shares_flows),
        Clause("Objects know nothing of each other", SEVERAL, droppers.dropper_of_the_last_period),
        Clause("a tuple of two numbers: how many packets have passed so far", COUNTS,
               droppers.dropper_that_counts_all),
        Clause("all flows together", COUNTS, droppers.dropper_that_counts_one_flow),
        Clause("It may be called at any time", COUNTS, droppers.dropper_without_a_beginning),
        Clause("and changes nothing", COUNTS, droppers.dropper_that_clears_counts),
        Clause("raises ValueError if it is below 1", COUNTS, droppers.dropper_for_0_alone),
        Clause("raises ValueError if it is below 1", COUNTS, droppers.dropper_but_below_0),
        Clause("below 1", COUNTS, droppers.dropper_above_1),
    ),
    says_only=(
        "Return a new object that drops every so many packets of each flow.",
        "passes(flow) is called once for each packet, in the order of arrival.",
        "`flow` is a text (str)",
        "`every` is a whole number.",
        'Example: with every = 2, the calls "A", "A", "A" give True, False, True.',
    ),
)  # fmt: skip

DECIDE, REWRITE, SEND = "decide", "rewrite", "send"
WHY_SLOW = Contract(
    clauses=(
        Clause("or None if it does not", "", paths.slow_or_empty),
        Clause("Of these reasons, the first one that holds", "", paths.slow_in_other_words),
        Clause("`own` lists the router's own addresses", DECIDE, paths.slow_by_first_own),
        Clause("\"no route\" (no prefix covers it)", DECIDE, paths.slow_by_any_route),
        Clause("in any order", DECIDE, paths.slow_by_first_route),
        Clause("The longest prefix that covers the destination wins", DECIDE,
               paths.slow_by_last_route),
        Clause("from /0 to /32", DECIDE, paths.slow_without_default),
        Clause("in the order of the stages", DECIDE, paths.slow_by_time_to_live_first),
        Clause("in the order of the stages", DECIDE,
               paths.slow_by_options_while_it_lives),
        Clause("it comes in as 0 or 1", REWRITE, paths.slow_by_time_to_live_zero),
        Clause("it comes in as 0 or 1", REWRITE, paths.slow_by_two_lives),
        Clause("(there are some)", REWRITE, paths.slow_by_one_word_of_options),
        Clause("tells for each interface of a route how many octets", REWRITE,
               paths.slow_by_exact_size),
        Clause("in all", REWRITE, paths.slow_by_payload_size),
        Clause("for the interface by which it leaves", REWRITE, paths.slow_by_smallest_link),
        Clause("the first one that holds", REWRITE, paths.slow_by_options_before_lives),
        Clause("the first one that holds", REWRITE, paths.slow_by_size_before_options),
        Clause("the first one that holds", REWRITE, paths.slow_by_neighbours_before_size),
        Clause("the next hop's hardware address is not known", SEND, paths.slow_by_far_neighbour),
        Clause("next hop None means that the destination is a neighbour itself", SEND,
               paths.slow_by_routers_alone, also=(paths.slow_by_none_as_an_address,)),
    ),
    says_only=(
        "Addresses are texts such as \"192.0.2.1\", prefixes such as \"192.0.2.0/24\"",
        "`header` is an IPv4 header with its options",
        "`routes` lists tuples (prefix, next hop, interface)",
        "`known` lists the addresses of the neighbours whose hardware address is known.",
        "`mtus` is a dict:",
        "decide:",
        "rewrite:",
        "send:",
        "Any list may be empty.",
    ),
)  # fmt: skip

CLAUSES: Mapping[str, Contract] = {
    "6.1": FIRST_FAULT,
    "6.2": REWRITE_FRAME,
    "6.3": CARRY,
    "6.4": MAY_PASS,
    "6.5": NEW_DROPPER,
    "6.6": WHY_SLOW,
}
