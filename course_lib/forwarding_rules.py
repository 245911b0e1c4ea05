"""The rules of forwarding that this router keeps, the clause of each, and the test that watches it.

`RULES` is for looking things up, and for checking a router of one's own point by point. The tests
are in the folder `tests/course_lib/forwarding`. `LEFT_OUT` says which rules are not kept, and why.

`python -m course_lib.forwarding_rules` prints all this as the tables that stand in DEVELOPERS.md.
"""

__all__ = ["LEFT_OUT", "RULES", "Omission", "Rule", "rules_about", "rules_as_markdown"]

from typing import NamedTuple


class Rule(NamedTuple):
    """One rule: where it is written, in short words, which stage keeps it, and its test."""

    clause: str
    rule: str
    kept_by: str  # the name of a stage, or "slow path"
    test_file: str
    test: str


class Omission(NamedTuple):
    """A rule that this router does not keep."""

    clause: str
    rule: str
    why: str


def rules_about(word: str) -> list[Rule]:
    """Return the rules that have `word` in their text.

    >>> [rule.clause for rule in rules_about("quench")]
    ['RFC 6633, section 4']
    """
    return [rule for rule in RULES if word in rule.rule]


def rules_as_markdown() -> str:
    """Return a table from clause to test, and one of what is left out.

    >>> print(rules_as_markdown().splitlines()[0])
    | clause | rule | kept by | test |
    """
    kept = _table(
        ("clause", "rule", "kept by", "test"),
        *((each.clause, each.rule, each.kept_by, _address_of_test(each)) for each in RULES),
    )
    left_out = _table(("clause", "rule that is not kept", "why"), *LEFT_OUT)
    return f"{kept}\n\n{left_out}"


def _address_of_test(rule: Rule) -> str:
    return f"`{rule.test_file}::{rule.test}`"


def _table(*rows: tuple[str, ...]) -> str:
    head, *others = rows
    lines = [head, ("---",) * len(head), *others]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


# fmt: off
RULES = (
    Rule("RFC 1812, section 5.2.2",
         "a header with a wrong length, version or checksum is discarded silently", "validate",
         "test_receive_and_validate.py", "test_a_bad_header_is_discarded_silently"),
    Rule("RFC 1812, section 5.2.2", "a datagram that was cut on its way is reported", "slow path",
         "test_receive_and_validate.py", "test_a_datagram_that_was_cut_is_reported"),
    Rule("RFC 1812, section 5.2.3", "packets for one of our addresses are delivered", "decide",
         "test_packets_for_the_router.py", "test_every_address_of_the_router_answers_as_itself"),
    Rule("RFC 1812, section 5.2.4.3", "the longest prefix decides", "decide", "test_decide.py",
         "test_the_longest_prefix_decides_in_every_table"),
    Rule("RFC 1812, section 5.2.1.2", "the way is found before the time to live is lowered",
         "decide", "test_rewrite_and_send.py",
         "test_without_a_route_the_time_to_live_is_not_looked_at"),
    Rule("RFC 1812, section 5.3.1", "the time to live is lowered by one", "rewrite",
         "test_rewrite_and_send.py", "test_the_time_to_live_counts_routers"),
    Rule("RFC 1812, section 5.3.1", "a packet that has lived too long is reported", "rewrite",
         "test_rewrite_and_send.py", "test_a_packet_that_has_lived_too_long_is_reported"),
    Rule("RFC 1812, section 4.2.2.9", "the time to live is not looked at by whom a packet is for",
         "decide", "test_packets_for_the_router.py",
         "test_the_time_to_live_is_not_looked_at_by_whom_the_packet_is_for"),
    Rule("RFC 1812, section 4.2.2.5", "the checksum may be updated without the rest of the header",
         "rewrite", "test_rewrite_and_send.py",
         "test_the_updated_checksum_is_that_of_the_new_header"),
    Rule("RFC 1812, section 4.2.2.3", "unused header bits pass unchanged", "rewrite",
         "test_rewrite_and_send.py", "test_the_reserved_flag_passes_unchanged"),
    Rule("RFC 1812, section 5.3.4", "link-layer broadcasts of unicast packets are not forwarded",
         "decide", "test_receive_and_validate.py",
         "test_a_link_layer_broadcast_of_a_unicast_packet_is_discarded"),
    Rule("RFC 1122, section 3.3.6", "nor delivered", "decide", "test_receive_and_validate.py",
         "test_a_link_layer_broadcast_of_a_unicast_packet_is_discarded"),
    Rule("RFC 1812, section 5.3.5.1", "limited broadcasts are not forwarded", "decide",
         "test_decide.py", "test_a_broadcast_on_the_own_link_stays_there"),
    Rule("RFC 1812, section 4.2.3.1", "the first address of a link is taken for a broadcast",
         "decide", "test_decide.py", "test_a_broadcast_on_the_own_link_stays_there"),
    Rule("RFC 2644, section 3", "directed broadcasts are not forwarded unless that is switched on",
         "decide", "test_decide.py", "test_directed_broadcasts_are_not_forwarded"),
    Rule("RFC 1812, section 5.3.5.2", "where it is, the last router sends a link-layer broadcast",
         "send", "test_decide.py", "test_directed_broadcasts_go_to_all_where_somebody_wants_that"),
    Rule("RFC 3021, section 2.2", "a link of two has no broadcast addresses", "decide",
         "test_decide.py", "test_a_link_of_two_has_no_broadcasts"),
    Rule("RFC 1812, section 5.3.7", "packets from no single host are not forwarded", "validate",
         "test_receive_and_validate.py", "test_a_source_that_is_no_single_host_is_not_forwarded"),
    Rule("RFC 1812, section 5.3.7",
         "packets to net 0, the loopback net or class E are not forwarded", "validate",
         "test_receive_and_validate.py", "test_a_destination_that_is_nowhere_is_not_forwarded"),
    Rule("RFC 1812, section 4.2.2.7",
         "what is too large is cut, into as few fragments as can be, in order", "slow path",
         "test_fragments_on_the_way.py",
         "test_fragments_are_as_few_as_can_be_and_put_together_again"),
    Rule("RFC 791, section 3.2", "all fragments but the last carry a multiple of 8 octets",
         "slow path", "test_fragments_on_the_way.py",
         "test_offsets_count_units_of_8_and_all_but_the_last_say_more"),
    Rule("RFC 1191, section 4", "what may not be cut is reported with the next-hop MTU",
         "slow path", "test_fragments_on_the_way.py",
         "test_what_may_not_be_cut_is_reported_with_the_mtu"),
    Rule("RFC 1812, section 4.2.2.8", "fragments for the router itself are put together",
         "slow path", "test_packets_for_the_router.py",
         "test_an_echo_in_fragments_is_put_together_and_answered_in_fragments"),
    Rule("RFC 1122, section 3.3.2", "and given up after 60 seconds", "slow path",
         "test_packets_for_the_router.py", "test_fragments_that_stay_incomplete_are_reported"),
    Rule("RFC 1812, section 5.3.13.1", "options that are not known pass unchanged", "slow path",
         "test_options_on_the_way.py", "test_options_are_filled_in_or_passed_on"),
    Rule("RFC 1812, section 5.3.13.5", "a route is recorded", "slow path",
         "test_options_on_the_way.py", "test_options_are_filled_in_or_passed_on"),
    Rule("RFC 1812, section 5.3.13.6", "times are recorded", "slow path",
         "test_options_on_the_way.py", "test_options_are_filled_in_or_passed_on"),
    Rule("RFC 7126, sections 4.3 and 4.4", "source routes are not followed", "slow path",
         "test_options_on_the_way.py", "test_source_routes_are_not_followed"),
    Rule("RFC 1812, section 4.3.3.5", "broken options are reported", "slow path",
         "test_options_on_the_way.py", "test_broken_options_are_reported_with_a_pointer"),
    Rule("RFC 1812, section 5.2.7.1", "without a route: net unreachable, code 0", "slow path",
         "test_decide.py", "test_without_a_route_the_net_is_unreachable"),
    Rule("RFC 1812, section 5.2.7.1", "if the next hop is silent: host unreachable, code 1",
         "slow path", "test_waiting_for_neighbours.py",
         "test_nobody_answers_so_the_host_is_unreachable"),
    Rule("RFC 1812, section 5.2.7.1", "a protocol that is not spoken here: code 2", "slow path",
         "test_packets_for_the_router.py", "test_a_protocol_that_is_not_spoken_is_refused"),
    Rule("RFC 792, page 4", "a port on which nobody listens: code 3", "slow path",
         "test_packets_for_the_router.py", "test_a_port_on_which_nobody_listens_is_refused"),
    Rule("RFC 1812, section 5.3.9", "a filter may tell the sender: code 13", "slow path",
         "test_stages_of_ones_own.py", "test_a_filter_can_tell_the_sender"),
    Rule("RFC 1812, section 5.2.7.2",
         "a redirect if all conditions hold, always for a host: code 1", "slow path",
         "test_decide.py", "test_a_better_first_hop_is_told_and_the_packet_still_goes"),
    Rule("RFC 1812, section 5.2.7.2", "no redirect otherwise", "slow path", "test_decide.py",
         "test_no_redirect_is_sent_unless_all_conditions_hold"),
    Rule("RFC 1812, section 4.3.2.1", "messages of unknown type are discarded silently",
         "slow path", "test_packets_for_the_router.py",
         "test_other_messages_are_silently_discarded"),
    Rule("RFC 1812, section 4.3.2.2", "an error has a time to live of its own", "slow path",
         "test_errors_to_senders.py", "test_an_error_has_a_time_to_live_of_its_own"),
    Rule("RFC 1812, section 4.3.2.3", "as much is quoted as fits into 576 octets", "slow path",
         "test_errors_to_senders.py", "test_as_much_is_quoted_as_fits_into_576_octets"),
    Rule("RFC 1812, section 4.3.2.4", "the source is the interface by which the error leaves",
         "slow path", "test_errors_to_senders.py",
         "test_the_source_is_the_interface_by_which_the_error_leaves"),
    Rule("RFC 1812, section 4.3.2.5", "type of service as in the packet, precedence 6",
         "slow path", "test_errors_to_senders.py",
         "test_an_error_keeps_the_type_of_service_and_goes_first"),
    Rule("RFC 1812, section 4.3.2.7", "no error about an error", "slow path",
         "test_errors_to_senders.py", "test_no_error_about_an_error"),
    Rule("RFC 1812, section 4.3.2.7", "no error in any of the other forbidden cases", "slow path",
         "test_errors_to_senders.py", "test_all_cases_in_which_no_error_may_be_sent"),
    Rule("RFC 1812, section 4.3.2.8", "the rate of errors is limited", "slow path",
         "test_errors_to_senders.py", "test_the_rate_of_errors_is_limited"),
    Rule("RFC 6633, section 4", "source quench is never sent", "slow path",
         "test_errors_to_senders.py", "test_a_router_never_sends_source_quench"),
    Rule("RFC 1812, section 4.3.3.6", "an echo is answered, with its data", "slow path",
         "test_packets_for_the_router.py", "test_an_echo_is_answered_with_its_own_data"),
    Rule("RFC 1812, section 4.3.3.6", "but not one to a broadcast address", "slow path",
         "test_packets_for_the_router.py", "test_an_echo_to_all_is_not_answered"),
    Rule("RFC 1812, section 5.3.6", "where a queue is full, packets are discarded", "queue",
         "test_queue_stage.py", "test_a_full_queue_drops_the_newest"),
    Rule("RFC 1122, section 2.3.2.2",
         "packets wait while an address is resolved, the latest at least", "slow path",
         "test_waiting_for_neighbours.py", "test_of_too_many_the_latest_stay"),
)

LEFT_OUT = (
    Omission("RFC 1812, section 5.3.13.4", "source routes are followed",
             "RFC 7126 advises against it; packets with one are dropped"),
    Omission("RFC 1812, section 5.3.10", "multicast is forwarded",
             "it needs group membership and routes of its own; such packets are dropped"),
    Omission("RFC 1812, section 4.3.3.8", "timestamp messages are answered",
             "nobody is obliged to"),
    Omission("RFC 1812, section 5.3.8", "sources can be checked against the routing table",
             "off by default there too; a good stage to write oneself"),
    Omission("RFC 1812, sections 5.3.2 and 5.3.3", "the type of service chooses a way or a queue",
             "there is one way to each prefix; queues are for a stage of one's own"),
    Omission("RFC 1812, section 5.2.3",
             "a directed broadcast that is forwarded is also delivered here",
             "nothing in this router listens to one"),
    Omission("RFC 5227", "an address is probed before it is used",
             "a router's addresses are set by hand here; conflicts are counted"),
)
# fmt: on

if __name__ == "__main__":
    print(rules_as_markdown())
