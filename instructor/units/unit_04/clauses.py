"""The contracts of unit 04, each clause with an answer that breaks it and nothing else."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_04.broken_clauses import levels as broken_levels
from instructor.units.unit_04.broken_clauses import lists as broken_lists
from instructor.units.unit_04.broken_clauses import spare as broken_spare
from instructor.units.unit_04.broken_clauses import tables as broken_tables
from instructor.units.unit_04.broken_clauses import walks as broken_walks
from instructor.units.unit_04.misconceptions import covering, lists, tables, walks

CLAUSES: Mapping[str, Contract] = {
    "4.1": Contract(
        clauses=(
            Clause("Tell whether a prefix covers", "", covering.covers_turned_round),
            Clause("Returns True or False", "", covering.covers_or_nothing),
            Clause(
                "have the same first bits",
                "whole octets",
                broken_lists.covers_octets_as_text,
            ),
            Clause(
                "as many as the length says", "inside an octet", covering.covers_in_whole_octets
            ),
            Clause(
                "The bits behind them do not matter",
                "inside an octet",
                broken_lists.covers_all_of_the_cut_octet,
            ),
            Clause("on neither side", "edges", covering.covers_with_host_bits),
            Clause("a length from 0 to 32", "edges", covering.covers_nothing_with_zero_bits),
            Clause("a length from 0 to 32", "edges", broken_lists.covers_neighbour_of_one),
        ),
        says_only=(
            "Both arguments are well formed: nothing has to be refused.",
            "Example: True for",
        ),
    ),
    "4.2": Contract(
        clauses=(
            Clause("Returns a tuple (prefix, next hop)", "", broken_lists.look_up_as_list),
            Clause("the longest prefix wins", "longest prefix", lists.look_up_length_as_text),
            Clause("in any order", "longest prefix", broken_lists.look_up_in_order),
            Clause(
                "Between different prefixes metrics do not count",
                "longest prefix",
                broken_lists.look_up_low_metrics_first,
            ),
            Clause("Lengths go from 0 to 32", "longest prefix", lists.look_up_without_hosts),
            Clause(
                "Lengths go from 0 to 32", "default and no route", lists.look_up_without_default
            ),
            Clause(
                "or None if there is none", "default and no route", broken_lists.look_up_something
            ),
            Clause("it may be empty", "default and no route", broken_lists.look_up_in_some_list),
            Clause("then the lowest metric wins", "equal prefixes", lists.look_up_first_of_equals),
            Clause(
                "A prefix may come more than once",
                "equal prefixes",
                broken_lists.look_up_second_of_three,
            ),
            Clause("a whole number", "equal prefixes", lists.look_up_metric_as_text),
            Clause("from 0 up", "equal prefixes", broken_lists.look_up_zero_last),
        ),
        says_only=(
            "`routes` is a list of up to 100 routes",
            "A route is a tuple (prefix, next hop, metric): two texts",
            "host bits of prefixes are 0",
            "a next hop is not the empty text",
            "both as they stand in the route",
            "Example:",
            'for "10.1.2.3" and the routes',
        ),
    ),
    "4.3": Contract(
        clauses=(
            Clause("Returns a tuple", "", broken_walks.walk_as_list),
            Clause("it counts as a node", "", walks.walk_counting_steps),
            Clause("the last next hop on the way", "on the way", broken_walks.walk_first_of_many),
            Clause(
                "a key that is not there means that there is none",
                "on the way",
                broken_walks.walk_last_node_or_default,
            ),
            Clause("follows all the bits", "on the way", broken_walks.walk_not_to_the_end),
            Clause(
                "A missing child is not counted",
                "dead ends",
                broken_walks.walk_counting_at_an_answer,
            ),
            Clause(
                "or ends early where a child is missing",
                "dead ends",
                broken_walks.walk_forgetting_at_a_dead_end,
            ),
            Clause(
                "its next hop is the default route",
                "default and no route",
                broken_walks.walk_not_at_the_root,
            ),
            Clause(
                "or None if no node on the way has one",
                "default and no route",
                broken_walks.walk_with_a_word,
            ),
        ),
        says_only=(
            "Return the next hop for an address, and how many nodes the walk looks at.",
            "A node is a dictionary.",
            '"0" and "1" lead to its children',
            "a text that is not empty;",
            "`bits` is the address:",
            "a text of 1 to 32 characters",
            "and the number of nodes.",
            "the last next hop on the way, or None if no node on the way has one;",
            "`trie` is the root;",
            'Example: ("Reed", 2) for {"0": {"hop": "Reed"}} and "0110".',
        ),
    ),
    "4.4": Contract(
        clauses=(
            Clause("Both return None", "", broken_tables.InsertTells),
            Clause(
                "next hop of the longest prefix that covers the address",
                "insert and look up",
                tables.FirstWins,
                also=(broken_tables.RemembersTheWay,),
            ),
            Clause("Lengths go from 0 to 32", "insert and look up", tables.WithoutDefault),
            Clause("Lengths go from 0 to 32", "insert and look up", tables.WithoutHosts),
            Clause("Each table is on its own", "insert and look up", broken_tables.OnlyOne),
            Clause(
                "or gives its prefix another next hop",
                "the same prefix again",
                tables.FirstStays,
                also=(broken_tables.RemembersTheHop,),
            ),
            Clause(
                "Prefixes may have host bits", "the same prefix again", broken_tables.DeafToHostBits
            ),
            Clause(
                '"203.0.113.77/26" is the prefix "203.0.113.64/26"',
                "the same prefix again",
                broken_tables.TwoSpellings,
            ),
            Clause(
                "withdraw(prefix) takes away the route", "withdraw", broken_tables.OlderOneReturns
            ),
            Clause("the route with exactly this prefix", "withdraw", tables.CutsTheBranch),
            Clause("exactly this prefix", "withdraw", broken_tables.GoesWithItsNetwork),
            Clause("exactly this prefix", "withdraw", broken_tables.GoesByNextHop),
            Clause("adds a route", "withdraw", broken_tables.NotAgainBelow),
            Clause("of the longest prefix that covers", "withdraw", broken_tables.HolesUnderOthers),
            Clause("insert(prefix, next_hop) adds a route", "withdraw", tables.NeverAgain),
            Clause("Both return None", "withdraw", broken_tables.HandsBackAtTimes),
            Clause("raises KeyError", "not there", broken_tables.OtherException),
            Clause("with exactly this prefix", "not there", tables.WithdrawsAround),
            Clause("if there is none", "not there", broken_tables.TwiceInSilence),
            Clause("takes away the route", "not there", broken_tables.NodeInSilence),
            Clause("or None if no prefix does", "not there", broken_tables.RefusesToLookUp),
        ),
        says_only=(
            "Return a new, empty route table: an object with these three methods.",
            "All arguments are texts; a next hop is not the empty one.",
            "what is done to one changes no other",
        ),
    ),
    "4.5": Contract(
        clauses=(
            Clause("Returns a tuple (first level, second level)", "", broken_levels.build_as_list),
            Clause(
                "one for each value of the first 3 bits",
                "first level",
                broken_levels.build_short_without_last,
            ),
            Clause("in any order", "first level", broken_levels.build_short_as_listed),
            Clause("or None for no route", "first level", broken_levels.build_short_with_words),
            Clause(
                "A prefix has 0 to 6 bits", "first level", broken_levels.build_short_without_default
            ),
            Clause(
                "If any prefix longer than 3 bits begins with an entry's bits",
                "first level",
                broken_levels.build_blocks_for_threes,
            ),
            Clause(
                "even if all that the block holds is the same",
                "blocks",
                broken_levels.build_long_without_equals,
            ),
            Clause(
                "Blocks are numbered 0, 1, ... in the order of the entries",
                "blocks",
                broken_levels.build_long_as_opened,
                also=(broken_levels.build_long_equals_once,),
            ),
            Clause(
                "one for each value of the last 3 bits",
                "blocks",
                broken_levels.build_long_without_last,
            ),
            Clause("the entry is the number of a block", "blocks", broken_levels.build_long_afresh),
            Clause("(or None)", "blocks", broken_levels.build_long_with_words),
            Clause(
                "A block is a list of 8 next hops", "both levels", broken_levels.build_mixed_empty
            ),
            Clause(
                "In both levels the longest prefix wins",
                "both levels",
                broken_levels.build_mixed_as_listed,
            ),
        ),
        says_only=(
            "Return both levels of a direct index for addresses of 6 bits.",
            "it may be empty.",
            "A route is a tuple (prefix, next hop), two texts.",
            "and comes once;",
            "a next hop is not the empty text.",
            "The first level is a list of 8 entries",
            "Otherwise it is a next hop",
            "The second level is the list of all blocks.",
            '(["Reed"] * 4 + [None] * 4, []) for [("0", "Reed")].',
            "Example:",
        ),
    ),
    "4.6": Contract(
        clauses=(
            Clause("Returns a list of texts", "", broken_spare.spare_as_tuple),
            Clause("in the order of `routes`", "same next hop", broken_spare.spare_in_order),
            Clause(
                "changes the next hop of no address",
                "same next hop",
                broken_spare.spare_if_any_around,
            ),
            Clause("is spare if withdrawing it", "same next hop", broken_spare.spare_if_covered),
            Clause(
                "Having no route is not the same as having one",
                "same next hop",
                broken_spare.spare_if_alone,
            ),
            Clause(
                "its length is from 0 to 32", "same next hop", broken_spare.spare_without_default
            ),
            Clause(
                "its length is from 0 to 32", "same next hop", broken_spare.spare_without_single
            ),
            Clause("Return the prefixes of all routes", "never used", broken_spare.spare_if_halves),
            Clause(
                "the prefixes of all routes that are spare",
                "never used",
                broken_spare.spare_without_halves,
            ),
            Clause("its length is from 0 to 32", "never used", broken_spare.spare_default_never),
            Clause("the next hop of no address", "never used", broken_spare.spare_if_one_inside),
            Clause("of no address", "never used", broken_spare.spare_counting_twice),
            Clause("hop of no address", "never used", broken_spare.spare_by_both_ends),
            Clause(
                "alone, with all others left in place",
                "both at once",
                broken_spare.spare_as_it_goes,
            ),
            Clause(
                "all routes that are spare", "both at once", broken_spare.spare_not_below_unused
            ),
        ),
        says_only=(
            "`routes` is a list of up to 50 routes, in any order;",
            "it may be empty.",
            "A route is a tuple (prefix, next hop), two texts.",
            "A prefix comes once;",
            "its host bits are 0",
            "the prefixes as they came",
            'Example: ["10.1.0.0/16"] for [("10.0.0.0/8", "Reed"), ("10.1.0.0/16", "Reed")].',
        ),
    ),
}
