"""The contract of exercise 11.4, clause by clause."""

__all__ = ["SENT_EACH_ROUND"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_11.rounds import broken

GROWTH, DUPLICATES = "growth", "three duplicates"
TIMEOUTS, WINDOWS = "time-outs", "two windows"

SENT_EACH_ROUND = Contract(
    clauses=(
        Clause("`rounds` of them", TIMEOUTS, broken.gives_the_last_wait_in_full),
        Clause("but `largest` at most", WINDOWS, broken.has_room, (broken.counts_the_larger,)),
        Clause("numbered from 1 on", DUPLICATES, broken.counts_from_zero),
        Clause(
            "as they are sent",
            DUPLICATES,
            broken.counts_each_round,
            also=(broken.keeps_old_numbers,),
        ),
        Clause("The window is 1 at first", "", broken.BeginsWithTwo),
        Clause("by 1 for each packet that was sent", GROWTH, broken.one_more),
        Clause("only up to the threshold", GROWTH, broken.beyond_the_threshold),
        Clause(
            "from the threshold on by 1 in all",
            GROWTH,
            broken.doubles_on,
            also=(broken.stays_there, broken.doubles_there),
        ),
        Clause("If something was lost", TIMEOUTS, broken.keeps_the_threshold),
        Clause("however much", DUPLICATES, broken.halves_for_each),
        Clause(
            "the threshold becomes half",
            DUPLICATES,
            broken.halves_the_threshold,
            also=(broken.halves_what_arrived,),
        ),
        Clause("of what was sent in that round trip", WINDOWS, broken.halves_the_window),
        Clause("rounded down", DUPLICATES, broken.rounds_up),
        Clause("If at least 3", DUPLICATES, broken.wants_four, (broken.wants_two,)),
        Clause(
            "behind the first lost one",
            DUPLICATES,
            broken.counts_in_front,
            also=(broken.counts_behind_the_last,),
        ),
        Clause("arrived, the window becomes", DUPLICATES, broken.counts_lost_ones),
        Clause("the window becomes the threshold", DUPLICATES, broken.begins_anew),
        Clause("nothing is sent for `timeout_rounds` round trips", TIMEOUTS, broken.never_waits),
        Clause("and the window becomes 1", TIMEOUTS, broken.stays_at_half),
        Clause("takes twice as long as the one before", TIMEOUTS, broken.waits_as_long),
        Clause(
            "A row ends with a round trip in which something was sent",
            TIMEOUTS,
            broken.waits_ever_longer,
        ),
    ),
    says_only=(
        "In each one it sends",
        "the receiver has no room for more",
        "those whose numbers are in `lost` get lost",
        "If nothing was lost, it grows",
        "If not, there is a time-out",
        "All numbers are whole",
        "Example: [1, 2, 4, 8, 4, 5, 6]",
    ),
)
