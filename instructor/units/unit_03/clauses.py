"""The contracts of unit 03, each clause with an answer that breaks it and nothing else."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_03.broken_clauses import aggregates as broken_aggregates
from instructor.units.unit_03.broken_clauses import holes as broken_holes
from instructor.units.unit_03.broken_clauses import links as broken_links
from instructor.units.unit_03.broken_clauses import neighbours as broken_neighbours
from instructor.units.unit_03.broken_clauses import plans as broken_plans
from instructor.units.unit_03.broken_clauses import steps as broken_steps
from instructor.units.unit_03.misconceptions import (
    aggregates,
    holes,
    links,
    neighbours,
    plans,
    steps,
)

NONE = "what is no address"
ENDS = "both ends"
INSIDE = "inside an octet"
EXTREME = "extreme lengths"
ONE_SIDED = "one-sided"
SPECIAL = "special blocks"
LEFT = "what is left"
SIZES = "sizes"
PLACES = "places"
NO_FIT = "does not fit"
ONE_HOP = "one next hop"
HOPS = "several next hops"

CLAUSES: Mapping[str, Contract] = {
    "3.1": Contract(
        clauses=(
            Clause(
                "four parts",
                NONE,
                broken_steps.after_any_count,
                also=(broken_steps.after_three_parts, steps.after_first_four),
            ),
            Clause("one dot between each two", NONE, steps.after_without_empty_parts,
                   also=(broken_steps.after_comma,)),
            Clause("a number from 0 to 255", NONE, steps.after_large_parts,
                   also=(steps.after_up_to_256,)),
            Clause(
                "in digits 0 to 9 and nothing else",
                NONE,
                steps.after_any_digits,
                also=(
                    broken_steps.after_underscores,
                    broken_steps.after_blanks,
                    broken_steps.after_plus,
                    steps.after_blanks_around,
                ),
            ),
            Clause("without leading zeros", NONE, broken_steps.after_zeros_in_front,
                   also=(steps.after_leading_zeros, steps.after_octal)),
            Clause("a part of 0 is written 0", NONE, broken_steps.after_zero_with_zeros),
            Clause("Raises ValueError for any other text", NONE,
                   broken_steps.after_key_error_for_letters, also=(broken_steps.after_key_error,)),
            Clause(
                "An address is one number of 32 bits",
                "steps and carries",
                broken_steps.after_in_the_low_half,
            ),
            Clause("the first part is the highest octet", "", steps.after_low_octet_first),
            Clause("below 0 it leads back", "", steps.after_forward_only),
            Clause("Returns the address as text, in the same form", "", steps.after_as_number),
            Clause("before 0.0.0.0", ENDS, broken_steps.after_no_number_below_zero),
            Clause("after 255.255.255.255", ENDS, broken_steps.after_no_number_too_large),
            Clause("Raises ValueError if it would lie", ENDS,
                   broken_steps.after_index_error_far_away,
                   also=(broken_steps.after_index_error, steps.after_up_to_the_end,
                         steps.after_without_the_ends)),
        ),
        says_only=(
            "Return the IPv4 address that lies so many steps after another one.",
            "`address` may be any text.",
            "Example:",
            '`steps` is a whole number;',
            '"203.0.114.4" for',
        ),
    ),
    "3.2": Contract(
        clauses=(
            Clause("The mask has ones in those bits", "", links.link_from_the_right),
            Clause("and zeros in all others", INSIDE, broken_links.link_with_full_octet),
            Clause("`address` is any address of the link", "whole octets",
                   broken_links.link_first_as_given),
            Clause("The first address has zeros after them", INSIDE,
                   broken_links.link_first_with_host_bits),
            Clause("the last one has ones", INSIDE, broken_links.link_last_is_next),
            Clause("First and last address are not for hosts", "", links.link_all_hosts),
            Clause("where the length is 31 both are", EXTREME, links.link_without_rfc_3021,
                   also=(links.link_always_two_less, links.link_two_less_or_none)),
            Clause("where it is 32 there is room for one host", EXTREME,
                   links.link_without_single_host),
            Clause("a whole number from 0 to 32", EXTREME, broken_links.link_from_1),
            Clause("Returns a tuple", "", links.link_as_list),
        ),
        says_only=(
            "Return mask, first and last address of a link, and how many hosts it has room for.",
            "Example:",
            'three texts and a number.',
            '("255.255.255.192", "203.0.113.64"',
        ),
    ),
    "3.3": Contract(
        clauses=(
            Clause("the same first bits, as many as its own length says", "alike",
                   broken_neighbours.near_cut_between_octets),
            Clause("from 0 to 32", "alike", broken_neighbours.near_unless_both_zero),
            Clause(
                "it does not know the other's length",
                ONE_SIDED,
                broken_neighbours.near_if_both_agree_with_the_shorter,
                also=(
                    neighbours.near_if_both,
                    neighbours.near_if_either,
                    neighbours.near_by_own_length,
                    neighbours.near_by_destination,
                ),
            ),
            Clause("it may be empty", "", broken_neighbours.block_needed),
            Clause("in any order", SPECIAL, broken_neighbours.block_last_of_three,
                   also=(neighbours.block_first, neighbours.block_last)),
            Clause("Of the blocks that hold the other's address", SPECIAL,
                   broken_neighbours.block_of_own_if_far,
                   also=(neighbours.block_of_own, neighbours.block_of_both)),
            Clause("the one with the longest prefix counts", SPECIAL,
                   broken_neighbours.block_widest_of_two, also=(neighbours.block_widest,)),
            Clause("Returns a tuple", "", neighbours.as_list),
            Clause("True or False for what `own` takes `other` for", "", neighbours.not_near),
            Clause("the same for what `other` takes `own` for", ONE_SIDED,
                   broken_neighbours.near_exchanged_with_the_longer,
                   also=(neighbours.near_by_other_length,)),
            Clause("the name of the block", SPECIAL, broken_neighbours.block_as_prefix_if_near,
                   also=(neighbours.block_as_prefix,)),
            Clause("or None if there is none", "", neighbours.block_or_empty),
        ),
        says_only=(
            "Tell who takes whom for a neighbour, and in which special block the other one lies.",
            "`own` and `other` are two hosts with different addresses:",
            "Host bits of prefixes are 0, and no prefix comes twice.",
            "Example:",
            '(False, True, "TEST-NET-3") for',
        ),
    ),
    "3.5": Contract(
        clauses=(
            Clause("tuples as before", "", broken_aggregates.fewer_as_lists),
            Clause("by address, the lowest first", "", broken_aggregates.fewer_from_the_end),
            Clause("in any order", ONE_HOP, broken_aggregates.fewer_in_order),
            Clause("it may be empty", ONE_HOP, broken_aggregates.fewer_none_for_none),
            Clause("that are the halves of one prefix", ONE_HOP,
                   broken_aggregates.fewer_any_neighbours),
            Clause("What has become one may be a half again", ONE_HOP,
                   broken_aggregates.fewer_joined_once),
            Clause("Then a route goes if", ONE_HOP, broken_aggregates.fewer_covered_stay),
            Clause("From the longest prefixes to the shortest", HOPS,
                   broken_aggregates.fewer_downwards,
                   also=(broken_aggregates.fewer_shortest_first,)),
            Clause("with the same next hop, become one route", HOPS,
                   aggregates.join_whatever_hops),
            Clause("with that next hop", HOPS, broken_aggregates.fewer_with_the_first_hop),
            Clause("If it had a route, that one goes", HOPS, aggregates.whole_is_taken,
                   also=(aggregates.whole_keeps_its_hop,)),
            Clause("the longest of the other prefixes around it", HOPS,
                   aggregates.drop_if_any_around, also=(aggregates.drop_by_the_widest,)),
            Clause("has the same next hop.", HOPS, broken_aggregates.fewer_covered_go,
                   also=(aggregates.drop_what_is_covered,)),
            Clause("of two with the same address, the shorter prefix first", HOPS,
                   aggregates.longer_first),
        ),
        says_only=(
            "Say the same with fewer routes.",
            "`routes` is a list of up to 60 tuples (prefix, next hop)",
            "Host bits are 0, and no prefix comes twice.",
            "It is done in two rounds:",
            "Returns the routes that are left",
            "Example: [(",
        ),
    ),
    "3.4": Contract(
        clauses=(
            Clause("both included", "", holes.free_without_last),
            Clause("`last` is not below `first`", "a range", holes.free_unless_single),
            Clause("it may be empty", "a range", broken_holes.free_of_two,
                   also=(broken_holes.free_beside_something,)),
            Clause("in any order", LEFT, holes.free_in_order_given,
                   also=(holes.free_in_order_of_text,)),
            Clause("one may lie inside another", LEFT, holes.free_after_the_latest),
            Clause("Returns a list of prefixes", "", holes.free_as_tuple),
            Clause("each an address, a slash and a length", "", holes.free_as_pairs),
            Clause("by their addresses, the lowest first", LEFT,
                   broken_holes.free_largest_first_beside_one),
            Clause("every address of the range that is in no taken prefix", LEFT,
                   broken_holes.free_up_to_the_last_of_some,
                   also=(holes.free_but_first_addresses, holes.free_up_to_the_last_taken)),
            Clause("and no other address", "a range",
                   broken_holes.free_beyond_if_nothing_is_taken),
            Clause("they are as few as can be", "a range", broken_holes.free_in_24s),
        ),
        says_only=(
            "Return what is free in a range of addresses, as the fewest prefixes.",
            "Host bits are 0, no two are the same, each lies in the range as a whole",
            "Example:",
            '["192.0.2.5/32", "192.0.2.6/31", "192.0.2.8/30"] for',
        ),
    ),
    "3.6": Contract(
        clauses=(
            Clause("A pier gets the smallest prefix", SIZES, plans.plan_more_than_enough),
            Clause("counted as in 3.2", SIZES, plans.plan_all_for_hosts,
                   also=(plans.plan_router_more,)),
            Clause("two hosts fit into a /31", SIZES, plans.plan_without_rfc_3021),
            Clause("one into a /32", SIZES, plans.plan_without_32),
            Clause("it may be empty", SIZES, broken_plans.plan_many_beside_something,
                   also=(broken_plans.plan_beside_something,)),
            Clause("that are given away already", PLACES, broken_plans.plan_only_one_kept),
            Clause("in any order", PLACES, broken_plans.plan_kept_in_order),
            Clause("The largest prefixes are placed first", PLACES,
                   broken_plans.plan_three_in_order_given,
                   also=(plans.plan_in_order_given,)),
            Clause("of equals the pier that stands first in `needs`", PLACES,
                   plans.plan_equals_turned_round,
                   also=(plans.plan_equals_by_name, plans.plan_more_hosts_first)),
            Clause("the start of the smallest of these that is large enough", PLACES,
                   plans.plan_lowest_hole, also=(plans.plan_largest_hole,)),
            Clause("of equals the lowest", PLACES, plans.plan_highest_of_equals),
            Clause("What is left of it stays free", PLACES,
                   broken_plans.plan_rest_of_two_is_lost, also=(plans.plan_rest_is_lost,)),
            Clause("a list of tuples (pier, prefix)", "", plans.plan_as_dict),
            Clause("in the order of `needs`", PLACES, broken_plans.plan_two_in_order_of_sizes,
                   also=(plans.plan_in_order_of_sizes,)),
            Clause('Returns (plan, "")', "", plans.plan_alone),
            Clause("If not all find a place, returns ([], reason)", NO_FIT,
                   plans.plan_as_far_as_it_goes, also=(plans.plan_or_refusal,)),
            Clause('The reason is "too few addresses"', NO_FIT, plans.plan_without_a_sum),
            Clause("hold more addresses than are free", NO_FIT, plans.plan_with_some_left,
                   also=(plans.plan_by_hosts, plans.plan_by_the_block)),
            Clause('"no hole for "', NO_FIT, broken_plans.plan_too_few_for_one,
                   also=(plans.plan_always_too_few,)),
            Clause("the first pier, in the order of placing, that finds no place", NO_FIT,
                   plans.plan_names_the_last),
        ),
        says_only=(
            "Give each pier a prefix of its own in a block, or say why that cannot be done.",
            "`block` is a prefix.",
            "`needs` is a list of 1 to 10 tuples (pier, hosts)",
            "Host bits are 0.",
            "What is free is seen as the fewest prefixes (3.4):",
            "Example:",
            '([("Reed", "192.0.2.64/26"), ("Gull", "192.0.2.128/31")], "") for',
        ),
    ),
}  # fmt: skip
