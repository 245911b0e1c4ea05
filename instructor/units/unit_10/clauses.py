"""The contracts of unit 10, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_10 import broken_clauses, broken_events
from instructor.units.unit_10.misconceptions import buffers, falls, growth, paths, teeth, waits
from instructor.units.unit_10.misconceptions import watches as watch

FILL_PATH = Contract(
    clauses=(
        Clause("keep a path full: a tuple", "", broken_clauses.fill_as_a_list),
        Clause(
            "what the line can send in `there_ms` + `back_ms`",
            "there and back",
            paths.fill_twice_there,
        ),
        Clause(
            "Octets are rounded up to a whole octet", "whole octets", paths.fill_octets_rounded_down
        ),
        Clause("packets to a whole packet", "whole packets", paths.fill_packets_rounded_down),
        Clause("`packet_octets` counts the headers in", "", paths.fill_with_data),
        Clause(
            "nothing is rounded on the way",
            "whole octets",
            paths.fill_each_way,
            also=(paths.fill_packets_of_whole_octets,),
        ),
        Clause("no float adds a digit of its own", "whole octets", paths.fill_in_floats),
        Clause("Both are exact", "whole packets", broken_clauses.fill_packets_in_floats),
    ),
    says_only=(
        "acknowledgements take no room",
        "All arguments are whole numbers from 1 to 10,000; the rate goes up to 10**11.",
        "Example: (750, 15)",
    ),
)

ONE_TOOTH = Contract(
    clauses=(
        Clause(
            "The result is a tuple (lowest, highest, share)", "", broken_clauses.tooth_as_a_list
        ),
        Clause(
            "The highest window just fits into pipe and buffer",
            "",
            teeth.tooth_with_the_lost_packet,
        ),
        Clause("the lowest window is half of the highest", "", teeth.tooth_halving_the_pipe),
        Clause(
            "half of the highest, rounded down", "half of an odd window", teeth.tooth_rounded_up
        ),
        Clause(
            "From there the window grows by 1 each round trip",
            "line idle at times",
            broken_clauses.tooth_that_jumps,
        ),
        Clause(
            "The line could have sent `pipe_packets`, or w if that is more",
            "line always busy",
            broken_clauses.tooth_of_a_line_that_is_never_idle,
        ),
        Clause(
            "both of them included",
            "line idle at times",
            broken_clauses.tooth_without_a_last_packet,
        ),
        Clause("not rounded", "line idle at times", broken_clauses.tooth_in_three_places),
        Clause(
            "a whole number from 2 to 400",
            "line always busy",
            broken_clauses.tooth_with_a_smaller_range,
        ),
    ),
    says_only=(
        "Return one flow's lowest and highest window, and the share of the line it uses.",
        "a packet more is lost",
        "In a round trip with window w, w packets are sent.",
        "the buffer one from 0 to 400",
        "Example: (2, 4, 0.75)",
    ),
)

NEW_SENDER = Contract(
    clauses=(
        Clause("the tuple (window, threshold) as it is after", "", broken_events.SenderWithLists),
        Clause("Every sender keeps numbers of its own", "slow start", growth.SenderForAll),
        Clause("it grows: by a segment", "slow start", growth.SenderWithoutSlowStart),
        Clause(
            "if it is below the threshold",
            "congestion avoidance",
            growth.SenderInSlowStartAtTheThreshold,
        ),
        Clause(
            "segment * segment // window",
            "congestion avoidance",
            growth.SenderThatRoundsItsPartUp,
        ),
        Clause("but by 1 at least", "congestion avoidance", growth.SenderStuckWhenLarge),
        Clause(
            "If 3 or more duplicates in a row came before it, the window becomes the threshold.",
            "duplicates",
            falls.SenderThatStaysInflated,
        ),
        Clause("The row of duplicates ends.", "duplicates", falls.SenderThatAddsRowsUp),
        Clause(
            "the first two in a row change nothing",
            "duplicates",
            broken_events.SenderThatGrowsOnDuplicates,
        ),
        Clause(
            "The third makes the threshold half of `flight`",
            "duplicates",
            broken_events.SenderThatLosesHalfItsWindow,
        ),
        Clause(
            "threshold half of `flight`, rounded down",
            "duplicates",
            broken_events.SenderThatRoundsUpAtTheThird,
        ),
        Clause(
            "but 2 segments at least. The window becomes the threshold",
            "duplicates",
            broken_events.SenderWithoutAFloorAtTheThird,
        ),
        Clause(
            "becomes the threshold and 3 segments", "duplicates", broken_events.SenderWithALimit
        ),
        Clause("Each further one adds a segment", "duplicates", broken_events.SenderThatAddsNoMore),
        Clause(
            "timeout(flight): the threshold becomes half of `flight`",
            "time-out",
            broken_events.SenderThatStartsOverWithHalfItsWindow,
        ),
        Clause(
            "becomes half of `flight`, rounded down",
            "time-out",
            broken_events.SenderThatRoundsUpLate,
        ),
        Clause(
            "but 2 segments at least. The window becomes 1 segment",
            "time-out",
            broken_events.SenderWithoutAFloorLate,
        ),
        Clause(
            "The window becomes 1 segment.", "time-out", broken_events.SenderThatKeepsASmallWindow
        ),
        Clause("The row of duplicates ends here, too.", "duplicates", falls.SenderThatKeepsItsRow),
        Clause(
            "A second time-out in a row does all this again.", "time-out", falls.SenderThatHolds
        ),
    ),
    says_only=(
        "Return a TCP sender that keeps its windows by RFC 5681, all in octets.",
        "All are whole: a segment of 1 or more, a window of at least 1 segment, "
        "a threshold of at least 2 segments, and as `flight` the octets under way, 0 or more.",
        "ack(): something new was acknowledged.",
        "duplicate(flight):",
        "(RFC 5681 would keep the threshold.)",
    ),
)

SMALLEST_BUFFER = Contract(
    clauses=(
        Clause("packets of 1500 octets", "", buffers.buffer_of_bits),
        Clause("square root of their number", "not in step", buffers.buffer_by_flows),
        Clause(
            "Flows in step need rate x delay, however many they are",
            "in step",
            buffers.buffer_of_the_root_always,
        ),
        Clause("`round_trip_ms`, the whole way there and back", "", buffers.buffer_of_one_way),
        Clause("A part of a packet is rounded up", "part of a packet", buffers.buffer_rounded),
        Clause("only at the very end", "part of a packet", buffers.buffer_rounded_early),
    ),
    says_only=(
        "Floats are exact enough: no result hangs on their last digits.",
        "All numbers are whole, 1 or more; `in_step` is True or False.",
        "Example: 50",
    ),
)

WAIT_MS = Contract(
    clauses=(
        Clause("`percent` of the packets, or more, do not exceed", "", waits.wait_of_the_mean),
        Clause(
            "found[k] packets found k others ahead of them", "nearly all", waits.wait_of_lengths
        ),
        Clause("a count may be 0", "nearly all", waits.wait_without_empty_places),
        Clause("each with 1500 octets", "", waits.wait_in_octets),
        Clause("its own sending is not part of the wait", "", waits.wait_and_send),
        Clause(
            "The answer is the shortest wait of a packet that will do",
            "all of them",
            waits.wait_of_the_end,
        ),
        Clause("not rounded", "nearly all", waits.wait_in_whole_ms),
        Clause(
            "No more than `percent` is needed",
            "just the percentage",
            broken_clauses.wait_of_a_majority,
        ),
        Clause("it is exact", "just the percentage", waits.wait_of_sums_in_floats),
    ),
    says_only=(
        "7 of 25 packets are 28 percent",
        "`percent` is a whole number from 1 to 100, the rate one of 1 or more",
        "Example: 3.0",
    ),
)

NEW_WATCH = Contract(
    clauses=(
        Clause("True means drop it, False that it goes out", "", watch.WatchThatSaysNothing),
        Clause("Watches have nothing in common", "patience", watch.watch_for_all),
        Clause(
            "A wait below the target ends the bout",
            "relief",
            broken_events.WatchThatStaysUntilItDrops,
        ),
        Clause("below the target", "patience", watch.WatchThatAllowsTheTarget),
        Clause("and the packet goes out", "relief", watch.WatchThatLooksLate),
        Clause("begins a bout, if none is on", "", broken_events.WatchOfOneLongWait),
        Clause(
            "first drop is due one interval after this packet's time",
            "patience",
            watch.WatchFromZero,
        ),
        Clause("due at its time or was due before", "patience", watch.WatchThatIsLate),
        Clause("interval / root of k", "pace", watch.WatchByCount),
        Clause("after the time when the k-th was due", "pace", watch.WatchFromTheDrop),
        Clause("Each bout counts from 1", "relief", watch.WatchThatKeepsItsPace),
    ),
    says_only=(
        "Return a watch over a queue: an object with a method leaves(now_ms, waited_ms).",
        "It is called for each packet whose turn has come",
        "All times are whole numbers of ms, 0 or more, target and interval 1 or more; "
        "`now_ms` may stay the same but never goes back.",
        "Example: new_watch(5, 100)",
    ),
)

CLAUSES: Mapping[str, Contract] = {
    "10.1": FILL_PATH,
    "10.2": ONE_TOOTH,
    "10.3": NEW_SENDER,
    "10.4": SMALLEST_BUFFER,
    "10.5": WAIT_MS,
    "10.6": NEW_WATCH,
}
